//! What long answers cost on the book of ten years, beside one query in the shell that joins and prints the same rows.

use super::measure::{Contender, race};
use super::processor_time::{CHILDREN, usage};
use super::{ROUNDS, books, heading, program, ratio, sqlite3, table};
use std::path::Path;

/// What counts, with the lot and the source of each.
const JOINED: &str = "FROM entry LEFT JOIN lot ON lot.id = entry.lot_id LEFT JOIN source ON source.id = lot.source_id
     LEFT JOIN place ON place.id = entry.place_id
     WHERE NOT EXISTS (SELECT 1 FROM out_of_force AS gone WHERE gone.entry_id = entry.id)";
const CODE: &str = "letters || '-' || brewed_on || '-' || number, source.name, brewed_on";
const TAKEN: &str = "entry.kind IN ('use', 'discard', 'give', 'treat', 'count')";

/// A long answer: the words for it and the query that it is held against.
struct Long {
    words: &'static [&'static str],
    query: String,
}

/// The one source that is asked for.
const SOURCE: &str = "Quayside";

fn all() -> [Long; 5] {
    let usage = format!(
        "SELECT datetime(at, 'unixepoch'), {CODE}, entry.kind, words, wet_mg, recorded_by {JOINED} AND {TAKEN} ORDER BY at, entry.id"
    );
    let log = format!(
        "SELECT entry.id, entry.kind, datetime(at, 'unixepoch'), {CODE}, wet_mg, temperature_mc, place.name, words, recorded_by {JOINED} ORDER BY entry.id"
    );
    let trace = format!(
        "SELECT datetime(at, 'unixepoch'), {CODE}, form, grist, entry.kind, words, wet_mg, recorded_by {JOINED}
         AND source.name = '{SOURCE}' AND ({TAKEN} OR entry.kind = 'pickup') ORDER BY entry.kind = 'pickup' DESC, at, entry.id"
    );
    [
        Long {
            words: &["usage", "--csv", "-"],
            query: usage.clone(),
        },
        Long {
            words: &["usage"],
            query: usage,
        },
        Long {
            words: &["log"],
            query: log,
        },
        Long {
            words: &["trace", "--source", SOURCE, "--csv", "-"],
            query: trace.clone(),
        },
        Long {
            words: &["trace", "--source", SOURCE],
            query: trace,
        },
    ]
}

pub fn long_answers(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let book = &books::long(folder)?;
    let (_, entries) = books::size(book)?;
    heading(&format!("Long answers: a book of {entries} entries"));
    for long in all() {
        let name = format!("draff {}", long.words.join(" "));
        let mut contenders = vec![Contender::new(&name, || {
            let mut command = program();
            command
                .args(long.words)
                .args(["--now", books::NOW, "--book"]);
            command.arg(book);
            command
        })];
        if shell {
            contenders.push(Contender::new("sqlite3, the same rows", || {
                sqlite3(book, &[".mode csv", &long.query])
            }));
        }
        let costs = race(&contenders, ROUNDS / 8)?;
        table(&contenders, &costs);
        if shell {
            ratio("draff ÷ sqlite3", costs[0], costs[1], 3.0);
        }
    }
    let most = usage(CHILDREN)?.1 / 1_000_000;
    println!("  no program that was run so far held more than {most} MB");
    Ok(())
}
