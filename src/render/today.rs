//! What is due, in order of time: a heading for each day, a line for each thing to do.

use super::numbers::Units;
use super::plan::{out_whole, task_words};
use super::{lot, ticket, times, timetable, words};
use crate::keeping::{Advice, TicketSays};
use crate::planning::plan::Work;
use crate::quantity::Milligrams;
use crate::quantity::text::count;
use crate::quantity::{Instant, Zone};
use crate::report::today::{Due, DueTask, TodayAnswer};

/// Room of a time that is one word or an hour; what is longer ends with a colon.
const CELL: usize = 8;

/// The whole list.
pub fn text(answer: &TodayAnswer, units: Units, zone: &Zone) -> String {
    let now = answer.as_of;
    let is_later = |due: &&Due| due.by.is_some_and(|by| by > answer.until);
    let later = answer.due.iter().filter(is_later).count();
    let mut out = String::new();
    words::wrapped(
        &mut out,
        "",
        "",
        &format!(
            "{}: {} due until {}{}",
            times::heading(now, zone),
            count(answer.due.len() - later, "thing"),
            times::moment(answer.until, now, zone),
            if later > 0 {
                ", and what goes first after that"
            } else {
                ""
            }
        ),
    );
    if answer.due.is_empty() {
        out.push('\n');
        words::wrapped(&mut out, "", "", nothing_due(answer));
        if answer.unplanned {
            words::wrapped(
                &mut out,
                "",
                "",
                "No plan is accepted: draff plan makes one.",
            );
        }
        return out;
    }
    let mut heading = String::new();
    for due in &answer.due {
        let group = group(due, answer, zone);
        if group != heading {
            out.push_str(&format!("\n{group}\n"));
            heading = group;
        }
        let cell = time_cell(due, answer.as_of, zone);
        let first = if cell.len() > CELL {
            format!("  {cell}: ")
        } else {
            format!("  {cell:<CELL$} ")
        };
        let line = format!("{}{}", words_of(due, now, units, zone), typed(due, units));
        words::wrapped(&mut out, &first, &" ".repeat(11), &line);
    }
    out
}

/// The time of a line; a word where there is no hour, so that every line shows where it begins.
fn time_cell(due: &Due, now: Instant, zone: &Zone) -> String {
    match (due.by, clock(due, now, zone)) {
        (None, _) => "now".to_owned(),
        (Some(_), hour) if hour.is_empty() => "all day".to_owned(),
        (Some(_), hour) => hour,
    }
}

/// What is said where nothing is due.
pub fn nothing_due(answer: &TodayAnswer) -> &'static str {
    if answer.on_hand == 0 {
        "Nothing is due and no grain is on hand."
    } else {
        "Nothing is due."
    }
}

/// The heading under which it stands: `Late: do these first`, `Now`, or the day.
pub fn group(due: &Due, answer: &TodayAnswer, zone: &Zone) -> String {
    match due.by {
        None => "Now".to_owned(),
        Some(_) if answer.is_late(due) => "Late: do these first".to_owned(),
        Some(by) => times::date(zone.date(by), zone.date(answer.as_of)),
    }
}

/// The time of the clock: `by 13:10 at the latest`, `by 21:00` for what can be done on a later day too, `07:00` for what begins then, `was due Tue 24 Nov 21:00; do it now` where
/// it is late; nothing for what is to be done at once or is a matter of the whole day.
pub fn clock(due: &Due, now: Instant, zone: &Zone) -> String {
    let Some(by) = due.by else {
        return String::new();
    };
    let hour = zone.local(by).format("%H:%M");
    if by < now {
        let date = if zone.date(by) < zone.date(now) {
            format!("{} ", times::date(zone.date(by), zone.date(now)))
        } else {
            String::new()
        };
        let still = match due.task {
            // What may not be used any more is not asked for, see `desk/questions/today`.
            DueTask::Grain { .. } => "; do it now",
            DueTask::Bake { .. } => "; if it is not done, do it now",
            _ => "",
        };
        return format!("was due {date}{hour}{still}");
    }
    let ends_a_day = by == zone.end_of_day(zone.date(by)) - chrono::Duration::seconds(1);
    match due.task {
        _ if ends_a_day => String::new(),
        DueTask::Bake { .. } | DueTask::Overdue { .. } => hour.to_string(),
        DueTask::Grain {
            is_last_moment: false,
            ..
        } => format!("by {hour}"),
        _ => format!("by {hour}{}", times::AT_THE_LATEST),
    }
}

/// What to do, without what to type.
pub fn words_of(due: &Due, now: Instant, units: Units, zone: &Zone) -> String {
    match &due.task {
        DueTask::Keep { lot, advice } => format!(
            "{}{}: {}",
            lot.lot.code,
            in_place(lot.place.as_ref()),
            lot::advice_to_do(advice, now, units, zone)
        ),
        DueTask::WeighAgain {
            lot,
            since,
            samples,
            ..
        } => format!(
            "{lot}: weigh {} again, drying since {}",
            count(*samples, "sample"),
            times::moment(*since, now, zone)
        ),
        DueTask::Grain {
            work,
            lot,
            wet,
            block,
            bake,
            ..
        } => {
            let bake = bake.map(|bake| bake.to_string());
            let grain = format!("{} of {lot}", units.weighed(*wet));
            let words = task_words(*work, &grain, (None, bake.as_deref()));
            match work {
                Work::Thaw => match block {
                    Some(all) => words + &out_whole(*all, &lot.to_string(), *wet, units),
                    None => words,
                },
                Work::Freeze | Work::Dry => format!("{words} (accepted plan)"),
            }
        }
        DueTask::TooLate {
            work,
            lot,
            wet,
            bake,
        } => format!(
            "too late for {bake}: {} of {lot} was not {} in time. Plan again",
            units.weighed(*wet),
            match work {
                Work::Dry => "dried",
                Work::Freeze | Work::Thaw => "frozen",
            }
        ),
        DueTask::NotThawed {
            lot,
            wet,
            bake,
            late_by,
        } => format!(
            "by the book {} of {lot} is still in the freezer. If you take it out now, it will be thawed {} too late for {bake}. Plan again",
            units.weighed(*wet),
            times::minutes(late_by.num_minutes().max(1))
        ),
        DueTask::Bake {
            bake,
            formula,
            event,
            grain,
            not_thawed,
            lacks,
            unusable,
        } => {
            let lacks = if *lacks > Milligrams::ZERO {
                format!(
                    "; SHORT: {} that was promised is gone (draff plan plans anew)",
                    units.weighed(*lacks)
                )
            } else {
                String::new()
            };
            let unusable: Vec<String> = unusable.iter().map(ToString::to_string).collect();
            let unusable = match unusable.as_slice() {
                [] => String::new(),
                lots => format!(
                    "; NOT of {}: spoiled, unknown or used up (draff plan plans anew)",
                    lots.join(", ")
                ),
            };
            let grain: Vec<String> = grain
                .iter()
                .map(|(lot, wet)| {
                    let frozen = match not_thawed.contains(lot) {
                        true => " (NOT THAWED by then)",
                        false => "",
                    };
                    match wet {
                        Some(wet) => format!("{} of {lot}{frozen}", units.weighed(*wet)),
                        None => format!("{lot}{frozen}"),
                    }
                })
                .collect();
            let grain = match grain.as_slice() {
                [] => String::new(),
                lots => format!("; grain: {}", lots.join(", ")),
            };
            format!(
                "{bake} {}: {}{grain}{lacks}{unusable}",
                formula.name,
                timetable::task(formula, event, units)
            )
        }
        DueTask::Overdue { bake, formula } => format!(
            "{bake} {formula}: should have been mixed by now; write down what it came to, or drop it"
        ),
        DueTask::PrintTicket {
            lot,
            printed,
            changed,
        } => {
            let mut wrong = Vec::new();
            if printed.says.is_untrue(&lot.keeping) {
                wrong.push(format!(
                    "says \"{}\", right is \"{}\"",
                    ticket::says(printed.says, now, zone),
                    ticket::says(TicketSays::of(&lot.keeping), now, zone)
                ));
            }
            if !changed.is_empty() {
                let changed = changed.join(" and ");
                wrong.push(format!("was printed before the {changed} was corrected"));
            }
            format!(
                "{}{}: print a new ticket: the one of {} {}",
                lot.lot.code,
                in_place(lot.place.as_ref()),
                times::moment(printed.printed_at, now, zone),
                wrong.join("; it ")
            )
        }
        DueTask::UseFirst { lot, bakes } => {
            let bakes: Vec<String> = bakes
                .iter()
                .map(|(bake, wet)| format!("{} for {bake}", units.weighed(*wet)))
                .collect();
            let goes = match bakes.as_slice() {
                [] => "promised to no bake".to_owned(),
                bakes => format!("promised: {}", bakes.join(", ")),
            };
            format!(
                "{}{}: use {} first, keep until {}; {goes}",
                lot.lot.code,
                in_place(lot.place.as_ref()),
                units.weighed(lot.wet),
                lot::keep_until_cell(lot, zone),
            )
        }
        DueTask::ThrowAway(lot) => format!(
            "{}{}: throw away {}: it is past, {}",
            lot.lot.code,
            in_place(lot.place.as_ref()),
            units.weighed(lot.wet),
            units.in_words(&lot.keeping.binding.limit)
        ),
    }
}

/// ` in walk-in`.
fn in_place<T>(place: Option<&(String, T)>) -> String {
    place.map_or(String::new(), |(name, _)| format!(" in {name}"))
}

/// What to type for it.
fn typed(due: &Due, units: Units) -> String {
    let command = match &due.task {
        DueTask::Keep { lot, advice } => {
            let code = lot.lot.code;
            match advice {
                Advice::TakeTemperature { .. }
                | Advice::ReadInLogger {
                    cold_by: Some(_), ..
                } => format!("draff probe {code} TEMPERATURE"),
                Advice::AskWhenCooled { still_hot, .. } => {
                    let typed = lot::typed_of_unknown(&code.to_string(), still_hot.is_some());
                    return format!(". {typed}");
                }
                Advice::MeasureActivity { .. } => format!("draff probe {code} --aw NUMBER"),
                Advice::BackIntoTheColdBy(_) => format!("draff move {code} --to PLACE"),
                Advice::ReadInLogger { .. } => "draff readings PLACE --csv FILE".to_owned(),
                _ => return String::new(),
            }
        }
        DueTask::WeighAgain { lot, .. } => format!("draff moisture {lot} --weighing PAN,WET,DRY"),
        DueTask::Grain {
            work: Work::Thaw,
            lot,
            block: Some(_),
            ..
        } => format!("draff move {lot} --to fridge"),
        DueTask::Grain { work, lot, wet, .. } => {
            let wet = units.weighed(*wet).replace(' ', "");
            match work {
                Work::Freeze => format!("draff move {lot} --wet {wet} --to freezer"),
                Work::Thaw => format!("draff move {lot} --wet {wet} --to fridge"),
                Work::Dry => format!("draff treat {lot} --step dry --wet-in {wet} --wet-out MASS"),
            }
        }
        DueTask::NotThawed { .. } | DueTask::TooLate { .. } => "draff plan".to_owned(),
        DueTask::Bake { bake, .. } => format!("draff sheet {bake}"),
        DueTask::Overdue { bake, .. } => format!("draff bake done {bake}"),
        DueTask::PrintTicket { lot, .. } => format!("draff ticket {}", lot.lot.code),
        DueTask::UseFirst { .. } => return String::new(),
        DueTask::ThrowAway(lot) => {
            format!("draff discard {} --reason past", lot.lot.code)
        }
    };
    format!(": {command}")
}
