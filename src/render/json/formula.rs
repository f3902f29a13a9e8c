//! JSON of formulas.

use crate::ledger::FormulaRecord;
use crate::quantity::Zone;
use serde::Serialize;

/// `formula list --json`.
#[derive(Serialize)]
pub struct Formulas {
    formulas: Vec<Version>,
}

/// One version of a formula.
#[derive(Serialize)]
struct Version {
    formula: String,
    version: u32,
    added_at: String,
    by: Option<String>,
}

/// `formula add --json` and `formula show --json`: one version with its text.
#[derive(Serialize)]
pub struct WithText {
    #[serde(flatten)]
    version: Version,
    toml: String,
}

/// `formula from-masses --json`: the text of a formula that is in no book yet.
#[derive(Serialize)]
pub struct Made {
    /// The text.
    pub toml: String,
}

impl Version {
    fn new(record: &FormulaRecord, zone: &Zone) -> Self {
        Self {
            formula: record.name.clone(),
            version: record.version,
            added_at: zone.rfc3339(record.added_at),
            by: record.by.clone(),
        }
    }
}

impl Formulas {
    /// From the newest version of each.
    pub fn new(records: &[FormulaRecord], zone: &Zone) -> Self {
        Self {
            formulas: records
                .iter()
                .map(|record| Version::new(record, zone))
                .collect(),
        }
    }
}

impl WithText {
    /// From one version.
    pub fn new(record: &FormulaRecord, zone: &Zone) -> Self {
        Self {
            version: Version::new(record, zone),
            toml: record.text.clone(),
        }
    }
}
