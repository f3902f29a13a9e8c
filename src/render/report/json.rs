//! `report --json`: every table as a list of rows, each cell under the name of its column.

use super::table::{Cell, Reader, Table};
use crate::quantity::Zone;
use crate::report::period::PeriodReport;
use serde::ser::{SerializeMap, SerializeSeq};
use serde::{Serialize, Serializer};
use serde_json::{Value, json};

/// The answer of `report --json`.
pub struct Report<'a> {
    facts: [(&'static str, Value); 8],
    tables: Vec<Table>,
    zone: &'a Zone,
}

impl<'a> Report<'a> {
    /// From a report.
    pub fn new(report: &PeriodReport, reader: Reader<'a>) -> Self {
        let at = |at| reader.zone.rfc3339(at);
        let sections = super::sections(report, reader);
        Self {
            facts: [
                ("as_of", json!(at(report.as_of))),
                ("from_at", json!(report.period.from.map(at))),
                ("before", json!(report.period.before.map(at))),
                ("heading", json!(super::heading(report, reader))),
                ("plans_accepted", json!(report.plans)),
                ("moisture_tests", json!(report.tests.0)),
                ("lots_tested", json!(report.tests.1)),
                ("flour_price_per_kg", json!(report.flour_price)),
            ],
            tables: sections
                .into_iter()
                .flat_map(|section| section.tables)
                .collect(),
            zone: reader.zone,
        }
    }
}

impl Serialize for Report<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        for (key, value) in &self.facts {
            map.serialize_entry(key, value)?;
        }
        for table in &self.tables {
            map.serialize_entry(table.key, &Rows(table, self.zone))?;
        }
        map.end()
    }
}

/// The rows of a table, written one by one: of ten years they are many.
struct Rows<'a>(&'a Table, &'a Zone);

impl Serialize for Rows<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self(table, zone) = self;
        let mut rows = serializer.serialize_seq(Some(table.rows.len()))?;
        for row in &table.rows {
            rows.serialize_element(&Row(table, row, zone))?;
        }
        rows.end()
    }
}

/// A row with the name of each column.
struct Row<'a>(&'a Table, &'a [Cell], &'a Zone);

impl Serialize for Row<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self(table, cells, zone) = self;
        let keys = table.columns.iter().map(|(key, _)| *key);
        serializer.collect_map(keys.zip(cells.iter().map(|cell| cell.json(zone))))
    }
}
