//! Bakes: the list, one bake, its sheet, what it came to.

use super::{dough_temperatures, offered};
use crate::desk::{
    AddBake, BakeWishes, CameOut, FinishBake, GivenScales, GivenTemperatures, SheetOf,
};
use crate::dough::thirst::ThirstRule;
use crate::dough::timetable::Point;
use crate::ledger::BakeEnd;
use crate::quantity::text::trimmed;
use crate::quantity::{Milligrams, Problem};
use crate::render::{bake as words, sheet_html, times, timetable};
use crate::report::bake::BakeAnswer;
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::fields::{Faulty, Typed};
use crate::web::route::{Form, Right, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/bakes", list),
    Route::show("/bake/{bake}", show),
    Route::show("/bake/{bake}/sheet", sheet),
    Route::form(
        "/bake/{bake}/sheet/water",
        Form {
            title: |visit| format!("Water of {}", visit.part("bake")),
            show: water_form,
            act: water_act,
        },
    )
    .for_right(Right::Look),
    Route::form(
        "/bake/{bake}/done",
        Form {
            title: |visit| format!("What {} came to", visit.part("bake")),
            show: done_form,
            act: done_act,
        },
    ),
    Route::form(
        "/bake/{bake}/drop",
        Form {
            title: |visit| format!("Drop {}", visit.part("bake")),
            show: drop_form,
            act: drop_act,
        },
    ),
    Route::form(
        "/bakes/add",
        Form {
            title: |_| "Plan a bake".to_owned(),
            show: add_form,
            act: add_act,
        },
    ),
];

fn list(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.bakes(false)?;
    let (now, zone, units) = (visit.now, visit.zone(), visit.units());
    let pieces = answer
        .answer
        .iter()
        .map(|bake| bake.bake.setting.piece.mass());
    let unit = units.unit_of(pieces);
    let body = html! {
        @if answer.answer.is_empty() { p.lead { "No bakes are planned." } }
        ul.list {
            @for bake in &answer.answer {
                @let setting = &bake.bake.setting;
                li {
                    a href=(format!("/bake/{}", bake.bake.code)) {
                        b { (bake.bake.code) } " " (setting.formula.name)
                        @if bake.is_overdue(now) { " " span.verdict.past { "overdue" } }
                        @if let Some(found) = bake.bake.not_free() { " " span.verdict.past { (words::holds(&found)) } }
                        br;
                        "mix " (times::moment(bake.needs.timetable.mix_at, now, zone))
                        ", " (setting.pieces) " × " (units.weighed_among(setting.piece, unit))
                        @if bake.is_left_out { ", " (words::LEFT_OUT) }
                    }
                }
            }
        }
        p.send { a.main href="/bakes/add" { "Plan a bake" } }
    };
    Ok(Reply::Page(draw::page(visit, "Bakes", &body)))
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.bake(visit.part("bake"))?;
    let bake = &answer.answer;
    let code = bake.bake.code;
    let is_open = bake.bake.end.is_none();
    let body = html! {
        @if is_open {
            div.keys {
                a.key href=(format!("/bake/{code}/sheet")) { "Sheet" }
                a.key href=(format!("/bake/{code}/done")) { "It is baked" }
                a.key href=(format!("/bake/{code}/change")) { "Change it" }
                a.key href=(format!("/bake/{code}/drop")) { "Drop it" }
            }
        }
        (facts(visit, bake))
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    Ok(Reply::Page(draw::page(
        visit,
        &format!("{code} {}", bake.bake.setting.formula.name),
        &body,
    )))
}

fn facts(visit: &Visit, bake: &BakeAnswer) -> Markup {
    let (units, now, zone) = (visit.units(), visit.now, visit.zone());
    let setting = &bake.bake.setting;
    let table = &bake.needs.timetable;
    html! {
        dl {
            dt { "Pieces" }
            dd { (setting.pieces) " × " (units.weighed(setting.piece)) }
            dt { "Mix" }
            dd { (times::moment(table.mix_at, now, zone)) }
            @for event in table.events.iter().filter(|event| event.from < table.mix_at) {
                dt { "Before" }
                dd { (times::moment(event.from, now, zone)) ": " (timetable::task(&bake.needs.formula, event, units)) }
            }
            dt { "Ready" }
            dd { (times::moment(table.ready_at, now, zone)) }
            dt { "Grain" }
            dd { (words::grain(bake, units)) }
            @if let Some(found) = bake.bake.not_free() {
                dt { "Warning" }
                dd { b { (words::not_free(&found, bake.bake.end.is_some())) } }
            }
            @for lot in &bake.lots {
                dt { "Lot" }
                dd { a href=(format!("/lot/{}", lot.lot.code)) { (lot.lot.code) } " " (draw::verdict(lot)) " when it is mixed" }
            }
            @if bake.is_left_out {
                dt { "Plan" }
                dd { (words::LEFT_OUT) }
            }
            @for promised in words::promises(bake, units, now, zone) {
                dt { "Promised" }
                dd { (promised) }
            }
            @for lost in words::named_lost(bake, units, now, zone) {
                dt { "Lost" }
                dd { (lost) }
            }
            @if !bake.lost.is_empty() {
                dt { "Lost" }
                dd { a href="/plan" { "Plan again" } }
            }
            @match &bake.bake.end {
                Some(BakeEnd::Done(result)) => {
                    dt { "Mixed" }
                    dd { (times::moment(result.at, now, zone)) }
                    @let unit = units.unit_of(result.draws.iter().map(|(_, wet)| wet.mass()));
                    @for (lot, wet) in &result.draws {
                        dt { "Used" }
                        dd { (units.weighed_among(*wet, unit)) " of " a href=(format!("/lot/{}", lot.code)) { (lot.code) } }
                    }
                    @if let Some(entry) = result.entry {
                        dt { "Wrong?" }
                        dd { a href=(format!("/entry/{entry}/correct")) { "Correct what it came to" } }
                    }
                },
                Some(BakeEnd::Dropped { at, reason }) => {
                    dt { "Dropped" }
                    dd { (times::moment(*at, now, zone)) " " (reason.as_deref().unwrap_or_default()) }
                },
                None => {}
            }
            @if let Some(note) = &setting.note { dt { "Note" } dd { (note) } }
        }
    }
}

fn sheet_of(code: &str, temperatures: GivenTemperatures) -> SheetOf<'_> {
    SheetOf {
        bake: code,
        thirst: ThirstRule::default(),
        scales: GivenScales::default(),
        temperatures,
    }
}

fn sheet(visit: &mut Visit) -> anyhow::Result<Reply> {
    Ok(Reply::Page(sheet_page(
        visit,
        GivenTemperatures::default(),
    )?))
}

fn sheet_page(visit: &Visit, temperatures: GivenTemperatures) -> anyhow::Result<Markup> {
    let code = visit.part("bake").to_owned();
    let answer = visit.desk.sheet(&sheet_of(&code, temperatures))?;
    let body = html! {
        div.sheet { (sheet_html::inside(&answer.answer, visit.zone(), visit.units())) }
        (draw::answer_notes(&visit.notes_of(&answer)))
        p.send { a href=(format!("/bake/{code}/sheet/water")) { "With other temperatures" } }
        p.send { a.main href=(format!("/bake/{code}/done")) { "It is baked" } }
    };
    Ok(draw::page(visit, &format!("Sheet of {code}"), &body))
}

fn water_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let bake = visit.desk.bake(visit.part("bake"))?.answer;
    Ok(html! {
        p.lead { (bake.bake.setting.formula.name) ": how warm are they? What is left empty is as in the settings." }
        (dough_temperatures::fields(visit))
        p.send { button.main type="submit" { "Show the sheet" } }
    })
}

fn water_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let temperatures = dough_temperatures::given(visit)?;
    let page = sheet_page(visit, temperatures)?;
    Ok(Done::Answered(Box::new(page)))
}

/// Fields for lots that nobody named.
pub(super) const FREE_LOTS: usize = 2;

fn done_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let code = visit.part("bake").to_owned();
    let bake = visit.desk.bake(&code)?.answer;
    // Without a sheet the grain is typed.
    let draws: Vec<(String, Milligrams)> = match visit
        .desk
        .sheet(&sheet_of(&code, GivenTemperatures::default()))
    {
        Ok(sheet) => sheet
            .answer
            .draws
            .iter()
            .map(|draw| (draw.lot.clone(), Milligrams::nearest(draw.wet)))
            .collect(),
        Err(_) => Vec::new(),
    };
    let came_out: Vec<Choice> = std::iter::once(Choice::new("", "not said"))
        .chain(CameOut::ALL.map(|word| Choice::plain(word.as_str())))
        .collect();
    let pieces = bake.bake.setting.pieces.to_string();
    let free = if draws.is_empty() { FREE_LOTS } else { 1 };
    let most = draws.iter().map(|(_, wet)| *wet).max();
    let needed = Milligrams::nearest(bake.needs.dry_wanted);
    let (_, free_unit) = number_and_unit(visit, most.unwrap_or(needed));
    Ok(html! {
        p.lead { (bake.bake.setting.formula.name) ", as the sheet says; change what was otherwise." }
        @for (place, (lot, wet)) in draws.iter().enumerate() {
            @let (number, unit) = number_and_unit(visit, *wet);
            input type="hidden" name=(format!("lot_{place}")) value=(lot);
            (draw::mass(visit, &format!("used_{place}"), &format!("Wet grain of {lot}"), &number, unit))
        }
        @for place in draws.len()..draws.len() + free {
            (another_lot(visit, place, free_unit, draws.is_empty()))
        }
        (draw::count(visit, "pieces", "Pieces out of the oven", &pieces, "pieces"))
        (draw::mass(visit, "water", "All the water into the final dough (or the earlier stage that takes the grain), poured and added", "", "g"))
        (draw::mass(visit, "baked", "All of them, baked and cooled", "", "kg"))
        (draw::choices(visit, "came_out", "How it came out", &came_out, ""))
        details {
            summary { "More" }
            (draw::temperature(visit, "dough_temp", "Dough when mixing ended"))
            (draw::day_time(visit, "at", "Mixed, if not as planned", ("", "")))
            (draw::text(visit, "note", "Note", ""))
        }
        (draw::book(visit, "Book the bake"))
    })
}

/// Fields for a lot that nobody named.
pub(super) fn another_lot(
    visit: &Visit,
    place: usize,
    unit: &'static str,
    is_open: bool,
) -> Markup {
    html! {
        details open[is_open] {
            summary { "Another lot" }
            (draw::text(visit, &format!("lot_{place}"), "Lot", ""))
            (draw::mass(visit, &format!("used_{place}"), "Wet grain of it", "", unit))
        }
    }
}

/// So much grain to the gram, in kg where it is shown so. Pounds and ounces would round it.
fn number_and_unit(visit: &Visit, wet: Milligrams) -> (String, &'static str) {
    match visit.units().weighed_unit(wet) {
        "kg" => (trimmed(wet.grams() / 1000.0, 3), "kg"),
        _ => (format!("{:.0}", wet.grams()), "g"),
    }
}

/// Lots that one form takes.
const MOST_LOTS: usize = 12;

/// Wet grain of each lot that went into a bake.
pub(super) fn used(typed: &mut Typed) -> Vec<(String, Milligrams)> {
    let mut used: Vec<(String, Milligrams)> = Vec::new();
    for place in 0..MOST_LOTS {
        let field = format!("used_{place}");
        let lot = typed.given(&format!("lot_{place}"));
        match (lot, typed.mass_if(&field)) {
            (Some(lot), Some(Some(wet))) => used.push((lot, wet)),
            (None, Some(Some(_))) => {
                typed.fault(&format!("lot_{place}"), &Problem::new("the lot is missing"));
            }
            _ => {}
        }
    }
    used
}

/// What a sheet said to pour first and to hold back: both or neither.
pub(super) fn said(typed: &mut Typed) -> Option<Option<(Milligrams, Milligrams)>> {
    let pour = typed.mass_or_nothing_if("said_pour");
    let hold = typed.mass_or_nothing_if("said_hold");
    let missing = match (pour?, hold?) {
        (Some(pour), Some(hold)) => return Some(Some((pour, hold))),
        (None, None) => return Some(None),
        (None, Some(_)) => "said_pour",
        (Some(_), None) => "said_hold",
    };
    typed.fault(
        missing,
        &Problem::new("the sheet said both: how much to pour first and to hold back"),
    );
    None
}

fn done_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let zone = visit.zone().clone();
    let now = visit.now;
    let typed = &mut visit.typed;
    let used = used(typed);
    let pieces = typed.count_if("pieces");
    let water = typed.mass_if("water");
    let baked = typed.mass_if("baked");
    let dough_temp = typed.temperature_if("dough_temp");
    let at = typed.past_if("at", now, &zone);
    let note = typed.note_if("note");
    let came_out = match typed.given("came_out") {
        None => Some(None),
        Some(_) => typed
            .one_of::<CameOut>("came_out", "how it came out")
            .map(Some),
    };
    typed.all_read()?;
    let (Some(pieces), Some(water), Some(baked), Some(dough_temp), Some(at), Some(note)) =
        (pieces, water, baked, dough_temp, at, note)
    else {
        return Err(Faulty.into());
    };
    let code = visit.part("bake").to_owned();
    let answer = visit.desk.finish_bake(&FinishBake {
        bake: &code,
        at,
        used: &used,
        thirst: ThirstRule::default(),
        scales: GivenScales::default(),
        said: None,
        water,
        pieces,
        baked,
        dough_temp,
        water_temp: None,
        temperatures: GivenTemperatures::default(),
        came_out: came_out.flatten(),
        note: note.as_deref(),
    })?;
    Ok(visit.booked(&answer))
}

fn drop_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let bake = visit.desk.bake(visit.part("bake"))?.answer;
    Ok(html! {
        p.lead { (bake.bake.setting.formula.name) " is not baked after all. Its grain is free again." }
        (draw::text(visit, "reason", "Why, if you like", ""))
        (draw::book(visit, "Drop it"))
    })
}

fn drop_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let Some(reason) = visit.typed.note_if("reason") else {
        return Err(Faulty.into());
    };
    let code = visit.part("bake").to_owned();
    let answer = visit.desk.drop_bake(&code, reason.as_deref())?;
    Ok(visit.booked(&answer))
}

fn add_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let choices = offered::formulas(visit)?;
    let first = choices
        .first()
        .map_or("", |choice| &choice.value)
        .to_owned();
    let tomorrow = visit.zone().date(visit.now) + chrono::Days::new(1);
    Ok(html! {
        (draw::choices(visit, "formula", "Formula", &choices, &first))
        (draw::day_time(visit, "at", "When", (&tomorrow.to_string(), "")))
        (draw::choices(visit, "point", "What happens then", &offered::points(), Point::Ready.as_str()))
        (draw::count(visit, "pieces", "Pieces; left empty for those of the formula", "", "pieces"))
        (draw::mass(visit, "piece", "Raw weight of a piece; left empty for that of the formula", "", "g"))
        (draw::tick(visit, "firm", "It is baked in any case", true))
        (draw::text(visit, "lot", "Only of this lot", ""))
        (draw::text(visit, "note", "Note", ""))
        (draw::book(visit, "Plan it"))
    })
}

fn add_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let zone = visit.zone().clone();
    let now = visit.now;
    let typed = &mut visit.typed;
    let formula = typed.name("formula", "the formula");
    let at = typed.coming("at", now, &zone);
    let point = typed.one_of::<Point>("point", "what happens then");
    let pieces = typed.count_if("pieces");
    let piece = typed.mass_if("piece");
    let note = typed.note_if("note");
    let (Some(formula), Some(at), Some(point), Some(pieces), Some(piece), Some(note)) =
        (formula, at, point, pieces, piece, note)
    else {
        return Err(Faulty.into());
    };
    let wishes = BakeWishes {
        pieces,
        piece,
        firm: Some(typed.given("firm").is_some()),
        lots: typed.given("lot").into_iter().collect(),
        note,
        ..BakeWishes::default()
    };
    let answer = visit.desk.add_bake(&AddBake {
        formula: &formula,
        at: (at, point),
        wishes: &wishes,
    })?;
    Ok(visit.booked(&answer))
}
