//! Cautions by themselves, each below its code.

use super::words::wrapped;
use crate::report::Caution;

/// One paragraph for each.
pub fn text(cautions: &[Caution]) -> String {
    let mut out = String::new();
    for caution in cautions {
        if !out.is_empty() {
            out.push('\n');
        }
        wrapped(&mut out, "", "", caution.as_key());
        wrapped(&mut out, "  ", "  ", caution.text());
    }
    out
}
