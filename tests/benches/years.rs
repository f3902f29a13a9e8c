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

/// What a report adds up, as bare queries: wet grain by source and way, the moisture of each lot with its range, dry grain by
/// bread and by day, ages at use, lots that came in, and what was put right.
fn sums(from: i64) -> String {
    let counted = format!(
        "FROM entry JOIN lot ON lot.id = entry.lot_id JOIN source ON source.id = lot.source_id
         WHERE entry.at >= {from} AND NOT EXISTS (SELECT 1 FROM out_of_force AS gone WHERE gone.entry_id = entry.id)"
    );
    let moisture = "SELECT entry.lot_id, avg(1.0 * (weighing.wet_mg - drying.dry_mg) / (weighing.wet_mg - weighing.pan_mg)) AS part
         FROM entry JOIN weighing ON weighing.entry_id = entry.id
         JOIN drying USING (entry_id, sample, stage)
         WHERE step = (SELECT max(last.step) FROM drying AS last WHERE last.entry_id = drying.entry_id AND last.sample = drying.sample AND last.stage = drying.stage)";
    let used = format!("{counted} AND entry.kind IN ('use', 'give')");
    format!(
        "SELECT source.name, entry.kind, count(*), sum(entry.wet_mg) {counted} AND entry.wet_mg NOT NULL GROUP BY 1, 2;
         CREATE TEMP TABLE known (lot_id INTEGER PRIMARY KEY, part REAL);
         INSERT INTO known {moisture} AND entry.lot_id IN (SELECT entry.lot_id {counted}) GROUP BY 1;
         SELECT {CODE}, part FROM known JOIN lot ON lot.id = known.lot_id JOIN source ON source.id = lot.source_id
             WHERE known.lot_id IN (SELECT entry.lot_id {counted} AND entry.kind = 'pickup');
         SELECT words, count(*), sum(entry.wet_mg), sum(entry.wet_mg * (1 - (SELECT part FROM known WHERE known.lot_id = entry.lot_id))) {used} GROUP BY 1;
         SELECT date(at, 'unixepoch'), sum(entry.wet_mg * (1 - (SELECT part FROM known WHERE known.lot_id = entry.lot_id))) {used} GROUP BY 1;
         SELECT source.name, avg(at - mash_out_at), max(at - mash_out_at), sum(entry.wet_mg) {used} GROUP BY 1;
         SELECT id, kind, words FROM entry WHERE struck_entry_id NOT NULL OR amends_entry_id NOT NULL;"
    )
}

/// `report` of ten years, and of nineteen days of a long and a short book, each beside the bare sums in the shell.
pub fn report(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let (long, short) = (books::long(folder)?, books::short(folder)?);
    let (_, entries) = books::size(&long)?;
    heading(&format!("Report: a book of {entries} entries"));
    let first = "2026-11-01";
    let begin = "2026-11-01T00:00:00+00:00".parse::<draffbook::quantity::Instant>()?;
    for (name, book, from) in [
        ("ten years", &long, None),
        ("19 days, long book", &long, Some(first)),
        ("19 days, short book", &short, Some(first)),
    ] {
        let since = from.map_or(0, |_| begin.timestamp());
        let queries = sums(since);
        let mut contenders = vec![Contender::new(name, || {
            let mut command = program();
            command.args(["report", "--json", "--now", books::NOW, "--book"]);
            command.arg(book);
            if let Some(from) = from {
                command.args(["--from", from]);
            }
            command
        })];
        if shell {
            contenders.push(Contender::new("sqlite3, the bare sums", || {
                sqlite3(book, &[".mode csv", &queries])
            }));
        }
        let costs = race(&contenders, ROUNDS / 8)?;
        table(&contenders, &costs);
        if shell {
            ratio("draff ÷ sqlite3", costs[0], costs[1], 2.0);
        }
    }
    let most = usage(CHILDREN)?.1 / 1_000_000;
    println!("  no program that was run so far held more than {most} MB");
    Ok(())
}
