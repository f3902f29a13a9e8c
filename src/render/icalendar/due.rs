//! What is due as a calendar file, with an alarm for each thing that has a time: a page on plain HTTP cannot ring.

use super::{CALL_BEFORE, File, caution_lines, position, utc};
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
    let mut names: BTreeMap<String, u32> = BTreeMap::new();
    for one in due {
        let Some(by) = one.by else { continue };
        let words = words_of(one, today.as_of, units, zone);
        let mut id = id(one);
        let place = names.entry(id.clone()).or_default();
        *place += 1;
        // Of two events with one name a calendar shows one alone.
        if *place > 1 {
            id = format!("{id}/{place}");
        }
        file.line("BEGIN", "VEVENT");
        file.prose("UID", &format!("draffbook/{book}/due/{id}"));
        file.line("DTSTAMP", &utc(today.as_of));
        file.line("DTSTART", &utc(by));
        file.prose("SUMMARY", &words);
        let cautions = caution_lines(one.task.cautions());
        file.prose("DESCRIPTION", &cautions.join("\n"));
        // Nobody is called for what is not baked.
        if !matches!(
            one.task,
            DueTask::Bake {
                is_left_out: true,
                ..
            }
        ) {
            file.alarm("TRIGGER", &format!("-PT{CALL_BEFORE}M"), &words);
        }
        file.line("END", "VEVENT");
    }
    file.line("END", "VCALENDAR");
    file.out
}

/// The same thing to do has the same name as long as it is due by the same moment.
fn id(due: &Due) -> String {
    let about = match (due.task.lot(), due.task.bake()) {
        (Some(lot), Some(bake)) => format!("{lot}/{bake}"),
        (Some(lot), None) => lot.to_string(),
        (None, Some(bake)) => bake.to_string(),
        (None, None) => String::new(),
    };
    let what: &str = match &due.task {
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
        DueTask::Bake { event, .. } => &position(event.what),
        DueTask::Overdue { .. } => "overdue",
        DueTask::PrintTicket { .. } => "ticket",
        DueTask::UseFirst { .. } => "use-first",
        DueTask::ThrowAway(_) => "throw-away",
    };
    let by = due.by.map(utc).unwrap_or_default();
    format!("{about}/{what}/{by}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planning::plan::Work;
    use crate::quantity::Instant;

    fn frozen(bake: Option<&str>, wet: &str, by: &str) -> Due {
        Due {
            by: Some(by.parse().unwrap()),
            task: DueTask::Grain {
                work: Work::Freeze,
                lot: "ALD-261120-1T".parse().unwrap(),
                wet: wet.parse().unwrap(),
                block: None,
                bake: bake.map(|bake| bake.parse().unwrap()),
                place: Some("freezer".to_owned()),
                is_last_moment: false,
                latest: None,
            },
        }
    }

    #[test]
    fn each_event_has_a_name_of_its_own() {
        let as_of: Instant = "2026-11-20T10:00:00Z".parse().unwrap();
        let by = "2026-11-21T06:00:00Z";
        let today = TodayAnswer {
            as_of,
            until: "2026-11-28T10:00:00Z".parse().unwrap(),
            on_hand: 1,
            unplanned: false,
            due: vec![
                frozen(Some("B-1S"), "2kg", by),
                frozen(Some("B-2Q"), "2kg", by),
                frozen(None, "1kg", by),
                // Grain of two lots that were joined since, for one bake.
                frozen(Some("B-2Q"), "500g", by),
            ],
        };
        let zone = Zone::named("Europe/Dublin").unwrap();
        let file = text("book", &today, &today.due, Units::Metric, &zone).replace("\r\n ", "");
        let names: Vec<&str> = file
            .split("\r\n")
            .filter_map(|line| line.strip_prefix("UID:draffbook/book/due/"))
            .collect();
        assert_eq!(
            names,
            [
                "ALD-261120-1T/B-1S/freeze/20261121T060000Z",
                "ALD-261120-1T/B-2Q/freeze/20261121T060000Z",
                "ALD-261120-1T/freeze/20261121T060000Z",
                "ALD-261120-1T/B-2Q/freeze/20261121T060000Z/2",
            ]
        );
    }
}
