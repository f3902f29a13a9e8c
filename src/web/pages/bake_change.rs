//! A bake changed: what is left empty stays as it is.

use super::offered;
use crate::desk::{BakeWishes, ChangeBake};
use crate::dough::timetable::Point;
use crate::quantity::bounds;
use crate::quantity::fraction::Percent;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::form(
    "/bake/{bake}/change",
    Form {
        title: |visit| format!("Change {}", visit.part("bake")),
        show,
        act,
    },
)];

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let bake = visit.desk.bake(visit.part("bake"))?.answer.bake;
    let setting = &bake.setting;
    let firm = [
        Choice::new("", "as it is"),
        Choice::new("firm", "it is baked in any case"),
        Choice::new("optional", "it is baked if there is grain for it"),
    ];
    Ok(html! {
        p.lead { (setting.formula.name) ": " (setting.pieces) " × " (visit.units().weighed(setting.piece)) ". Left empty, it stays as it is." }
        (draw::day_time(visit, "at", "When", ("", "")))
        (draw::choices(visit, "point", "What happens then", &offered::points(), setting.point.as_str()))
        (draw::count(visit, "pieces", "Pieces", "", "pieces"))
        (draw::mass(visit, "piece", "Raw weight of a piece", "", "g"))
        (draw::count(visit, "share", "Dry grain, in percent of total flour", "", "%"))
        (draw::choices(visit, "firm", "Whether it is baked", &firm, ""))
        (draw::text(visit, "lot", "Only of this lot", ""))
        (draw::tick(visit, "any_lot", "Of whatever lots suit it, no longer of named ones", false))
        (draw::text(visit, "free_of", "A cereal or allergen that must not be in its grain, such as wheat or gluten", ""))
        (draw::text(visit, "note", "Note", ""))
        (draw::book(visit, "Change it"))
    })
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let zone = visit.zone().clone();
    let now = visit.now;
    let typed = &mut visit.typed;
    let point = typed.one_of::<Point>("point", "what happens then");
    let at = match typed.moment_words("at") {
        Some(_) => typed.coming("at", now, &zone).zip(point),
        None => None,
    };
    let pieces = typed.count_if("pieces");
    let piece = typed.mass_if("piece");
    let share = typed.value_if::<Percent>("share", "%");
    let note = typed.note_if("note");
    typed.all_read()?;
    let (Some(pieces), Some(piece), Some(share), Some(note)) = (pieces, piece, share, note) else {
        return Err(Faulty.into());
    };
    let share = match share
        .map(|share| share.within(&bounds::GRAIN_SHARE))
        .transpose()
    {
        Ok(share) => share,
        Err(problem) => return Err(typed.fault("share", &problem).into()),
    };
    let wishes = BakeWishes {
        pieces,
        piece,
        share,
        firm: typed.given("firm").map(|word| word == "firm"),
        lots: typed.given("lot").into_iter().collect(),
        free_of: typed.given("free_of"),
        note,
        ..BakeWishes::default()
    };
    let any_lot = typed.given("any_lot").is_some();
    let bake = visit.part("bake").to_owned();
    let answer = visit.desk.change_bake(&ChangeBake {
        bake: &bake,
        at,
        version: None,
        any_lot,
        wishes: &wishes,
    })?;
    Ok(visit.booked(&answer))
}
