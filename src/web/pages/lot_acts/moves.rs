//! Forms that take a lot to another place.

use super::{at, code, heading, lot, wet_or_all, when};
use crate::desk::MoveLot;
use crate::keeping::PlaceKind;
use crate::report::Caution;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

/// Open places of some kinds, as choices.
pub(in crate::web::pages) fn places(
    visit: &Visit,
    wanted: fn(PlaceKind) -> bool,
) -> anyhow::Result<Vec<Choice>> {
    let places = visit.desk.places()?.answer;
    Ok(places
        .iter()
        .filter(|place| !place.is_closed() && wanted(place.setting_at(visit.now).kind))
        .map(|place| Choice::plain(place.name.clone()))
        .collect())
}

fn to_place(
    visit: &mut Visit,
    wanted: fn(PlaceKind) -> bool,
    words: &str,
    cautions: &[String],
    more: &Markup,
) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let places = places(visit, wanted)?;
    // A link of a job names its place.
    let asked = visit.asked("to");
    let named = places.iter().find(|place| place.value == asked);
    let named = named.or(places.first());
    let first = named.map_or("", |place| &place.value).to_owned();
    Ok(html! {
        (heading(visit, &lot))
        @if places.is_empty() {
            p { "No such place is in the book. " a href="/book/places" { "Add one" } }
        } @else {
            (draw::choices(visit, "to", "Where to", &places, &first))
            (wet_or_all(visit, &lot))
            (when(visit))
            (more)
            (draw::cautions(cautions))
            (draw::book(visit, words))
        }
    })
}

/// When it was back where it was, folded away: usually it stays.
fn back_again(visit: &Visit) -> Markup {
    let typed = &visit.typed;
    let is_open = typed.moment_words("until").is_some() || typed.fault_of("until").is_some();
    html! {
        details open[is_open] {
            summary { "Out only for a while" }
            (draw::day_time(visit, "until", "When it was back where it was", ("", "")))
        }
    }
}

pub(super) fn move_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let back = back_again(visit);
    to_place(visit, |_| true, "Book the move", &[], &back)
}

pub(super) fn freeze_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    to_place(
        visit,
        |kind| kind == PlaceKind::Freezer,
        "Book the freezing",
        &[Caution::AirtightPacks.text()],
        &html! {},
    )
}

pub(super) fn thaw_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    to_place(
        visit,
        |kind| kind == PlaceKind::Fridge,
        "Book the thawing",
        &[Caution::AirtightPacks.text()],
        &html! {},
    )
}

pub(super) fn move_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let to = visit.typed.name("to", "the place");
    let wet = visit.typed.mass_if("wet");
    let (zone, moment) = (visit.zone().clone(), visit.moment());
    let until = visit.typed.past_if("until", moment, &zone);
    let (Some(to), Some(wet), Some(until), Some(at)) = (to, wet, until, at(visit)) else {
        return Err(Faulty.into());
    };
    let lot = code(visit);
    let answer = visit.desk.move_lot(&MoveLot {
        lot: &lot,
        wet,
        to: &to,
        at,
        until,
        note: None,
    })?;
    Ok(visit.booked(&answer))
}
