//! JSON of formulas.

use super::fraction;
use crate::ledger::FormulaRecord;
use crate::quantity::Zone;
use crate::report::proposals::ProposalsAnswer;
use serde::Serialize;

/// `formula list --json`.
#[derive(Serialize)]
pub struct Formulas {
    formulas: Vec<Version>,
}

/// One version of a formula.
#[derive(Serialize)]
pub(super) struct Version {
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

/// `formula from-masses --json` and `rules --json`: the text of a file to save.
#[derive(Serialize)]
pub struct Made {
    /// The text.
    pub toml: String,
}

/// `formula propose --json`.
#[derive(Serialize)]
pub struct Proposals {
    #[serde(flatten)]
    version: Version,
    mixer: Option<String>,
    proposals: Vec<Proposed>,
}

#[derive(Serialize)]
struct Proposed {
    figure: &'static str,
    stated: Option<f64>,
    found: Option<f64>,
    found_half_width: Option<f64>,
    bakes: usize,
    bakes_of_other_mixers: usize,
    is_proposed: bool,
}

impl Proposals {
    /// From what was asked.
    pub fn new(answer: &ProposalsAnswer, zone: &Zone) -> Self {
        Self {
            version: Version::new(&answer.formula, zone),
            mixer: answer.mixer.clone(),
            proposals: answer
                .proposals
                .iter()
                .map(|one| Proposed {
                    figure: one.figure.as_key(),
                    stated: one.stated,
                    found: one.found.map(|found| fraction(found.value)),
                    found_half_width: one.found.map(|found| fraction(found.expanded())),
                    bakes: one.bakes,
                    bakes_of_other_mixers: one.of_other_mixers,
                    is_proposed: one.proposed().is_some(),
                })
                .collect(),
        }
    }
}

impl Version {
    pub(super) fn of_each(records: &[FormulaRecord], zone: &Zone) -> Vec<Self> {
        let versions = records.iter();
        versions.map(|record| Self::new(record, zone)).collect()
    }

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
            formulas: Version::of_each(records, zone),
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
