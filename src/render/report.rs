//! What a period came to: questions, each with its answer and the tables behind it.

mod dough;
mod files;
mod findings;
mod grain;
mod grid;
mod json;
mod page;
mod record;
pub mod table;
mod untested;
mod words;

pub use files::{csv, xlsx};
pub use json::Report;
pub use page::{page, questions};
pub use words::text;

use crate::quantity::Zone;
use crate::report::period::PeriodReport;
use chrono::Duration;
use findings::Findings;
use table::Section;

/// Every question of the report, with its tables.
pub fn sections(report: &PeriodReport, reader: table::Reader<'_>) -> Vec<Section> {
    let says = Findings { report, reader };
    vec![
        Section {
            title: "Where did the grain go?",
            says: says.balance(),
            tables: vec![grain::balance(report)],
        },
        Section {
            title: "What flour did it save?",
            says: says.flour(),
            tables: vec![
                grain::breads(report),
                grain::weekdays(report),
                grain::days(report),
            ],
        },
        Section {
            title: "How old was grain when people got it?",
            says: says.ages(),
            tables: vec![grain::ages(report)],
        },
        Section {
            title: "Did bakes get their grain?",
            says: says.bakes(),
            tables: vec![dough::bakes(report)],
        },
        Section {
            title: "How well was moisture known?",
            says: says.moisture(),
            tables: vec![grain::lots(report), grain::limits(report)],
        },
        Section {
            title: "Was the water right?",
            says: says.water(),
            tables: vec![dough::water(report)],
        },
        Section {
            title: "Was grain kept cold?",
            says: says.places(),
            tables: vec![record::places(report), record::excursions(report)],
        },
        Section {
            title: "Were plans kept?",
            says: says.plans(),
            tables: vec![dough::promises(report)],
        },
        Section {
            title: "What is on hand?",
            says: says.on_hand(),
            tables: vec![grain::on_hand(report)],
        },
        Section {
            title: "What was put right?",
            says: says.put_right(),
            tables: vec![record::put_right(report)],
        },
    ]
}

/// In one sentence, what stands out.
pub fn heading(report: &PeriodReport, reader: table::Reader<'_>) -> String {
    Findings { report, reader }.heading()
}

/// The days of the report: `Sun 1 Nov 2026 to Mon 30 Nov 2026`, and of one that goes on, `so far: it goes on to` its last day.
pub fn days_of(report: &PeriodReport, zone: &Zone) -> String {
    let date = |at| zone.date(at).format("%a %-d %b %Y").to_string();
    let last = report
        .period
        .before
        .map_or(report.as_of, |before| before - Duration::seconds(1));
    let days = match report.period.from {
        None => format!("from the first entry to {}", date(last)),
        Some(from) if zone.date(from) >= zone.date(last) => date(from),
        Some(from) => format!("{} to {}", date(from), date(last)),
    };
    match report.goes_on_to {
        None => days,
        Some(before) => {
            let last = date(before - Duration::seconds(1));
            format!("{days} so far: it goes on to {last}")
        }
    }
}
