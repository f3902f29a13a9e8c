//! Cautions by themselves, each below its code.

use super::numbers::Units;
use super::words::{self, labelled, wrapped};
use crate::report::Caution;
use serde::Serialize;

/// One paragraph for each.
pub fn text(cautions: &[Caution], units: Units) -> String {
    let mut out = String::new();
    for caution in cautions {
        if !out.is_empty() {
            out.push('\n');
        }
        wrapped(&mut out, "", "", caution.as_key());
        words::caution(&mut out, &units.in_words(&caution.text()));
        for (label, said) in [
            ("  More", caution.more()),
            ("  Shown", caution.shown()),
            ("  Source", caution.source()),
        ] {
            labelled(&mut out, label, &units.in_words(said));
        }
    }
    out
}

/// The same as JSON, beside the cautions themselves.
#[derive(Debug, Serialize)]
pub struct Explained {
    explained: Vec<Explanation>,
}

#[derive(Debug, Serialize)]
struct Explanation {
    code: &'static str,
    more: &'static str,
    shown: &'static str,
    source: &'static str,
}

impl Explained {
    /// Of these cautions.
    pub fn new(cautions: &[Caution]) -> Self {
        let explanation = |caution: &Caution| Explanation {
            code: caution.as_key(),
            more: caution.more(),
            shown: caution.shown(),
            source: caution.source(),
        };
        Self {
            explained: cautions.iter().map(explanation).collect(),
        }
    }
}
