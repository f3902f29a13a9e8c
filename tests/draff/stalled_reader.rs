//! A reader of stdout that reads nothing holds up nobody: an answer, or each piece of a long one, is read from the book
//! before its first byte is shown. What is written meanwhile is not in the answer.

use crate::env::{Kitchen, Ran};
use rusqlite::Connection;
use std::io::Read;
use std::process::Stdio;

const LOTS: usize = 2_000;
/// What a pipe holds that nobody reads (Linux, pipe(7): 65,536 bytes).
const PIPE: usize = 65_536;

fn stocked() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    let mut rows = String::from("source,brewed,mash_out,wet,cooled\n");
    for _ in 0..LOTS {
        rows.push_str("Alder Lane,2026-11-20,07:30,2kg,09:00\n");
    }
    kitchen.file("pickups.csv", rows);
    kitchen.ok("pickup --csv pickups.csv");
    // Thousands of acts, one by one, would take long.
    let book = Connection::open(kitchen.book()).unwrap();
    book.execute_batch(
        "INSERT INTO entry (kind, lot_id, at, recorded_at, wet_mg, words)
         SELECT 'use', pickup.lot_id, pickup.recorded_at, pickup.recorded_at, 1000, 'oat loaf'
         FROM entry AS pickup JOIN json_each('[1,2,3,4]') WHERE pickup.kind = 'pickup';
         UPDATE stock SET wet_mg = wet_mg - 4000;",
    )
    .unwrap();
    let lot = kitchen.lot("5kg");
    (kitchen, lot)
}

/// A pager that stands still: the question has begun to answer, more is to come than the pipe holds, and nobody reads
/// on. Whoever writes meanwhile would wait for 5 s and then be refused if the question still held the book.
#[test]
fn a_writer_does_not_wait_for_a_stalled_reader() {
    let (kitchen, lot) = stocked();
    for words in [
        &["shelf"][..],
        &["--json", "shelf"],
        &["log"],
        &["--json", "log"],
        &["usage"],
        &["usage", "--csv", "-"],
        &["--json", "usage"],
        &["trace", "--source", "Alder Lane"],
        &["--json", "trace", "--source", "Alder Lane"],
        &["trace", "oat loaf"],
        &["trace", "--source", "Alder Lane", "--csv", "-"],
    ] {
        let whole = kitchen.run_words(words);
        let mut command = kitchen.command();
        let mut stalled = command
            .args(words)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut pipe = stalled.stdout.take().unwrap();
        let mut shown = vec![0];
        pipe.read_exact(&mut shown).unwrap();

        let used = ["use", &lot, "--wet", "1g", "--for", "tin loaf"];
        let used = Ran::of(kitchen.command().args(used));
        assert_eq!(used.code, 0, "{words:?}: {}", used.err);
        let is_running = stalled.try_wait().unwrap().is_none();
        assert!(is_running, "{words:?}: the reader was not stalled");

        pipe.read_to_end(&mut shown).unwrap();
        assert!(stalled.wait().unwrap().success());
        assert!(shown.len() > 2 * PIPE, "{words:?}: {} bytes", shown.len());
        let shown = String::from_utf8(shown).unwrap();
        assert!(shown == whole.out, "{words:?}: the answer of its moment");
    }
}
