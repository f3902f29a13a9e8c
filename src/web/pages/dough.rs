//! Dough: the hold-back sum, and a whole batch; results that are read from a metre away. Nothing is booked here.

use super::{dough_temperatures, offered};
use crate::desk::{self, BatchOf, GivenScales, WaterOf};
use crate::dough::batch::{Batch, LineKind, Size};
use crate::dough::hold_back::{FlourAmount, GrainAmount};
use crate::dough::thirst::ThirstRule;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, WetBasis, bounds};
use crate::render::batch::WeightColumn;
use crate::render::kitchen_scale::KitchenScale;
use crate::render::lot::Detail;
use crate::render::{hold_back, numbers, water_temperature};
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Right, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/dough", choose),
    Route::form(
        "/dough/water",
        Form {
            title: |_| "Water of a dough".to_owned(),
            show: water_form,
            act: water_act,
        },
    )
    .for_right(Right::Look),
    Route::form(
        "/dough/batch",
        Form {
            title: |_| "A whole batch".to_owned(),
            show: batch_form,
            act: batch_act,
        },
    )
    .for_right(Right::Look),
];

fn choose(visit: &mut Visit) -> anyhow::Result<Reply> {
    let body = html! {
        p.lead { "What do you want to work out? Nothing is booked." }
        div.keys {
            a.key href="/dough/water" { "Water: pour and hold back" }
            a.key href="/dough/batch" { "A whole batch of a formula" }
        }
    };
    Ok(Reply::Page(draw::page(visit, "Dough", &body)))
}

/// Lots that may be used, the one that goes first on top.
fn lots(visit: &Visit) -> anyhow::Result<Vec<Choice>> {
    let mut lots = visit.desk.shelf()?.answer.lots;
    lots.retain(|lot| lot.keeping.verdict.may_be_used());
    lots.sort_by_key(|lot| (lot.keeping.keep_until.is_none(), lot.keeping.keep_until));
    let units = visit.units();
    Ok(lots
        .iter()
        .map(|lot| {
            let words = format!("{}, {}", lot.lot.code, units.weighed(lot.wet));
            Choice::new(lot.lot.code.to_string(), words)
        })
        .collect())
}

fn water_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lots = lots(visit)?;
    Ok(html! {
        @if lots.is_empty() {
            p.lead { "No lot on hand may be used." }
        } @else {
            (draw::choices(visit, "lot", "Lot", &lots, visit.asked("lot")))
            (draw::mass(visit, "wet", "Wet grain", "", "g"))
            (draw::mass(visit, "flour", "Flour from the bag", "", "g"))
            (draw::count(visit, "hydration", "All water, in percent of total flour", "", "%"))
            p.send { button.main type="submit" { "Work it out" } }
        }
    })
}

fn water_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let lot = typed.name("lot", "the lot");
    let (wet, flour) = (typed.mass("wet"), typed.mass("flour"));
    let hydration = percent(visit, "hydration", &bounds::HYDRATION);
    let (Some(lot), Some(wet), Some(flour), Some(hydration)) = (lot, wet, flour, hydration) else {
        return Err(Faulty.into());
    };
    let answer = visit.desk.hold_back(
        &lot,
        WaterOf {
            grain: GrainAmount::Wet(wet.mass()),
            flour: FlourAmount::Bag(flour.mass()),
            hydration,
            flour_basis: WetBasis::new(0.0)?,
            thirst: ThirstRule::default(),
        },
    )?;
    let (units, sum) = (visit.units(), &answer.answer.sum);
    let scale = KitchenScale::new(units, answer.answer.step);
    let body = html! {
        p.huge { span { "Pour first" } b { (scale.weigh(sum.pour_first)) } }
        p.huge { span { "Hold back" } b { (scale.weigh(sum.keep_back)) } }
        p { "Add it little by little until the dough feels right. " (hold_back::parts(sum, scale)) }
        (draw::labelled(&hold_back::text(&answer.answer, Detail::Limit, units)))
        (draw::answer_notes(&visit.notes_of(&answer)))
        p { a href="/dough/water" { "Another dough" } }
    };
    let page = draw::page(visit, "Water of a dough", &body);
    Ok(Done::Answered(Box::new(page)))
}

/// A percentage that has to be given.
fn percent(visit: &mut Visit, field: &str, within: &bounds::Bounds) -> Option<f64> {
    let Some(percent) = visit.typed.value_if::<Percent>(field, "%")? else {
        let problem = Problem::new("the percentage is missing");
        visit.typed.fault(field, &problem);
        return None;
    };
    match percent.within(within) {
        Ok(fraction) => Some(fraction),
        Err(problem) => {
            visit.typed.fault(field, &problem);
            None
        }
    }
}

fn batch_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lots = lots(visit)?;
    let formulas = offered::formulas(visit)?;
    let by = [
        Choice::new("pieces", "so many pieces"),
        Choice::new("flour", "so much flour from the bag"),
        Choice::new("grain", "so much wet grain"),
        Choice::new("dough", "so much dough"),
    ];
    Ok(html! {
        @if lots.is_empty() || formulas.is_empty() {
            p.lead { "It takes a formula and a lot that may be used." }
        } @else {
            (draw::choices(visit, "formula", "Formula", &formulas, visit.asked("formula")))
            (draw::choices(visit, "lot", "Lot", &lots, visit.asked("lot")))
            (draw::choices(visit, "by", "By", &by, "pieces"))
            (draw::count(visit, "pieces", "Pieces", "", "pieces"))
            (draw::mass(visit, "mass", "Or the weight", "", "kg"))
            details open[visit.typed.is_sent()] {
                summary { "Temperatures, for how warm the water must be" }
                (dough_temperatures::fields(visit))
            }
            p.send { button.main type="submit" { "Work it out" } }
        }
    })
}

fn batch_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let name = typed.name("formula", "the formula");
    let lot = typed.name("lot", "the lot");
    let by = typed.hidden("by").to_owned();
    let (pieces, mass) = (typed.count_if("pieces"), typed.mass_if("mass"));
    let (Some(name), Some(lot), Some(pieces), Some(mass)) = (name, lot, pieces, mass) else {
        return Err(Faulty.into());
    };
    let temperatures = dough_temperatures::given(visit)?;
    let (formula, mixing) = visit.desk.dough_of(&name)?;
    let size = match (by.as_str(), pieces, mass) {
        ("pieces", Some(count), _) => match formula.piece {
            Some(piece) => Size::Pieces {
                count,
                piece: piece.mass(),
            },
            None => {
                let problem = Problem::new(
                    "the formula does not say what a piece weighs: go by dough or flour",
                );
                return Err(visit.typed.fault("by", &problem).into());
            }
        },
        ("flour", _, Some(mass)) => Size::Flour(mass.mass()),
        ("grain", _, Some(mass)) => Size::Grain(mass.mass()),
        ("dough", _, Some(mass)) => Size::Dough(mass.mass()),
        (by, ..) => {
            let (field, words) = if by == "pieces" {
                ("pieces", "how many pieces is missing")
            } else {
                ("mass", "the weight is missing")
            };
            return Err(visit.typed.fault(field, &Problem::new(words)).into());
        }
    };
    let request = BatchOf {
        size,
        share: formula.grain.wanted,
        formula: &formula,
        mixing,
        thirst: ThirstRule::default(),
        scales: GivenScales::default(),
        temperatures,
    };
    let grain = visit.desk.grain_of_lots(&[lot], &request)?;
    let answer = desk::batch(&request, grain)?;
    let found = &answer.answer;
    let scale = KitchenScale::new(visit.units(), found.batch.scale);
    let body = html! {
        p.lead { (scale.weigh_dough(found.batch.dough)) " of dough, " (scale.weigh_dough(found.batch.baked)) " of bread" }
        @for drying in numbers::drying(&found.drying) { p { (drying) } }
        (stages(visit, &found.batch))
        @if let Some(found) = &found.warmth {
            h2 { "How warm to make the water" }
            (draw::labelled(&water_temperature::words(found, scale)))
        }
        (draw::answer_notes(&visit.notes_of(&answer)))
        p { a href="/dough/batch" { "Another batch" } }
    };
    let page = draw::page(visit, &formula.name, &body);
    Ok(Done::Answered(Box::new(page)))
}

fn stages(visit: &Visit, worked_out: &Batch) -> Markup {
    let scale = WeightColumn::new(worked_out, visit.units());
    html! {
        div.sheet {
            @for stage in &worked_out.stages {
                h2 { (stage.name) }
                table {
                    @for line in stage.lines.iter().filter(|line| line.weight > Milligrams::ZERO) {
                        tr.large[matches!(line.what, LineKind::Water | LineKind::HeldBack | LineKind::Grain)] {
                            td.weight { (scale.shown(line.weight)) }
                            td { (line.name) @if line.what == LineKind::HeldBack { ", held back" } }
                        }
                    }
                }
            }
        }
    }
}
