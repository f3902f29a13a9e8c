//! `report --json`: every table as a list of rows, each cell under the name of its column.

use super::table::{Cell, Reader, Table};
use crate::report::period::PeriodReport;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use serde_json::{Value, json};

/// The answer of `report --json`.
pub struct Report {
    facts: Keyed<Value>,
    tables: Vec<(&'static str, Vec<Keyed<Value>>)>,
}

/// Values under their names, in this order.
struct Keyed<V>(Vec<(&'static str, V)>);

impl Report {
    /// From a report.
    pub fn new(report: &PeriodReport, reader: Reader<'_>) -> Self {
        let at = |at| reader.zone.rfc3339(at);
        let sections = super::sections(report, reader);
        Self {
            facts: Keyed(vec![
                ("as_of", json!(at(report.as_of))),
                ("from_at", json!(report.period.from.map(at))),
                ("before", json!(report.period.before.map(at))),
                ("heading", json!(super::heading(report, reader))),
                ("plans_accepted", json!(report.plans)),
                ("moisture_tests", json!(report.tests.0)),
                ("lots_tested", json!(report.tests.1)),
                ("flour_price_per_kg", json!(report.flour_price)),
            ]),
            tables: sections
                .iter()
                .flat_map(|section| &section.tables)
                .map(|table| (table.key, rows(table, reader)))
                .collect(),
        }
    }
}

fn rows(table: &Table, reader: Reader<'_>) -> Vec<Keyed<Value>> {
    let keys = || table.columns.iter().map(|(key, _)| *key);
    let cells = |row: &Vec<Cell>| {
        keys()
            .zip(row.iter().map(|cell| cell.json(reader.zone)))
            .collect()
    };
    table.rows.iter().map(cells).map(Keyed).collect()
}

impl<V: Serialize> Serialize for Keyed<V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

impl Serialize for Report {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        for (key, value) in &self.facts.0 {
            map.serialize_entry(key, value)?;
        }
        for (key, rows) in &self.tables {
            map.serialize_entry(key, rows)?;
        }
        map.end()
    }
}
