//! What is due as a calendar file, with an alarm for each thing that has a time: a page on plain HTTP cannot ring.

use super::{CALL_BEFORE, File, caution_lines, utc};
use crate::keeping::Advice;
use crate::quantity::Zone;
use crate::render::numbers::Units;
use crate::render::today::words_of;
use crate::report::today::{Due, DueTask, TodayAnswer};
use std::collections::BTreeMap;

/// The text of the file. `book` tells its events from those of another book; only what is due by a moment is in it.
pub fn text<'d>(
    book: &str,
    today: &TodayAnswer,
    due: impl IntoIterator<Item = &'d Due>,
    units: Units,
    zone: &Zone,
) -> String {
    let mut file = File::default();
    file.line("BEGIN", "VCALENDAR");
    file.line("VERSION", "2.0");
    file.line("PRODID", "-//draffbook//draff//EN");
    file.line("CALSCALE", "GREGORIAN");
    file.prose("X-WR-CALNAME", book);
    let mut times: BTreeMap<String, u32> = BTreeMap::new();
    for one in due {
        let Some(by) = one.by else { continue };
        // Several bags of a lot, or of several freezers, are things to do of their own.
        let time = times.entry(id(one)).or_insert(0);
        *time += 1;
        let id = match *time {
            1 => id(one),
            time => format!("{}/{time}", id(one)),
        };
        let words = words_of(one, today.as_of, units, zone);
        file.line("BEGIN", "VEVENT");
        file.prose("UID", &format!("draffbook/{book}/due/{id}"));
        file.line("DTSTAMP", &utc(today.as_of));
        file.line("DTSTART", &utc(by));
        file.prose("SUMMARY", &words);
        let cautions = caution_lines(one.task.cautions());
        file.prose("DESCRIPTION", &cautions.join("\n"));
        file.alarm("TRIGGER", &format!("-PT{CALL_BEFORE}M"), &words);
        file.line("END", "VEVENT");
    }
    file.line("END", "VCALENDAR");
    file.out
}

/// The same thing to do has the same name as long as it is due by the same moment.
fn id(due: &Due) -> String {
    let about = match (due.task.lot(), due.task.bake()) {
        (Some(lot), _) => lot.to_string(),
        (None, Some(bake)) => bake.to_string(),
        (None, None) => String::new(),
    };
    let what = match &due.task {
        DueTask::Keep { advice, .. } => match advice {
            Advice::TakeTemperature { .. } | Advice::ReadInLogger { .. } => "temperature",
            Advice::MeasureActivity { .. } => "activity",
            _ => "keep",
        },
        DueTask::WeighAgain { .. } => "weigh",
        DueTask::Test { .. } => "test",
        DueTask::Grain { work, .. } => work.as_str(),
        DueTask::NotThawed { .. } => "not-thawed",
        DueTask::TooLate { .. } => "too-late",
        DueTask::Bake { .. } => "bake",
        DueTask::Overdue { .. } => "overdue",
        DueTask::PrintTicket { .. } => "ticket",
        DueTask::UseFirst { .. } => "use-first",
        DueTask::ThrowAway(_) => "throw-away",
    };
    let by = due.by.map(utc).unwrap_or_default();
    format!("{about}/{what}/{by}")
}
