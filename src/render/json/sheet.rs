//! JSON of the bench sheet and of a calendar of bakes.

use super::batch::{BatchAnswer, in_dough};
use super::grams;
use super::plan::{Condition, IntoPlace};
use crate::quantity::Zone;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use crate::report::sheet::{SheetAnswer, SheetDraw, StillTo};
use serde::Serialize;

/// `sheet --json`.
#[derive(Serialize)]
pub struct Sheet {
    bake: String,
    version: u32,
    #[serde(flatten)]
    times: Times,
    pieces: u32,
    piece_g: f64,
    firm: bool,
    left_out_by_plan: bool,
    draws: Vec<Draw>,
    conditions: Vec<Condition>,
    note: Option<String>,
    #[serde(flatten)]
    batch: BatchAnswer,
}

/// The moments of a bake that others plan with.
#[derive(Serialize)]
struct Times {
    starts_at: String,
    mix_at: String,
    in_oven_at: Option<String>,
    ready_at: String,
}

#[derive(Serialize)]
struct Draw {
    lot: String,
    wet_g: f64,
    form: String,
    place: Option<String>,
    verdict: &'static str,
    keep_until: Option<String>,
    part_spoiled_at: Option<String>,
    freeze_by: Option<String>,
    dry_by: Option<String>,
    dry_wet_g: Option<f64>,
    show_dry_by: Option<String>,
    thaw_by: Option<String>,
}

/// `bake calendar --json`: what the file holds.
#[derive(Serialize)]
pub struct Calendar {
    bakes: Vec<Bake>,
    tasks: Vec<Task>,
}

#[derive(Serialize)]
struct Bake {
    bake: String,
    formula: String,
    #[serde(flatten)]
    times: Times,
    pieces: u32,
    piece_g: f64,
    left_out_by_plan: bool,
    dropped: bool,
    note: Option<String>,
}

#[derive(Serialize)]
struct Task {
    action: &'static str,
    lot: String,
    wet_g: f64,
    block_g: Option<f64>,
    by: String,
    bake: Option<String>,
    into: Vec<IntoPlace>,
    dropped: bool,
}

impl Times {
    fn new(timetable: &crate::dough::timetable::Timetable, zone: &Zone) -> Self {
        Self {
            starts_at: zone.rfc3339(timetable.begins_at()),
            mix_at: zone.rfc3339(timetable.mix_at),
            in_oven_at: timetable.in_oven_at.map(|at| zone.rfc3339(at)),
            ready_at: zone.rfc3339(timetable.ready_at),
        }
    }
}

impl Sheet {
    /// From the sheet.
    pub fn new(sheet: &SheetAnswer, zone: &Zone) -> Self {
        let still_to = |draw: &SheetDraw| match draw.still_to {
            Some(StillTo::Freeze(by)) => (Some(by), None, None),
            Some(StillTo::Dry(by, wet)) => (None, Some((by, wet)), None),
            Some(StillTo::ShowDry(by)) => (None, None, Some(by)),
            None => (None, None, None),
        };
        let draw = |draw: &SheetDraw| {
            let (freeze, dry, show_dry) = still_to(draw);
            Draw {
                lot: draw.lot.clone(),
                wet_g: grams(draw.wet),
                form: draw.form.to_string(),
                place: draw.place.clone(),
                verdict: draw.verdict.as_str(),
                keep_until: draw.keep_until.map(|at| zone.rfc3339(at)),
                part_spoiled_at: draw.spoiled_part.map(|part| zone.rfc3339(part.at)),
                freeze_by: freeze.map(|at| zone.rfc3339(at)),
                dry_by: dry.map(|(at, _)| zone.rfc3339(at)),
                dry_wet_g: dry.map(|(_, wet)| wet.grams()),
                show_dry_by: show_dry.map(|at| zone.rfc3339(at)),
                thaw_by: draw.thaw_by.map(|at| zone.rfc3339(at)),
            }
        };
        Self {
            bake: sheet.bake.clone(),
            version: sheet.version,
            times: Times::new(&sheet.timetable, zone),
            pieces: sheet.pieces,
            piece_g: grams(sheet.piece),
            firm: sheet.firm,
            left_out_by_plan: sheet.is_left_out,
            draws: sheet.draws.iter().map(draw).collect(),
            conditions: sheet
                .conditions()
                .into_iter()
                .map(|(lot, condition)| {
                    Condition::new(lot, condition, vec![sheet.bake.clone()], zone)
                })
                .collect(),
            note: sheet.note.clone(),
            batch: BatchAnswer::of(
                &sheet.formula.name,
                &sheet.batch,
                sheet.warmth.as_ref(),
                None,
                (sheet.moisture_standard, &sheet.moisture_from),
                &in_dough(&sheet.drying, sheet.draws.len()),
            ),
        }
    }
}

impl Calendar {
    /// From what the calendar shows.
    pub fn new(calendar: &CalendarAnswer, zone: &Zone) -> Self {
        let bake = |bake: &CalendarBake| Bake {
            bake: bake.bake.clone(),
            formula: bake.formula.name.clone(),
            times: Times::new(&bake.timetable, zone),
            pieces: bake.pieces,
            piece_g: grams(bake.piece),
            left_out_by_plan: bake.is_left_out,
            dropped: bake.is_dropped,
            note: bake.note.clone(),
        };
        let task = |task: &CalendarTask| Task {
            action: task.work.as_str(),
            lot: task.lot.clone(),
            wet_g: task.wet.grams(),
            block_g: task.block.as_ref().map(|block| block.all.grams()),
            by: zone.rfc3339(task.by),
            bake: task.bake.clone(),
            into: task
                .portions
                .iter()
                .map(|(bake, wet, place)| IntoPlace {
                    bake: bake.clone(),
                    wet_g: wet.grams(),
                    place: place.clone(),
                })
                .collect(),
            dropped: task.is_dropped,
        };
        Self {
            bakes: calendar.bakes.iter().map(bake).collect(),
            tasks: calendar.tasks.iter().map(task).collect(),
        }
    }
}
