//! Handling: grain pressed, blended, milled, dried, drained or soaked; parted into tubs; put together.

use super::lot_acts::{asked_wet, at, heading, lot, places, usual, when};
use crate::desk::{Join, Portion, Treat};
use crate::grain::{Portions, Step};
use crate::quantity::Problem;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::form(
        "/lot/{lot}/treat",
        Form {
            title: |visit| format!("Press, dry or mill {}", visit.part("lot")),
            show: treat_form,
            act: treat_act,
        },
    ),
    Route::form(
        "/lot/{lot}/portion",
        Form {
            title: |visit| format!("Part {} into tubs", visit.part("lot")),
            show: portion_form,
            act: portion_act,
        },
    ),
    Route::form(
        "/lot/{lot}/join",
        Form {
            title: |visit| format!("Put {} together with others", visit.part("lot")),
            show: join_form,
            act: join_act,
        },
    ),
];

/// Places that a product may go to; the first choice is where the lot is.
fn places_or_own(visit: &Visit) -> anyhow::Result<Vec<Choice>> {
    let mut all = vec![Choice::new("", "where the lot is")];
    all.extend(places(visit, |_| true)?);
    Ok(all)
}

fn treat_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let steps = Step::ALL.map(|step| Choice::plain(step.as_str()));
    let places = places_or_own(visit)?;
    let unit = usual(visit, &lot);
    // A job of a plan names the step and how much of it goes in.
    let step = match visit.asked("step") {
        "" => Step::Press.as_str(),
        asked => asked,
    };
    let (wet_in, wet_in_unit) = asked_wet(visit, &lot);
    Ok(html! {
        (heading(visit, &lot))
        (draw::choices(visit, "step", "What was done", &steps, step))
        (draw::mass(visit, "wet_in", "What went in; left empty for all of it", &wet_in, wet_in_unit))
        (draw::mass(visit, "wet_out", "What came out and is kept", "", unit))
        (draw::count(visit, "minutes", "How long it took: of drying that time counts as warm", "", "min"))
        (draw::temperature(visit, "temp", "How warm it was"))
        (draw::choices(visit, "place", "Where the product lies", &places, ""))
        details {
            summary { "More" }
            (draw::mass(visit, "water_added", "Water that was added", "", unit))
            (draw::mass(visit, "left_behind", "What stayed in the machine or was spilt", "", unit))
            (draw::mass(visit, "dry_loss", "Dry grain lost in the pressed-out water", "", "g"))
            (draw::text(visit, "into", "Put to this lot", ""))
            (draw::text(visit, "note", "Note", ""))
        }
        (when(visit))
        (draw::book(visit, "Book it"))
    })
}

fn treat_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let step = typed.one_of::<Step>("step", "what was done");
    let (wet_in, wet_out) = (typed.mass_if("wet_in"), typed.mass("wet_out"));
    let (water, behind, loss) = (
        typed.mass_if("water_added"),
        typed.mass_if("left_behind"),
        typed.mass_if("dry_loss"),
    );
    let (minutes, temp) = (typed.count_if("minutes"), typed.temperature_if("temp"));
    let (into, place, note) = (
        typed.given("into"),
        typed.given("place"),
        typed.note_if("note"),
    );
    let lasted = match (minutes, temp) {
        (Some(Some(minutes)), Some(Some(temp))) => Some((minutes, temp)),
        (Some(None), Some(None)) if step != Some(Step::Dry) => None,
        (Some(None), Some(_)) => {
            let problem = Problem::new("how long it took is missing: that time counts as warm");
            return Err(typed.fault("minutes", &problem).into());
        }
        (Some(_), Some(None)) => {
            let problem = Problem::new("how warm it was is missing");
            return Err(typed.fault("temp", &problem).into());
        }
        _ => None,
    };
    let (Some(step), Some(wet_in), Some(wet_out), Some(note), Some(at)) =
        (step, wet_in, wet_out, note, at(visit))
    else {
        return Err(Faulty.into());
    };
    visit.typed.all_read()?;
    let lot = visit.part("lot").to_owned();
    let answer = visit.desk.treat(&Treat {
        lot: &lot,
        step,
        wet_in,
        wet_out,
        water_added: water.flatten().unwrap_or_default(),
        left_behind: behind.flatten().unwrap_or_default(),
        dry_loss: loss.flatten().unwrap_or_default(),
        lasted,
        into: into.as_deref(),
        place: place.as_deref(),
        at,
        note: note.as_deref(),
    })?;
    Ok(visit.booked(&answer))
}

fn portion_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let places = places_or_own(visit)?;
    Ok(html! {
        (heading(visit, &lot))
        (draw::count(visit, "number", "How many", "", "tubs"))
        (draw::mass(visit, "each", "Weight of each", "", usual(visit, &lot)))
        (draw::choices(visit, "to", "Where they go", &places, ""))
        (when(visit))
        (draw::book(visit, "Book them"))
    })
}

fn portion_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let each = typed.mass("each");
    let to = typed.given("to");
    let number = match typed.count_if("number") {
        Some(Some(number)) if (1..=Portions::MOST).contains(&number) => Some(number),
        Some(_) => {
            let problem = Problem::new(format!("how many: 1 to {}", Portions::MOST));
            typed.fault("number", &problem);
            None
        }
        None => None,
    };
    let (Some(each), Some(number), Some(at)) = (each, number, at(visit)) else {
        return Err(Faulty.into());
    };
    let lot = visit.part("lot").to_owned();
    let answer = visit.desk.portion(&Portion {
        lot: &lot,
        into: &[Portions { number, each }],
        to: to.as_deref(),
        at,
        depth: None,
        note: None,
    })?;
    let lots = &answer.answer;
    Ok(visit.booked_lots(&answer, lots.len(), lots))
}

fn join_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let own = lot(visit)?;
    let others = visit.desk.shelf()?.answer.lots;
    let places = places_or_own(visit)?;
    Ok(html! {
        (heading(visit, &own))
        p { "All that is left of each goes together. What comes of it is as old, and as bad, as the worst of them." }
        @for other in &others {
            @if other.lot.code != own.lot.code && other.keeping.verdict.may_be_used() {
                (draw::tick(visit, &format!("with_{}", other.lot.code), &format!("{}, {}", other.lot.code, visit.units().weighed(other.wet)), false))
            }
        }
        (draw::choices(visit, "to", "Where it lies", &places, ""))
        (when(visit))
        (draw::book(visit, "Put them together"))
    })
}

fn join_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let to = visit.typed.given("to");
    let Some(at) = at(visit) else {
        return Err(Faulty.into());
    };
    let mut lots = vec![visit.part("lot").to_owned()];
    lots.extend(visit.typed.ticked("with_"));
    let answer = visit.desk.join(&Join {
        lots: &lots,
        to: to.as_deref(),
        at,
        note: None,
    })?;
    Ok(visit.booked(&answer))
}
