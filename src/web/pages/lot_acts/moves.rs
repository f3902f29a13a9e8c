//! Forms that take a lot to another place.

use super::{at, code, heading, lot, wet_or_all, when};
use crate::desk::MoveLot;
use crate::keeping::PlaceKind;
use crate::planning::plan::Work;
use crate::report::{Caution, LotAnswer};
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
    visit: &Visit,
    lot: &LotAnswer,
    (places, first): (&[Choice], &str),
    words: &str,
    cautions: &[String],
    more: &Markup,
) -> Markup {
    html! {
        (heading(visit, lot))
        @if places.is_empty() {
            p { "No such place is in the book. " a href="/book/places" { "Add one" } }
        } @else {
            (draw::choices(visit, "to", "Where to", places, first))
            (wet_or_all(visit, lot))
            (when(visit))
            (more)
            (draw::cautions(cautions))
            (draw::book(visit, words))
        }
    }
}

/// The form of freezing or thawing: into the place that a job's link names, or else into the one that a plan would take.
fn of_work(
    visit: &Visit,
    work: Work,
    wanted: fn(PlaceKind) -> bool,
    words: &str,
) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let mut places = places(visit, wanted)?;
    let asked = visit.asked("to");
    let first = if places.iter().any(|place| place.value == asked) {
        Some(asked.to_owned())
    } else {
        visit.desk.place_for(work, lot.lot.code, lot.wet)?
    };
    if first.is_none() && !places.is_empty() {
        places.insert(0, Choice::new("", "none is cold enough"));
    }
    let to = (places.as_slice(), first.as_deref().unwrap_or_default());
    let cautions = [Caution::AirtightPacks.text()];
    Ok(to_place(visit, &lot, to, words, &cautions, &html! {}))
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
    let lot = lot(visit)?;
    let places = places(visit, |_| true)?;
    let to = (places.as_slice(), "");
    let back = back_again(visit);
    Ok(to_place(visit, &lot, to, "Book the move", &[], &back))
}

pub(super) fn freeze_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let is_freezer = |kind: PlaceKind| kind == PlaceKind::Freezer;
    of_work(visit, Work::Freeze, is_freezer, "Book the freezing")
}

pub(super) fn thaw_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let is_fridge = |kind: PlaceKind| kind == PlaceKind::Fridge;
    of_work(visit, Work::Thaw, is_fridge, "Book the thawing")
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
