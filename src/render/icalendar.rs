//! Bakes as a calendar file: RFC 5545, with the zone's own changes of the clock.
//!
//! The same book gives the same bytes. Names of events follow from book, bake and position, so a calendar
//! that reads a later file replaces what it holds.

pub mod due;

use super::kitchen_scale::KitchenScale;
use super::numbers::Units;
use super::plan::{NOT_SPLIT, Portion, block_words, in_portions, into_places, task_words};
use super::timetable::{self, Row};
use super::{bake, times};
use crate::dough::timetable::EventKind;
use crate::quantity::text::visible;
use crate::quantity::zone::ClockSetting;
use crate::quantity::{Instant, Zone};
use crate::report::Caution;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use chrono::{DateTime, Duration};

/// Longest line of a file in octets, its end left out: RFC 5545, 3.1.
const LONGEST_LINE: usize = 75;

/// Somebody is called so many minutes before there is something to do. Our choice.
const CALL_BEFORE: u32 = 10;

/// States of an event: RFC 5545, 3.8.1.11.
const CONFIRMED: &str = "CONFIRMED";
const CANCELLED: &str = "CANCELLED";

/// The text of the file.
pub fn text(answer: &CalendarAnswer, zone: &Zone, units: Units) -> String {
    let mut file = File::default();
    file.line("BEGIN", "VCALENDAR");
    file.line("VERSION", "2.0");
    file.line("PRODID", "-//draffbook//draff//EN");
    file.line("CALSCALE", "GREGORIAN");
    file.zone(answer, zone);
    for bake in &answer.bakes {
        file.bake(bake, answer, zone, units);
    }
    for task in &answer.tasks {
        file.task(task, answer, zone, units);
    }
    file.line("END", "VCALENDAR");
    file.out
}

/// Lines as they are written, folded and ended.
#[derive(Default)]
struct File {
    out: String,
}

impl File {
    /// One content line. Folded between characters, so that none is torn apart.
    fn line(&mut self, name: &str, value: &str) {
        let mut octets = 0;
        for c in format!("{name}:{value}").chars() {
            if octets + c.len_utf8() > LONGEST_LINE {
                self.out.push_str("\r\n ");
                octets = 1;
            }
            self.out.push(c);
            octets += c.len_utf8();
        }
        self.out.push_str("\r\n");
    }

    /// A line whose value is free text.
    fn prose(&mut self, name: &str, text: &str) {
        self.line(name, &escaped(text));
    }

    /// Every change of the clock from the first event to the last, and the setting in force before them.
    fn zone(&mut self, answer: &CalendarAnswer, zone: &Zone) {
        let events = || answer.bakes.iter().flat_map(|bake| &bake.timetable.events);
        let tasks = || answer.tasks.iter().map(|task| task.by);
        let first = events().map(|event| event.from).chain(tasks()).min();
        let last = events().map(|event| event.until).chain(tasks()).max();
        let (Some(first), Some(last)) = (first, last) else {
            return;
        };
        self.line("BEGIN", "VTIMEZONE");
        self.line("TZID", zone.name());
        for setting in zone.clock_settings(first, last) {
            self.setting(&setting);
        }
        self.line("END", "VTIMEZONE");
    }

    fn setting(&mut self, setting: &ClockSetting) {
        let kind = if setting.is_daylight_saving {
            "DAYLIGHT"
        } else {
            "STANDARD"
        };
        // A zone that never had another setting has had this one for as long as there are files.
        let since = setting.since.unwrap_or(DateTime::UNIX_EPOCH);
        // The clock that was left shows when the new setting began: RFC 5545, 3.6.5.
        let shown = since.naive_utc() + Duration::seconds(i64::from(setting.seconds_before));
        self.line("BEGIN", kind);
        self.line("DTSTART", &shown.format("%Y%m%dT%H%M%S").to_string());
        self.line("TZOFFSETFROM", &offset(setting.seconds_before));
        self.line("TZOFFSETTO", &offset(setting.seconds));
        self.prose("TZNAME", &setting.abbreviation);
        self.line("END", kind);
    }

    fn bake(&mut self, bake: &CalendarBake, answer: &CalendarAnswer, zone: &Zone, units: Units) {
        let rows = timetable::rows(
            &bake.formula,
            &bake.timetable,
            answer.night,
            answer.written_at,
            zone,
            units,
        );
        // A stage of its own, or the mixing.
        let own_stage = EventKind::Stage(bake.formula.grain.stage);
        let events = &bake.timetable.events;
        let takes_grain = events
            .iter()
            .position(|event| event.what == own_stage)
            .or_else(|| {
                events
                    .iter()
                    .position(|event| matches!(event.what, EventKind::Step(_)))
            });
        let status = match (bake.is_dropped, bake.is_left_out) {
            (true, _) => CANCELLED,
            (false, true) => "TENTATIVE",
            (false, false) => CONFIRMED,
        };
        let left_out = match bake.is_left_out {
            true => format!(" ({})", bake::LEFT_OUT),
            false => String::new(),
        };
        let mut was_at_oven = false;
        for (index, (event, row)) in events.iter().zip(&rows).enumerate() {
            self.begin(
                answer,
                &format!("{}/{}", bake.bake, position(event.what)),
                i64::from(bake.sequence),
                status,
            );
            self.span(event.from, event.until, zone);
            let task = format!("{}: {}{left_out}", bake.formula.name, row.task);
            self.prose("SUMMARY", &task);
            let is_said = |caution: &Caution| {
                takes_grain == Some(index)
                    || *caution == Caution::RawDough && event.what.makes_dough()
            };
            let said = bake.cautions.iter().copied().filter(is_said);
            let mut description = description(bake, row, KitchenScale::new(units, answer.scale));
            for lost in bake.lost.iter().filter(|_| takes_grain == Some(index)) {
                let lost = bake::lost(lost, units, answer.written_at, zone);
                description.push_str(&format!("\n{lost}: plan again"));
            }
            self.prose("DESCRIPTION", &with_cautions(description, said));
            // Nobody is called for what is not baked.
            if status == CONFIRMED {
                // Between two bake steps the loaves stay where they are, and the end of the first calls.
                if event.hands_on || event.at_oven && !was_at_oven {
                    self.alarm("TRIGGER", &format!("-PT{CALL_BEFORE}M"), &row.task);
                }
                if event.at_oven {
                    self.alarm("TRIGGER;RELATED=END", "PT0S", "to the oven");
                }
            }
            was_at_oven = event.at_oven;
            self.line("END", "VEVENT");
        }
    }

    /// What is to be done with grain by a moment, each an event of its own.
    fn task(&mut self, task: &CalendarTask, answer: &CalendarAnswer, zone: &Zone, units: Units) {
        let portions = task.portions.iter();
        let portions: Vec<Portion<'_>> = portions
            .map(|(bake, wet, place)| (bake.as_deref(), *wet, place.as_deref()))
            .collect();
        let into = into_places(&portions);
        let mut words = match &task.block {
            Some(block) => block_words(block, &task.lot, into.as_deref(), units),
            None => task_words(
                task.work,
                &format!("{} of {}", units.weighed(task.wet), task.lot),
                (into.as_deref(), task.bake.as_deref()),
            ),
        };
        let mut description = match task.accepted_at {
            Some(at) => format!(
                "from the plan of {}",
                times::moment(at, answer.written_at, zone)
            ),
            None => "from no plan: the bake takes it".to_owned(),
        };
        if task.block.is_none()
            && let Some(portions) = in_portions(&portions, units)
        {
            words.push_str(&portions);
            description = format!("{description}\n{NOT_SPLIT}");
        }
        self.begin(
            answer,
            &format!("plan/{}", task.id),
            task.sequence,
            if task.is_dropped {
                CANCELLED
            } else {
                CONFIRMED
            },
        );
        self.span(task.by, task.by, zone);
        self.prose("SUMMARY", &words);
        let cautions = task.cautions.iter().copied();
        self.prose("DESCRIPTION", &with_cautions(description, cautions));
        if !task.is_dropped {
            self.alarm("TRIGGER", &format!("-PT{CALL_BEFORE}M"), &words);
        }
        self.line("END", "VEVENT");
    }

    /// The lines that every event begins with.
    fn begin(&mut self, answer: &CalendarAnswer, id: &str, sequence: i64, status: &str) {
        self.line("BEGIN", "VEVENT");
        self.prose("UID", &format!("draffbook/{}/{id}", answer.book));
        self.line("DTSTAMP", &utc(answer.written_at));
        self.line("SEQUENCE", &sequence.to_string());
        self.line("STATUS", status);
    }

    /// Begin and end. What is done at one moment has no end: RFC 5545, 3.6.1.
    fn span(&mut self, from: Instant, until: Instant, zone: &Zone) {
        // A time that comes twice would be read as its first coming, so such events speak in UTC.
        let is_plain = [from, until]
            .iter()
            .all(|at| zone.resolve(zone.local(*at)) == Ok(*at));
        let mut write = |name: &str, at: Instant| {
            if is_plain {
                let local = zone.local(at).format("%Y%m%dT%H%M%S").to_string();
                self.line(&format!("{name};TZID={}", zone.name()), &local);
            } else {
                self.line(name, &utc(at));
            }
        };
        write("DTSTART", from);
        if until > from {
            write("DTEND", until);
        }
    }

    fn alarm(&mut self, trigger: &str, when: &str, words: &str) {
        self.line("BEGIN", "VALARM");
        self.line("ACTION", "DISPLAY");
        self.line(trigger, when);
        self.prose("DESCRIPTION", words);
        self.line("END", "VALARM");
    }
}

/// What tells an event of a bake from its other events.
fn position(what: EventKind) -> String {
    match what {
        EventKind::Stage(stage) => format!("stage-{}", stage + 1),
        EventKind::Step(step) => format!("step-{}", step + 1),
    }
}

fn description(bake: &CalendarBake, row: &Row, scale: KitchenScale) -> String {
    let mut parts = vec![format!(
        "{}: {} of {}",
        bake.bake,
        crate::quantity::text::count(bake.pieces as usize, "piece"),
        scale.weigh_dough(bake.piece)
    )];
    parts.extend(row.words.clone());
    parts.extend(bake.note.clone());
    if row.at_night {
        parts.push("in the hours called night".to_owned());
    }
    parts.join("\n")
}

/// A description with cautions below it.
fn with_cautions(description: String, cautions: impl IntoIterator<Item = Caution>) -> String {
    let mut lines = vec![description];
    lines.extend(caution_lines(cautions));
    lines.join("\n")
}

/// Cautions, each a line.
fn caution_lines(cautions: impl IntoIterator<Item = Caution>) -> Vec<String> {
    let cautions = cautions.into_iter();
    cautions
        .map(|caution| format!("! {}", caution.text()))
        .collect()
}

/// Text as a value: RFC 5545, 3.3.11. Control characters are not allowed there, and a return by itself would
/// end the line for many a reader.
fn escaped(text: &str) -> String {
    visible(text)
        .replace('\\', "\\\\")
        .replace(';', "\\;")
        .replace(',', "\\,")
        .replace("\r\n", "\\n")
        .replace('\n', "\\n")
}

fn utc(at: Instant) -> String {
    at.format("%Y%m%dT%H%M%SZ").to_string()
}

/// `+0530`, with seconds where there are any: RFC 5545, 3.3.14.
fn offset(seconds: i32) -> String {
    let sign = if seconds < 0 { '-' } else { '+' };
    let (hours, minutes, rest) = (
        seconds.abs() / 3600,
        seconds.abs() / 60 % 60,
        seconds.abs() % 60,
    );
    if rest == 0 {
        format!("{sign}{hours:02}{minutes:02}")
    } else {
        format!("{sign}{hours:02}{minutes:02}{rest:02}")
    }
}

#[cfg(test)]
mod tests;
