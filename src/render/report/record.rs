//! Tables for whoever inspects: temperatures, and what was put right.

use super::table::{Cell, Table};
use crate::keeping::PlaceKind;
use crate::ledger::EntryRecord;
use crate::render::times;
use crate::report::period::PeriodReport;

/// The air of each place.
pub fn places(report: &PeriodReport) -> Table {
    Table {
        key: "places",
        title: "Air of each place",
        columns: &[
            ("place", "Place"),
            ("kind", "Kind"),
            ("readings", "Readings"),
            ("lowest_c", "Lowest"),
            ("highest_c", "Highest"),
            ("out_of_limit_minutes", "Out of limit"),
            ("excursions", "Times"),
            ("without_reading_minutes", "Without a reading"),
        ],
        spare: &["kind", "readings"],
        rows: report
            .places
            .iter()
            .map(|place| {
                let watch = place.watch.as_ref();
                let has_limit = !matches!(place.kind, PlaceKind::Ambient | PlaceKind::DryStore);
                let minutes = |time| Cell::Minutes(times::begun_minutes(time));
                vec![
                    Cell::from(place.name.as_str()),
                    Cell::from(place.kind.as_str()),
                    Cell::Count(watch.map_or(0, |watch| watch.readings)),
                    watch.map_or(Cell::None, |watch| Cell::Temperature(watch.lowest)),
                    watch.map_or(Cell::None, |watch| Cell::Temperature(watch.highest)),
                    watch.filter(|_| has_limit).map_or(Cell::None, |watch| {
                        minutes(watch.out_of_limit(report.as_of))
                    }),
                    watch.map_or(Cell::None, |_| Cell::Count(place.excursions.len())),
                    watch.map_or(Cell::None, |watch| minutes(watch.unknown)),
                ]
            })
            .collect(),
    }
}

/// Times out of limit.
pub fn excursions(report: &PeriodReport) -> Table {
    let rows = report.places.iter().flat_map(|place| {
        place.excursions.iter().map(|(found, changed)| {
            let is_hot = found.kind == PlaceKind::HotHold;
            vec![
                Cell::from(place.name.as_str()),
                Cell::At(found.from),
                found.to.map_or(Cell::None, Cell::At),
                found.to.map_or(Cell::None, |to| {
                    Cell::Minutes(times::begun_minutes(to - found.from))
                }),
                Cell::Temperature(if is_hot { found.lowest } else { found.highest }),
                Cell::Count(*changed),
            ]
        })
    });
    Table {
        key: "excursions",
        title: "Times out of limit",
        columns: &[
            ("place", "Place"),
            ("from_at", "From"),
            ("to_at", "To"),
            ("lasted_minutes", "Lasted"),
            ("worst_c", "Worst"),
            ("lots_changed", "Lots with another date"),
        ],
        spare: &["lots_changed"],
        rows: rows.collect(),
    }
}

/// Entries struck or corrected.
pub fn put_right(report: &PeriodReport) -> Table {
    let about = |entry: &EntryRecord| {
        let lot = entry.lot.map(|lot| lot.to_string());
        let code = lot.or(entry.bake.map(|bake| bake.to_string()));
        code.map_or_else(|| Cell::from(entry.place.clone()), Cell::Code)
    };
    Table {
        key: "put_right",
        title: "Entries struck or corrected",
        columns: &[
            ("entry", "Entry"),
            ("kind", "Kind"),
            ("about", "About"),
            ("what", "What"),
            ("by_entry", "By entry"),
            ("at", "When"),
            ("by", "Who"),
            ("reason", "Why"),
        ],
        spare: &["by_entry", "by", "at"],
        rows: report
            .put_right
            .iter()
            .map(|(by, of)| {
                let is_strike = by.strikes.is_some();
                vec![
                    Cell::Text(of.entry.to_string()),
                    Cell::from(of.kind.as_str()),
                    about(of),
                    Cell::from(if is_strike { "struck" } else { "corrected" }),
                    Cell::Text(by.entry.to_string()),
                    Cell::At(by.recorded_at),
                    Cell::from(by.by.clone()),
                    Cell::from(if is_strike {
                        by.words.clone()
                    } else {
                        by.reason.clone()
                    }),
                ]
            })
            .collect(),
    }
}
