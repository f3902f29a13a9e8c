//! Files byte for byte, and what an independent parser read in them.

use super::*;
use crate::dough::formula::Formula;
use crate::dough::timetable::{Point, work_out};
use crate::quantity::Milligrams;
use chrono::NaiveTime;
use proptest::prelude::*;
use std::path::{Path, PathBuf};

const PAN_LOAF: &str = include_str!("../../../tests/calendars/pan-loaf.toml");

/// Zones, each with a time of mixing that puts the change of the clock into the steps. In Kolkata and in UTC
/// no clock changes.
const FILES: [(&str, &str, &str, &str); 4] = [
    (
        "dublin",
        "Europe/Dublin",
        "2026-03-29T00:30:00Z",
        "2026-10-24T23:30:00Z",
    ),
    (
        "denver",
        "America/Denver",
        "2026-03-08T08:20:00Z",
        "2026-11-01T06:20:00Z",
    ),
    (
        "kolkata",
        "Asia/Kolkata",
        "2026-03-28T19:00:00Z",
        "2026-10-24T19:00:00Z",
    ),
    ("utc", "UTC", "2026-03-29T00:30:00Z", "2026-10-24T23:30:00Z"),
];

fn at(text: &str) -> Instant {
    text.parse().unwrap()
}

fn bake(code: &str, mixing: &str, sequence: u32, note: Option<&str>) -> CalendarBake {
    let formula = Formula::from_text(PAN_LOAF).unwrap();
    CalendarBake {
        bake: code.to_owned(),
        timetable: work_out(&formula, Point::Mix, at(mixing)).unwrap(),
        pieces: 12,
        piece: "880g".parse::<Milligrams>().unwrap().mass(),
        note: note.map(str::to_owned),
        sequence,
        is_left_out: false,
        is_dropped: false,
        cautions: Vec::new(),
        lost: Vec::new(),
        formula,
    }
}

fn answer(bakes: Vec<CalendarBake>) -> CalendarAnswer {
    let clock = |text| NaiveTime::parse_from_str(text, "%H:%M").unwrap();
    CalendarAnswer {
        book: "Quernhollow Bakery".to_owned(),
        bakes,
        scale: Milligrams::new(1000),
        tasks: Vec::new(),
        night: Some((clock("22:00"), clock("05:00"))),
        written_at: at("2026-03-01T09:00:00Z"),
    }
}

fn sample(spring: &str, autumn: &str) -> CalendarAnswer {
    answer(vec![
        bake("B-1S", spring, 0, None),
        bake(
            "B-2Q",
            autumn,
            3,
            Some(
                "tins, not trays; the crème tin last \\ door shut – ask Nuala first, she has the key: 1 of 2",
            ),
        ),
    ])
}

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/calendars")
        .join(name)
}

/// `UPDATE_DOCS=1 cargo test calendar` writes the files anew; the table is then read from them anew.
#[test]
fn files_are_the_same_to_the_byte() {
    for (name, zone, spring, autumn) in FILES {
        let zone = Zone::named(zone).unwrap();
        let written = text(&sample(spring, autumn), &zone, Units::Metric);
        let path = path(&format!("{name}.ics"));
        if std::env::var_os("UPDATE_DOCS").is_some() {
            std::fs::write(&path, &written).unwrap();
        }
        assert!(
            std::fs::read_to_string(&path).unwrap() == written,
            "{name}.ics differs"
        );
    }
}

/// `tests/calendars/read.csv` was written by the Python library icalendar 7.3.2 from the files beside it,
/// with the zone made from each file's own VTIMEZONE, and again with Python's own zone data. The JavaScript
/// library ical.js read the same begin and end of every event.
///
/// ```python
/// import csv, sys, zoneinfo
/// from datetime import datetime, timezone
/// import icalendar
/// out = csv.writer(sys.stdout, lineterminator="\n")
/// out.writerow(["file", "uid", "sequence", "summary", "begin", "begin_utc", "end_utc", "alarms"])
/// for name in ("dublin", "denver", "kolkata", "utc"):
///     calendar = icalendar.Calendar.from_ical(open(f"tests/calendars/{name}.ics", "rb").read())
///     assert all(not part.errors for part in calendar.walk())
///     own = calendar.walk("VTIMEZONE")[0]
///     named, made = zoneinfo.ZoneInfo(own["TZID"]), own.to_tz(lookup_tzid=False)
///     def utc(prop):
///         if prop.params.get("TZID") is None:
///             assert prop.dt.utcoffset().total_seconds() == 0
///             return prop.dt.astimezone(timezone.utc)
///         plain = prop.dt.replace(tzinfo=None)
///         there = plain.replace(tzinfo=made).astimezone(timezone.utc)
///         assert there == plain.replace(tzinfo=named).astimezone(timezone.utc), (name, plain, there)
///         return there
///     def show(moment):
///         return moment.strftime("%Y-%m-%dT%H:%M:%SZ")
///     for event in calendar.walk("VEVENT"):
///         begin = utc(event["DTSTART"])
///         end = utc(event["DTEND"]) if "DTEND" in event else begin
///         alarms = [f"{a['TRIGGER'].params.get('RELATED', 'START')} {int(a['TRIGGER'].dt.total_seconds())}"
///                   for a in event.walk("VALARM")]
///         out.writerow([name, event["UID"], event["SEQUENCE"], event["SUMMARY"],
///                       begin.astimezone(named).strftime("%Y-%m-%d %H:%M %Z"), show(begin), show(end),
///                       "; ".join(alarms)])
/// ```
#[test]
fn an_independent_parser_reads_the_moments_that_were_meant() {
    let read = std::fs::read_to_string(path("read.csv")).unwrap();
    let mut lines = read.lines().skip(1);
    let mut clocks = 0;
    for (name, zone, spring, autumn) in FILES {
        let zone = Zone::named(zone).unwrap();
        for bake in sample(spring, autumn).bakes {
            for event in &bake.timetable.events {
                let position = match event.what {
                    EventKind::Stage(stage) => format!("stage-{}", stage + 1),
                    EventKind::Step(step) => format!("step-{}", step + 1),
                };
                let show = |at: Instant| at.format("%Y-%m-%dT%H:%M:%SZ").to_string();
                let cells: Vec<&str> = lines
                    .next()
                    .expect("a line for each event")
                    .split(',')
                    .collect();
                assert_eq!(cells[0], name);
                assert_eq!(
                    cells[1],
                    format!("draffbook/Quernhollow Bakery/{}/{position}", bake.bake)
                );
                assert_eq!(cells[2], bake.sequence.to_string());
                let local = zone.local(event.from).format("%Y-%m-%d %H:%M").to_string();
                // The columns behind the summary, which may hold a comma of its own.
                let last = cells.len() - 1;
                assert!(cells[last - 3].starts_with(&local), "{cells:?}");
                assert_eq!(cells[last - 2], show(event.from), "{cells:?}");
                assert_eq!(cells[last - 1], show(event.until), "{cells:?}");
                let alarms = match (event.hands_on, event.at_oven) {
                    (true, _) => "START -600",
                    (_, true) if position == "step-10" => "START -600; END 0",
                    (_, true) => "END 0",
                    _ => "",
                };
                assert_eq!(cells[last], alarms, "{cells:?}");
                clocks += 1;
            }
        }
    }
    assert_eq!(lines.next(), None);
    assert_eq!(clocks, 4 * 2 * 13);
}

#[test]
fn a_doubled_hour_is_written_in_utc() {
    let (_, zone, _, autumn) = FILES[0];
    let file = text(
        &answer(vec![bake("B-2Q", autumn, 0, None)]),
        &Zone::named(zone).unwrap(),
        Units::Metric,
    );
    // 00:30 to 00:42 is before the change, 00:42 to 01:42 ends in the doubled hour.
    assert!(file.contains(
        "DTSTART;TZID=Europe/Dublin:20261025T003000\r\nDTEND;TZID=Europe/Dublin:20261025T004200\r\n"
    ));
    assert!(file.contains("DTSTART:20261024T234200Z\r\nDTEND:20261025T004200Z\r\n"));
}

#[test]
fn a_dropped_bake_is_cancelled_and_calls_nobody() {
    let mut dropped = bake("B-1S", "2026-11-20T06:00:00Z", 4, None);
    dropped.is_dropped = true;
    let file = text(&answer(vec![dropped]), &Zone::utc(), Units::Metric);
    assert_eq!(file.matches("STATUS:CANCELLED\r\n").count(), 13);
    assert_eq!(file.matches("SEQUENCE:4\r\n").count(), 13);
    assert!(!file.contains("VALARM") && !file.contains("CONFIRMED"));
}

#[test]
fn no_bakes_are_a_calendar_without_events() {
    assert_eq!(
        text(&answer(Vec::new()), &Zone::utc(), Units::Metric),
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//draffbook//draff//EN\r\nCALSCALE:GREGORIAN\r\nEND:VCALENDAR\r\n"
    );
}

#[test]
fn offsets_have_seconds_where_there_are_any() {
    for (seconds, expected) in [
        (0, "+0000"),
        (19_800, "+0530"),
        (-25_200, "-0700"),
        (-1521, "-002521"),
    ] {
        assert_eq!(offset(seconds), expected);
    }
}

/// Undoes folding and escaping, as RFC 5545, 3.1 and 3.3.11 say.
fn unfolded(file: &str, name: &str) -> String {
    let joined = file.replace("\r\n ", "");
    let line = joined
        .split("\r\n")
        .find_map(|line| line.strip_prefix(&format!("{name}:")))
        .unwrap()
        .to_owned();
    let mut text = String::new();
    let mut characters = line.chars();
    while let Some(c) = characters.next() {
        match (c, if c == '\\' { characters.next() } else { None }) {
            ('\\', Some('n')) => text.push('\n'),
            ('\\', Some(escaped)) => text.push(escaped),
            _ => text.push(c),
        }
    }
    text
}

proptest! {
    /// As it was typed; what cannot be typed as what it is.
    #[test]
    fn any_text_comes_back_from_lines_that_are_short_enough(words in ".{1,200}") {
        let mut file = File::default();
        file.prose("SUMMARY", &words);
        for line in file.out.split("\r\n") {
            prop_assert!(line.len() <= LONGEST_LINE, "{line}");
        }
        prop_assert!(file.out.ends_with("\r\n"));
        prop_assert_eq!(unfolded(&file.out, "SUMMARY"), visible(&words));
    }
}
