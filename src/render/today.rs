//! What is due, in order of time: a heading for each day, a line for each thing to do.

mod goes_in;
mod typed;
mod wrong;

use typed::typed;
use wrong::NO_GRAIN;

use super::in_common::{self, Group};
use super::lot::{self, Detail};
use super::moisture::{self, what_a_test_changes};
use super::numbers::Units;
use super::plan::{block_words, task_words};
use super::{bake, shelf, spoiled_part, ticket, times, timetable, words};
use crate::dough::bake_code::BakeCode;
use crate::keeping::TicketSays;
use crate::planning::plan::Work;
use crate::quantity::text::count;
use crate::quantity::{Instant, Zone};
use crate::report::LotAnswer;
use crate::report::bake::MadeLate;
use crate::report::today::{Due, DueTask, TodayAnswer};

/// Room of a time that is one word or an hour; what is longer ends with a colon.
const CELL: usize = 8;

/// The whole list; briefly without the limits that lots passed.
pub fn text(answer: &TodayAnswer, detail: Detail, units: Units, zone: &Zone) -> String {
    let now = answer.as_of;
    let is_later = |due: &&Due| due.by.is_some_and(|by| by > answer.until);
    let later = answer.due.iter().filter(is_later).count();
    let (today, last) = (zone.date(now), zone.date(answer.until));
    let of_today = |due: &&Due| due.by.is_none_or(|by| zone.date(by) <= today);
    let first = answer.due.iter().filter(of_today).count();
    let more = match answer.due.len() - later - first {
        _ if last == today => String::new(),
        0 => format!(", nothing more by the end of {}", times::date(last, today)),
        more => format!(", {more} more by the end of {}", times::date(last, today)),
    };
    let mut out = String::new();
    words::wrapped(
        &mut out,
        "",
        "",
        &format!(
            "{}: {} to do today{more}{}",
            times::heading(now, zone),
            count(first, "thing"),
            if later > 0 {
                ". Below: which grain to use first after that"
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
    let kept: Vec<&LotAnswer> = answer.due.iter().filter_map(kept).collect();
    let shared = shelf::shared_advice(kept.iter().copied(), now, units, zone);
    let mut limits = match detail {
        // Briefly nothing stands below but what to type.
        Detail::Brief => Vec::new(),
        _ => shelf::limits(answer.due.iter().filter_map(thrown_away), units),
    };
    limits.retain(Group::is_shared);
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
        let line = match &due.task {
            DueTask::Keep {
                lot,
                advice,
                taken_by,
            } => {
                let code = lot.lot.code.to_string();
                let to_do = if shelf::is_told_below(&shared, &code) {
                    lot::advice_in_short(advice, &code, now, units, zone)
                } else {
                    lot::advice_words(advice, &code, now, units, zone)
                };
                kept_words(lot, *taken_by, &to_do)
            }
            DueTask::ThrowAway(lot)
                if detail == Detail::Brief
                    || limits
                        .iter()
                        .any(|group| group.is_of(&lot.lot.code.to_string())) =>
            {
                throw_away(lot, units, zone) + &typed(due, units, zone)
            }
            _ => words_of(due, now, units, zone) + &typed(due, units, zone),
        };
        words::wrapped(&mut out, &first, &" ".repeat(11), &line);
    }
    if !limits.is_empty() || shared.iter().any(|(_, groups)| !groups.is_empty()) {
        out.push('\n');
    }
    // Other lots are due as well, so these are named.
    in_common::say(&mut out, "Because", &limits, 0);
    for (label, groups) in &shared {
        in_common::say(&mut out, label, groups, kept.len());
    }
    out
}

/// The lot of which the keeping clock asks for something.
fn kept(due: &Due) -> Option<&LotAnswer> {
    match &due.task {
        DueTask::Keep { lot, .. } => Some(lot),
        _ => None,
    }
}

/// The lot that its limit has ended.
fn thrown_away(due: &Due) -> Option<&LotAnswer> {
    match &due.task {
        DueTask::ThrowAway(lot) => Some(lot),
        _ => None,
    }
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
        // What begins this very moment is not parted from what is to be done at once.
        None => "Now".to_owned(),
        Some(by) if by == answer.as_of || due.may_stand() => "Now".to_owned(),
        Some(_) if answer.is_late(due) => "Late: do these first".to_owned(),
        Some(by) => times::date(zone.date(by), zone.date(answer.as_of)),
    }
}

/// The time of the clock: `by 13:10 at the latest`, `by 21:00` for what can be done on a later day too, `07:00` for what begins then, `was due Tue 24 Nov 21:00; do it now` where
/// it is late, with `, by Wed 25 Nov 01:00 at the latest` of what is to be thawed, `Tue 24 Nov 21:00` of a stage that may stand ready since;
/// nothing for what is to be done at once or is a matter of the whole day.
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
        if due.may_stand() {
            return format!("{date}{hour}");
        }
        let still = match due.task {
            // What may not be used any more is not asked for, see `desk/questions/today`.
            DueTask::Grain { latest, .. } => {
                let latest = latest.map(|at| times::moment(at, now, zone));
                let latest = latest.map(|at| format!(", by {at}{}", times::AT_THE_LATEST));
                format!("; do it now{}", latest.unwrap_or_default())
            }
            _ => String::new(),
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
        DueTask::Keep {
            lot,
            advice,
            taken_by,
        } => {
            let to_do = lot::advice_to_do(advice, now, units, zone);
            kept_words(lot, *taken_by, &to_do)
        }
        DueTask::WeighAgain { lot, since, drying } => format!(
            "{lot}: weigh {} again ({}), drying since {}",
            count(drying.len(), "sample"),
            moisture::dishes(drying),
            times::moment(*since, now, zone)
        ),
        DueTask::Test { lot, next } => {
            let changes = what_a_test_changes(next, units);
            of_lot(lot, &format!("test its moisture: {changes}"))
        }
        DueTask::Grain {
            work,
            lot,
            wet,
            block,
            bake,
            place,
            ..
        } => {
            let bake = bake.map(|bake| bake.to_string());
            let grain = format!("{} of {lot}", units.weighed(*wet));
            let words = match block {
                Some(block) => block_words(block, &lot.to_string(), place.as_deref(), units),
                None => task_words(*work, &grain, (place.as_deref(), bake.as_deref())),
            };
            match work {
                Work::Freeze if place.is_none() => {
                    format!("no freezer is cold enough to freeze {grain}. Plan again")
                }
                Work::Thaw if place.is_none() => {
                    format!("no fridge is cold enough to thaw {grain}. Plan again")
                }
                Work::Thaw => words,
                Work::Freeze | Work::Dry => format!("{words} (accepted plan)"),
            }
        }
        DueTask::TooLate {
            work,
            lot,
            wet,
            bake,
        } => format!(
            "too late for {bake}: {} of {lot} was not {}",
            units.weighed(*wet),
            match work {
                // Drying is written down when it ends.
                Work::Dry =>
                    "dried in time, unless it is drying now: write that down when it ends. Otherwise plan again",
                Work::Freeze | Work::Thaw => "frozen in time. Plan again",
            }
        ),
        DueTask::NotThawed {
            lot,
            wet,
            bake,
            late_by,
            plan_knows,
        } => format!(
            "by the book {} of {lot} is still in the freezer. If you take it out now, it will be thawed {} too late for {bake}{}",
            units.weighed(*wet),
            times::minutes(late_by.num_minutes().max(1)),
            match plan_knows {
                true => format!("; {NO_GRAIN}: move it or drop it"),
                false => ". Plan again".to_owned(),
            }
        ),
        DueTask::Bake {
            bake,
            formula,
            event,
            made_late,
            needs_late,
            ..
        } => {
            let grain = goes_in::words(&due.task, now, units, zone);
            let wrong = wrong::words(&due.task, now, units, zone);
            let stage = |late: &MadeLate| &formula.stages[late.stage].name;
            let late = made_late.as_ref().map_or(String::new(), |late| {
                format!(
                    ". If it is made, nothing to do. If not, make it now; it stands {}, so mix {} or later",
                    times::minutes(late.stands.num_minutes()),
                    times::moment(late.mix_at, now, zone)
                )
            });
            let only_if = needs_late.as_ref().map_or(String::new(), |late| {
                format!(
                    " (not possible unless the {} was made in time)",
                    stage(late)
                )
            });
            format!(
                "{bake} {}: {}{only_if}{grain}{wrong}{late}",
                formula.name,
                timetable::task(formula, event, units)
            )
        }
        DueTask::Overdue {
            bake,
            formula,
            is_left_out: true,
        } => format!(
            "{bake} {formula}: {}, and its time is over; drop it, or write down what it came to if you made it",
            bake::LEFT_OUT
        ),
        DueTask::Overdue { bake, formula, .. } => format!(
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
            let until = lot::keep_until_cell(lot, zone);
            let spoiled = spoiled_part::of_lot(lot, zone)
                .map_or(String::new(), |told| format!(". {}", words::capital(&told)));
            let promised: i64 = bakes.iter().map(|one| one.wet.get()).sum();
            if promised == lot.wet.get() && bakes.iter().all(|one| one.lost.is_none()) {
                // The lines of the bakes say what to do with it.
                let codes: Vec<String> = bakes.iter().map(|one| one.bake.to_string()).collect();
                let all = format!(
                    "all {} goes into {}",
                    units.weighed(lot.wet),
                    codes.join(", ")
                );
                return of_lot(lot, &format!("keep until {until}: {all}{spoiled}"));
            }
            let bakes: Vec<String> = bakes
                .iter()
                .map(|one| bake::promised_to(one, "for", units))
                .collect();
            let goes = match bakes.as_slice() {
                [] => "promised to no bake".to_owned(),
                bakes => format!("promised: {}", bakes.join(", ")),
            };
            let wet = units.weighed(lot.wet);
            let to_do = format!("use {wet} first, keep until {until}; {goes}{spoiled}");
            of_lot(lot, &to_do)
        }
        DueTask::ThrowAway(lot) => format!(
            "{}; {}",
            throw_away(lot, units, zone),
            units.in_words(&lot.keeping.binding.limit)
        ),
    }
}

/// That a lot has to go, with its verdict.
fn throw_away(lot: &LotAnswer, units: Units, zone: &Zone) -> String {
    format!(
        "{}{}: throw away {}: {}, {}",
        lot.lot.code,
        in_place(lot.place.as_ref()),
        units.weighed(lot.wet),
        lot.keeping.verdict,
        lot::keep_until(lot, zone)
    )
}

/// What the keeping clock asks for of a lot, behind the bake that takes the lot before.
fn kept_words(lot: &LotAnswer, taken_by: Option<BakeCode>, to_do: &str) -> String {
    let taken = taken_by.map_or(String::new(), |bake| {
        format!("{bake} takes it only if it is shown dry by then; ")
    });
    of_lot(lot, &format!("{taken}{to_do}"))
}

/// What is to be done with a lot, behind its code and where it is.
fn of_lot(lot: &LotAnswer, to_do: &str) -> String {
    format!("{}{}: {to_do}", lot.lot.code, in_place(lot.place.as_ref()))
}

/// ` in walk-in`.
fn in_place<T>(place: Option<&(String, T)>) -> String {
    place.map_or(String::new(), |(name, _)| format!(" in {name}"))
}
