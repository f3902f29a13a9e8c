//! `place`: defines the places where lots are kept.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::{Desk, StatePlace, kind_of_new_place};
use crate::keeping::{PlaceKind, Probe};
use crate::quantity::{Length, Milligrams, Temperature};
use crate::render;

/// List, add, change or close the places where lots are kept
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff place add walk-in --kind fridge --temp 3C --capacity 60kg\n  draff place close old-fridge"
)]
pub struct Arguments {
    #[command(subcommand)]
    subcommand: Option<Subcommand>,
}

#[derive(clap::Subcommand)]
enum Subcommand {
    /// List the places and what they are stated to be
    #[command(after_help = "Example: draff place list")]
    List,
    /// Add a place, to a new book if there is none
    #[command(
        after_help = "Example: draff place add walk-in --kind fridge --temp 3C --capacity 60kg"
    )]
    Add(Stated),
    /// State anew what a place is, from a moment on; this opens a closed one
    #[command(after_help = "Example: draff place change old-fridge --temp 4C")]
    Change(Stated),
    /// Close a place: it takes no grain and no plan counts on it; its history stays
    #[command(after_help = "Example: draff place close old-fridge")]
    Close {
        /// The place's name
        #[arg(value_name = "PLACE", value_parser = typed::name)]
        name: String,

        /// From when on; no grain may have lain there since [default: now]
        #[arg(long, value_name = "WHEN")]
        at: Option<String>,
    },
}

#[derive(clap::Args)]
struct Stated {
    /// The place's name
    #[arg(value_name = "PLACE", value_parser = typed::name)]
    name: String,

    /// Its kind: hot-hold, ambient, fridge, freezer, dry-store [a new place needs it; default: as before]
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
    let subcommand = arguments.subcommand.unwrap_or(Subcommand::List);
    let mut desk = match &subcommand {
        Subcommand::Add(stated) => {
            kind_of_new_place(&stated.name, stated.kind)?;
            errand.desk_or_new()?
        }
        Subcommand::List | Subcommand::Change(_) | Subcommand::Close { .. } => errand.desk()?,
    };
    let answer = match &subcommand {
        Subcommand::List => desk.places()?,
        Subcommand::Add(stated) => {
            let request = stated.request(&desk, errand)?;
            desk.add_place(&request)?
        }
        Subcommand::Close { name, at } => {
            let from = errand.moment_or_now(at.as_deref(), "--at", desk.zone())?;
            desk.close_place(name, from)?
        }
        Subcommand::Change(stated) => {
            let request = stated.request(&desk, errand)?;
            desk.change_place(&request)?
        }
    };
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    errand.show(
        &answer,
        |places| render::json::place::Places::new(places, now, zone),
        |places| render::place::text(places, units, now, zone),
    )?;
    Ok(Outcome::Done)
}

impl Stated {
    fn request(&self, desk: &Desk, errand: &Errand<'_>) -> anyhow::Result<StatePlace<'_>> {
        Ok(StatePlace {
            name: &self.name,
            kind: self.kind,
            temp: self.temp,
            capacity: self.capacity,
            probe: self.probe_in,
            depth: self.layer,
            from: errand.moment_or_now(self.at.as_deref(), "--at", desk.zone())?,
        })
    }
}
