//! Inputs that are kept: one file for each parser, one JSON string on each line, so that any character may
//! stand in them.

use crate::parsers::Parser;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Longer inputs teach little that a shorter one does not, and make the file hard to read.
const LONGEST: usize = 1_500;
/// So many different answers a parser may have before only the shortest inputs are kept.
const MOST: usize = 80;

fn path(parser: &Parser) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/corpus")
        .join(format!("{}.jsonl", parser.name))
}

/// What is kept for a parser, and what it is always tried with.
pub fn inputs(parser: &Parser) -> Vec<String> {
    let kept = std::fs::read_to_string(path(parser)).unwrap_or_default();
    kept.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .chain(parser.good.iter().map(|text| (*text).to_owned()))
        .collect()
}

/// Keeps the inputs that were found, sorted by what is said to them; of very many the shortest.
pub fn write(parser: &Parser, found: &BTreeMap<String, String>) {
    let mut lengths: Vec<usize> = found.values().map(String::len).collect();
    lengths.sort_unstable();
    let longest = lengths
        .get(MOST)
        .map_or(LONGEST, |length| LONGEST.min(*length));
    let text: String = found
        .values()
        .filter(|text| text.len() <= longest)
        .map(|text| format!("{}\n", serde_json::to_string(text).unwrap()))
        .collect();
    std::fs::write(path(parser), text).unwrap();
}
