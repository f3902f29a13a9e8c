//! A million readings of a logger: how fast they are read in, and what they cost whoever asks afterwards.

use super::books::OPEN;
use super::measure::{Contender, race};
use super::{ROUNDS, books, draff_shelf, heading, program, ratio, settle, sqlite3, table};
use anyhow::ensure;
use std::path::Path;
use std::process::Command;

const READINGS: usize = 1_000_000;

fn draff(words: &[&str], book: &Path) -> Command {
    let mut command = program();
    command
        .args(words)
        .args(["--now", books::NOW, "--book"])
        .arg(book);
    command
}

/// `readings --csv` into a book with lots on hand against `.import` of the same file into one plain table.
pub fn readings(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let fresh = books::short(folder)?;
    let (book, file) = (folder.join("read-in.draff"), folder.join("readings.csv"));
    std::fs::write(&file, books::readings_csv(READINGS))?;
    let plain = folder.join("plain-readings.sqlite");
    let ours = Contender::new("draff readings --csv", || {
        let mut command = draff(&["readings", "fridge"], &book);
        command.arg("--csv").arg(&file);
        command
    })
    .after(|| {
        std::fs::copy(&fresh, &book)?;
        settle(&book)
    });
    let mut contenders = vec![ours];
    if shell {
        let import = format!(".import --csv --skip 1 '{}' reading", file.display());
        let plain = &plain;
        contenders.push(
            Contender::new("sqlite3 .import", move || sqlite3(plain, &[&import])).after(
                move || {
                    if plain.exists() {
                        std::fs::remove_file(plain)?;
                    }
                    let made = sqlite3(plain, &["CREATE TABLE reading (at, celsius)"]).status()?;
                    ensure!(made.success(), "the plain table is not made");
                    settle(plain)
                },
            ),
        );
    }
    heading(&format!(
        "Readings: a file of {READINGS} rows into a book with {OPEN} lots on hand"
    ));
    let costs = race(&contenders, ROUNDS / 8)?;
    let written: i64 = rusqlite::Connection::open(&book)?.query_row(
        "SELECT count(*) FROM air_reading",
        [],
        |row| row.get(0),
    )?;
    ensure!(
        written == READINGS as i64,
        "{written} readings were read in"
    );
    table(&contenders, &costs);
    if shell {
        ratio("draff readings ÷ sqlite3 .import", costs[0], costs[1], 2.0);
    }
    Ok(())
}

/// `shelf` on a book with a million readings of the fridge against the same book without them; and how long the
/// summary of all of them takes.
pub fn measured(folder: &Path, _: bool) -> anyhow::Result<()> {
    let (without, with) = (books::short(folder)?, folder.join("with.draff"));
    std::fs::copy(&without, &with)?;
    let file = folder.join("air.csv");
    std::fs::write(&file, books::readings_csv(READINGS))?;
    let read_in = draff(&["readings", "fridge"], &with)
        .arg("--csv")
        .arg(&file)
        .output()?;
    ensure!(
        read_in.status.success(),
        "{}",
        String::from_utf8_lossy(&read_in.stderr)
    );
    let contenders = [
        Contender::new("draff shelf, with readings", || draff_shelf(&with)),
        Contender::new("draff shelf, without", || draff_shelf(&without)),
        Contender::new("draff readings --summary", || {
            draff(&["readings", "fridge", "--summary"], &with)
        }),
    ];
    heading(&format!(
        "Shelf with {READINGS} readings of the fridge, {OPEN} lots on hand"
    ));
    let costs = race(&contenders, ROUNDS / 4)?;
    table(&contenders, &costs);
    ratio("with readings ÷ without", costs[0], costs[1], 2.0);
    Ok(())
}
