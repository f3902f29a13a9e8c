//! `place`: defines the places where lots are kept.

use super::ground::Ground;
use super::{Outcome, gather, typed};
use crate::context::Errand;
use crate::keeping::{PlaceKind, Probe};
use crate::ledger::PlaceSetting;
use crate::quantity::{Length, Milligrams, Temperature, Zone};
use crate::render::{self, numbers::Units};
use clap::Subcommand;

/// List, add or change the places where lots are kept
#[derive(clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Subcommand)]
enum Act {
    /// List the places and what they are stated to be
    List,
    /// Add a place, to a new book if there is none
    Add(Stated),
    /// State anew what a place is, from a moment on
    Change(Stated),
}

#[derive(clap::Args)]
struct Stated {
    /// The place's name
    #[arg(value_name = "PLACE", value_parser = typed::name)]
    name: String,

    /// Its kind: hot-hold, ambient, fridge, freezer, dry-store [default: fridge, or as before]
    #[arg(long, value_name = "KIND", value_parser = typed::value::<PlaceKind>)]
    kind: Option<PlaceKind>,

    /// The temperature it is stated to hold [default: the kind's usual one, or as before]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    temp: Option<Temperature>,

    /// How much wet grain it takes
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    capacity: Option<Milligrams>,

    /// What the probe of its logger measures: air, buffered (in a bottle or a block) or grain [default: air, or as before]
    #[arg(long, value_name = "WHAT", value_parser = typed::value::<Probe>)]
    probe_in: Option<Probe>,

    /// How thick grain lies there [default: 2cm with air at both faces is taken, or as before]
    #[arg(long, value_name = "LENGTH", value_parser = typed::value::<Length>, allow_hyphen_values = true)]
    layer: Option<Length>,

    /// From when on [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    match arguments.act.unwrap_or(Act::List) {
        Act::List => {
            let text = list(errand)?;
            errand.print(&text)?;
        }
        Act::Add(stated) => {
            let ground = Ground::of(errand)?;
            let kind = stated.kind.unwrap_or(PlaceKind::Fridge);
            let setting = PlaceSetting {
                from: errand.past_or_now(stated.at.as_deref(), "--at", &ground.zone)?,
                kind,
                stated: stated.temp.unwrap_or_else(|| kind.usual_temperature()),
                capacity: stated.capacity,
                probe: Some(stated.probe_in.unwrap_or(Probe::Air)),
                depth: stated.layer,
            };
            let signature = ground.signature.clone();
            let mut book = ground.book(errand)?;
            errand.act(&mut book, &signature, |act| {
                act.add_place(&stated.name, &setting)
            })?;
            let text = list(errand)?;
            errand.print(&text)?;
        }
        Act::Change(stated) => {
            let mut book = errand.open_book()?;
            let zone = book.view().about().zone.clone();
            let from = errand.past_or_now(stated.at.as_deref(), "--at", &zone)?;
            let signature = errand.signature(&zone)?;
            errand.act(&mut book, &signature, |act| {
                let place = act.view().place(&stated.name)?;
                let before = place.setting_at(from);
                let kind = stated.kind.unwrap_or(before.kind);
                let usual = if kind == before.kind {
                    before.stated
                } else {
                    kind.usual_temperature()
                };
                let setting = PlaceSetting {
                    from,
                    kind,
                    stated: stated.temp.unwrap_or(usual),
                    capacity: stated.capacity.or(before.capacity),
                    probe: stated.probe_in.or(before.probe),
                    depth: stated.layer.or(before.depth),
                };
                let before = gather::judged(act.view(), signature.now)?;
                let entry = act.change_place(&place, &setting)?;
                let after = gather::judged(act.view(), signature.now)?;
                gather::refuse_bettered(&before, &after)?;
                if stated.probe_in.is_some() || stated.layer.is_some() {
                    gather::refuse_made_usable(&before, &after)?;
                }
                Ok(entry)
            })?;
            let text = list(errand)?;
            errand.print(&text)?;
        }
    }
    Ok(Outcome::Done)
}

fn list(errand: &mut Errand<'_>) -> anyhow::Result<String> {
    let book = errand.open_book()?;
    let view = book.view();
    let zone: &Zone = &view.about().zone;
    let now = errand.now(zone)?;
    if errand.options.json {
        return render::json::text(&render::json::Places::new(&view.places()?, now, zone));
    }
    let units = Units::of(errand.options.us);
    Ok(render::place::text(&view.places()?, units, now, zone))
}
