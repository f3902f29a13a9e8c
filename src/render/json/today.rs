//! `today --json`.

use super::grams;
use crate::keeping::Advice;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::numbers::Units;
use crate::render::today::words_of;
use crate::report::Block;
use crate::report::today::{Due, DueTask, TodayAnswer};
use serde::Serialize;

/// All that is due, in order of time.
#[derive(Serialize)]
pub struct Today {
    as_of: String,
    until: String,
    due: Vec<DueLine>,
}

/// One thing to do.
#[derive(Serialize)]
struct DueLine {
    by: Option<String>,
    latest: Option<String>,
    late: bool,
    task: &'static str,
    lot: Option<String>,
    bake: Option<String>,
    wet_g: Option<f64>,
    block_g: Option<f64>,
    place: Option<String>,
    at_most_c: Option<f64>,
    since: Option<String>,
    drying: Vec<Dish>,
    held_now_g: Option<f64>,
    held_after_g: Option<f64>,
    grain: Vec<Grain>,
    unusable: Vec<String>,
    words: String,
}

/// A sample that is drying.
#[derive(Serialize)]
struct Dish {
    pan_g: f64,
    with_wet_g: f64,
}

/// Grain that goes into a bake: of that lot, or of the lot of the line.
#[derive(Serialize)]
struct Grain {
    lot: String,
    bake: String,
    wet_g: Option<f64>,
    dry_wet_g: Option<f64>,
}

impl Today {
    /// From the answer.
    pub fn new(answer: &TodayAnswer, zone: &Zone) -> Self {
        Self {
            as_of: zone.rfc3339(answer.as_of),
            until: zone.rfc3339(answer.until),
            due: answer
                .due
                .iter()
                .map(|due| line(due, answer, zone))
                .collect(),
        }
    }
}

fn line(due: &Due, answer: &TodayAnswer, zone: &Zone) -> DueLine {
    let task = &due.task;
    let wet = match task {
        DueTask::Keep { lot, .. }
        | DueTask::Test { lot, .. }
        | DueTask::PrintTicket { lot, .. }
        | DueTask::UseFirst { lot, .. }
        | DueTask::ThrowAway(lot) => Some(lot.wet),
        DueTask::Grain { wet, .. }
        | DueTask::NotThawed { wet, .. }
        | DueTask::TooLate { wet, .. } => Some(*wet),
        _ => None,
    };
    let at_most = match task {
        DueTask::Keep {
            advice:
                Advice::TakeTemperature { at_most, .. }
                | Advice::ReadInLogger {
                    cold_by: Some((at_most, _)),
                    ..
                },
            ..
        } => Some(at_most.in_celsius().degrees_celsius()),
        _ => None,
    };
    let since = match task {
        DueTask::WeighAgain { since, .. } => Some(zone.rfc3339(*since)),
        DueTask::PrintTicket { printed, .. } => Some(zone.rfc3339(printed.printed_at)),
        _ => None,
    };
    let next = match task {
        DueTask::Test { next, .. } => Some(next),
        _ => None,
    };
    DueLine {
        by: due.by.map(|by: Instant| zone.rfc3339(by)),
        latest: match task {
            DueTask::Grain { latest, .. } => latest.map(|at| zone.rfc3339(at)),
            _ => None,
        },
        late: answer.is_late(due),
        task: key(task),
        lot: task.lot().map(|lot| lot.to_string()),
        bake: task.bake().map(|bake| bake.to_string()),
        wet_g: wet.map(Milligrams::grams),
        block_g: block(task).map(|block| block.all.grams()),
        place: match task {
            DueTask::Grain { place, .. } => place.clone(),
            _ => None,
        },
        at_most_c: at_most,
        since,
        drying: match task {
            DueTask::WeighAgain { drying, .. } => drying
                .iter()
                .map(|dish| Dish {
                    pan_g: dish.pan.grams(),
                    with_wet_g: dish.wet.grams(),
                })
                .collect(),
            _ => Vec::new(),
        },
        held_now_g: next.map(|next| grams(next.held_now)),
        held_after_g: next.map(|next| grams(next.held_after)),
        grain: grain(task),
        unusable: match task {
            DueTask::Bake { unusable, lost, .. } => {
                let lost = lost.iter().map(|one| one.lot);
                let lots = unusable.iter().map(|(lot, _)| *lot).chain(lost);
                lots.map(|lot| lot.to_string()).collect()
            }
            _ => Vec::new(),
        },
        words: words_of(due, answer.as_of, Units::of(false), zone),
    }
}

/// The frozen block that comes out.
const fn block(task: &DueTask) -> Option<&Block> {
    match task {
        DueTask::Grain { block, .. } => block.as_ref(),
        _ => None,
    }
}

fn grain(task: &DueTask) -> Vec<Grain> {
    match task {
        DueTask::Grain {
            lot,
            block: Some(block),
            ..
        } => block
            .takes
            .iter()
            .map(|(bake, wet)| Grain {
                lot: lot.to_string(),
                bake: bake.to_string(),
                wet_g: Some(wet.grams()),
                dry_wet_g: None,
            })
            .collect(),
        DueTask::Bake { bake, grain, .. } => grain
            .iter()
            .map(|one| Grain {
                lot: one.lot.to_string(),
                bake: bake.to_string(),
                wet_g: one.weighed.map(Milligrams::grams),
                dry_wet_g: one.to_dry.map(Milligrams::grams),
            })
            .collect(),
        DueTask::UseFirst { lot, bakes } => bakes
            .iter()
            .map(|one| Grain {
                lot: lot.lot.code.to_string(),
                bake: one.bake.to_string(),
                wet_g: Some(one.wet.grams()),
                dry_wet_g: None,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// The word for what is to be done.
const fn key(task: &DueTask) -> &'static str {
    match task {
        DueTask::Keep { advice, .. } => match advice {
            Advice::AskMashOut => "ask-mash-out",
            Advice::TakeTemperature { .. }
            | Advice::ReadInLogger {
                cold_by: Some(_), ..
            } => "take-temperature",
            Advice::AskWhenCooled { .. } => "ask-when-cooled",
            Advice::AskWhetherColdBefore { .. } => "ask-whether-cold-before",
            Advice::ReadInLogger { .. } => "read-in-logger",
            Advice::MeasureActivity { .. } => "measure-activity",
            Advice::BackIntoTheColdBy(_) => "back-into-the-cold",
            Advice::UseNow => "use-now",
            Advice::StraightFromTheFreezer | Advice::DaysAfterThawing(_) => "leave-frozen",
        },
        DueTask::WeighAgain { .. } => "weigh-again",
        DueTask::Test { .. } => "test",
        DueTask::Grain { work, .. } => work.as_str(),
        DueTask::NotThawed { .. } => "not-thawed",
        DueTask::TooLate { .. } => "too-late",
        DueTask::Bake { .. } => "bake",
        DueTask::Overdue { .. } => "overdue-bake",
        DueTask::PrintTicket { .. } => "print-ticket",
        DueTask::UseFirst { .. } => "use-first",
        DueTask::ThrowAway(_) => "throw-away",
    }
}
