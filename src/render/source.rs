//! Sources in words.

use super::words;
use crate::ledger::SourceRecord;

/// One line for each source, those that are one below each other.
pub fn text(sources: &[SourceRecord]) -> String {
    if sources.is_empty() {
        return "No sources.\n".to_owned();
    }
    let mut rows = vec![
        ["SOURCE", "CODES BEGIN WITH", "FIRST CALLED"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let mut sorted: Vec<&SourceRecord> = sources.iter().collect();
    sorted.sort_by_key(|source| (source.name.clone(), source.is_joined()));
    rows.extend(sorted.into_iter().map(|source| {
        vec![
            source.name.clone(),
            source.letters.clone(),
            if source.first_name == source.name {
                String::new()
            } else {
                source.first_name.clone()
            },
        ]
    }));
    words::table(&rows, &[false, false, false]).join("\n") + "\n"
}
