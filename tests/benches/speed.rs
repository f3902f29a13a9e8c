//! How fast the program is, held against the `sqlite3` shell on the same files. Run with `cargo bench`;
//! `cargo bench -- shelf` runs the parts whose name holds `shelf`.
//!
//! Every target is a ratio of two programs run by turns on the same machine and disk, so that it means
//! the same on a slow machine and on a fast one.

mod air;
mod books;
mod measure;
mod processor_time;
mod years;

use anyhow::{Context, ensure};
use books::OPEN;
use measure::{Contender, Cost, race};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::time::Instant;

/// The program as it is installed: a copy. What the linker has just written lies in small pieces in the memory of the
/// system, and a program starts a millisecond later from them.
static PROGRAM: OnceLock<PathBuf> = OnceLock::new();

fn program() -> Command {
    Command::new(PROGRAM.get().expect("copied before anything runs"))
}

const ROUNDS: usize = 40;
const ROWS: usize = 100_000;
/// What `shelf` shows, as one query.
const SHELF_ROWS: &str = "SELECT source.letters, lot.brewed_on, lot.number, source.name, lot.kind, lot.form, lot.grist, \
    lot.mash_out_at, stock.wet_mg, place.name FROM stock JOIN lot ON lot.id = stock.lot_id \
    JOIN source ON source.id = lot.source_id JOIN place ON place.id = stock.place_id ORDER BY stock.lot_id";

/// One measurement; it is told the folder to work in and whether the shell is there.
type Part = fn(&Path, bool) -> anyhow::Result<()>;

fn main() -> anyhow::Result<()> {
    let wanted: Vec<String> = std::env::args()
        .skip(1)
        .filter(|argument| !argument.starts_with("--"))
        .collect();
    let parts: [(&str, Part); 8] = [
        ("start-up", start_up),
        ("shelf", shelf),
        ("recall", recall),
        ("years", years::long_answers),
        ("report", years::report),
        ("pickup", pickup),
        ("readings", air::readings),
        ("measured", air::measured),
    ];
    let shell = shell_is_there();
    if !shell {
        println!("`sqlite3` is not installed: ratios to it are left out");
    }
    // Not the system's temporary folder, which may lie in memory and not on a disk.
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?;
    let copy = folder.path().join("draff");
    std::fs::copy(env!("CARGO_BIN_EXE_draff"), &copy)?;
    PROGRAM.get_or_init(|| copy);
    for (name, part) in parts {
        if wanted.is_empty() || wanted.iter().any(|word| name.contains(word.as_str())) {
            part(folder.path(), shell)?;
        }
    }
    Ok(())
}

fn shell_is_there() -> bool {
    Command::new("sqlite3")
        .arg("-version")
        .stdout(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// `shelf` on a small book against opening it in the shell.
fn start_up(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let book = folder.join("small.draff");
    books::with_lots(&book, 2, 8)?;
    show_lots(&book, 8)?;
    let mut contenders = vec![Contender::new("draff shelf", || draff_shelf(&book))];
    if shell {
        contenders.push(Contender::new("sqlite3 select 1", || {
            sqlite3(&book, &["select 1"])
        }));
    }
    heading("Start-up: a book of 10 lots, 8 of them on hand");
    let costs = race(&contenders, ROUNDS * 5)?;
    table(&contenders, &costs);
    if shell {
        ratio("draff shelf ÷ sqlite3 select 1", costs[0], costs[1], 2.0);
    }
    Ok(())
}

/// `shelf` on a book of many years against one of a few weeks with the same lots on hand.
fn shelf(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let start = Instant::now();
    let (long, short) = (books::long(folder)?, books::short(folder)?);
    let (lots, entries) = books::size(&long)?;
    heading(&format!(
        "Shelf: a book of {lots} lots and {entries} entries, {OPEN} lots on hand; and one of 400 lots with the same {OPEN}"
    ));
    println!(
        "  both books filled in {:.1} s, the long one has {} MB",
        start.elapsed().as_secs_f64(),
        std::fs::metadata(&long)?.len() / 1_000_000
    );
    let start = Instant::now();
    let checked = program()
        .args(["check", "--book"])
        .arg(&long)
        .args(["--now", books::NOW])
        .output()?;
    ensure!(
        checked.status.success(),
        "the book is not whole: {}",
        String::from_utf8_lossy(&checked.stdout)
    );
    println!(
        "  draff check proves it whole in {:.1} s",
        start.elapsed().as_secs_f64()
    );
    ensure!(
        show_lots(&long, OPEN)? == show_lots(&short, OPEN)?,
        "both books must show the same"
    );
    let mut contenders = vec![
        Contender::new("draff shelf, long book", || draff_shelf(&long)),
        Contender::new("draff shelf, short book", || draff_shelf(&short)),
    ];
    if shell {
        contenders.push(Contender::new("sqlite3, same rows, long book", || {
            sqlite3(&long, &[SHELF_ROWS])
        }));
    }
    let costs = race(&contenders, ROUNDS * 2)?;
    table(&contenders, &costs);
    ratio("long book ÷ short book", costs[0], costs[1], 1.5);
    if shell {
        ratio("long book ÷ sqlite3", costs[0], costs[2], 3.0);
    }
    Ok(())
}

/// A recall by source and day on a book of many years against the same one on a book of a few weeks, and
/// against a question to the shell that only counts what it has to find.
fn recall(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let (long, short) = (books::long(folder)?, books::short(folder)?);
    let (_, entries) = books::size(&long)?;
    heading(&format!(
        "Recall: every loaf of one brewery's brews of one day, in a book of {entries} entries and in one of 400 lots"
    ));
    let day = "2026-11-10";
    let trace = |book: &Path| {
        let mut command = program();
        command
            .args(["trace", "--source", "Quayside", "--between", day, day])
            .args(["--now", books::NOW, "--book"])
            .arg(book);
        command
    };
    let found = |book: &Path| -> anyhow::Result<Vec<u8>> {
        let ran = trace(book).arg("--json").output()?;
        ensure!(ran.status.success(), "the recall failed");
        let answer: serde_json::Value = serde_json::from_slice(&ran.stdout)?;
        let bakes = answer["bakes"].as_array().map_or(0, Vec::len);
        ensure!(bakes > 0, "the recall found no bake");
        Ok(ran.stdout)
    };
    // Numbers of lots within a day differ with what came before; the grain does not.
    ensure!(!found(&long)?.is_empty() && !found(&short)?.is_empty());
    let counted = format!(
        "SELECT count(*), sum(wet_mg) FROM lot JOIN source ON source.id = lot.source_id JOIN entry ON entry.lot_id = lot.id \
         WHERE source.name = 'Quayside' AND brewed_on = '{day}' AND entry.kind = 'use'"
    );
    let mut contenders = vec![
        Contender::new("draff trace, long book", || trace(&long)),
        Contender::new("draff trace, short book", || trace(&short)),
    ];
    if shell {
        contenders.push(Contender::new("sqlite3, counted, long book", || {
            sqlite3(&long, &[&counted])
        }));
    }
    let costs = race(&contenders, ROUNDS)?;
    table(&contenders, &costs);
    ratio("long book ÷ short book", costs[0], costs[1], 1.5);
    if shell {
        ratio("long book ÷ sqlite3", costs[0], costs[2], 3.0);
    }
    let start = Instant::now();
    let ran = program()
        .args([
            "trace",
            "--grist",
            "chocolate",
            "--csv",
            "-",
            "--now",
            books::NOW,
            "--book",
        ])
        .arg(&long)
        .output()?;
    ensure!(ran.status.success(), "the recall by grist failed");
    println!(
        "  by a malt that is in a third of all lots: {} rows in {:.1} s",
        ran.stdout.iter().filter(|byte| **byte == b'\n').count(),
        start.elapsed().as_secs_f64()
    );
    Ok(())
}

/// Writes what a file of pickups came to into the same tables, with the same indexes and triggers, from a book that has it.
const SAME_ROWS: &str = "BEGIN IMMEDIATE; \
    INSERT OR IGNORE INTO source SELECT * FROM filled.source; INSERT INTO lot SELECT * FROM filled.lot; \
    INSERT OR IGNORE INTO entry SELECT * FROM filled.entry; INSERT INTO stock SELECT * FROM filled.stock; \
    INSERT OR IGNORE INTO chain_link SELECT * FROM filled.chain_link; COMMIT;";

/// `pickup --csv` into an empty book against the rows that it comes to, written by the shell from a book that has them, and
/// against `.import` of the file into one plain table.
fn pickup(folder: &Path, shell: bool) -> anyhow::Result<()> {
    let (fresh, book, file) = (
        folder.join("fresh.draff"),
        folder.join("filled.draff"),
        folder.join("pickups.csv"),
    );
    drop(books::empty(&fresh)?);
    std::fs::write(&file, books::pickups_csv(ROWS))?;
    let plain = folder.join("plain.sqlite");
    let (filled, same) = (folder.join("rows.draff"), folder.join("same.draff"));
    let ours = Contender::new("draff pickup --csv", || {
        let mut command = program();
        command
            .args(["pickup", "--now", books::NOW, "--book"])
            .arg(&book)
            .arg("--csv")
            .arg(&file);
        command
    })
    .after(|| {
        std::fs::copy(&fresh, &book)?;
        settle(&book)
    });
    let mut contenders = vec![ours];
    if shell {
        std::fs::copy(&fresh, &filled)?;
        let booked = program()
            .args(["--quiet", "pickup", "--now", books::NOW, "--book"])
            .arg(&filled)
            .arg("--csv")
            .arg(&file)
            .status()?;
        ensure!(booked.success(), "the book with the rows is not made");
        let attach = format!("ATTACH '{}' AS filled;", filled.display());
        let (fresh, same) = (&fresh, &same);
        contenders.push(
            Contender::new("sqlite3, the same rows", move || {
                sqlite3(same, &[&attach, SAME_ROWS])
            })
            .after(move || {
                std::fs::copy(fresh, same)?;
                settle(same)
            }),
        );
        let import = format!(".import --csv --skip 1 '{}' pickup", file.display());
        let plain = &plain;
        let header = books::pickups_csv(0);
        let create = format!("CREATE TABLE pickup ({})", header.trim());
        contenders.push(
            Contender::new("sqlite3 .import", move || sqlite3(plain, &[&import])).after(
                move || {
                    if plain.exists() {
                        std::fs::remove_file(plain)?;
                    }
                    let made = sqlite3(plain, &[&create]).status()?;
                    ensure!(made.success(), "the plain table is not made");
                    settle(plain)
                },
            ),
        );
    }
    heading(&format!("Pickup: a file of {ROWS} rows"));
    let costs = race(&contenders, ROUNDS / 2)?;
    let (lots, entries) = books::size(&book)?;
    ensure!(lots == ROWS as i64, "{lots} lots were booked in");
    table(&contenders, &costs);
    println!("  {entries} entries were written");
    if shell {
        let imported = sqlite3(&plain, &["select count(*) from pickup"]).output()?;
        ensure!(
            String::from_utf8_lossy(&imported.stdout).trim() == ROWS.to_string(),
            "sqlite3 did not import every row"
        );
        for (name, cost) in contenders.iter().zip(&costs) {
            println!(
                "  {}: {:.0} rows a second",
                name.name,
                ROWS as f64 / cost.wall.as_secs_f64()
            );
        }
        ensure!(
            books::size(&same)? == (lots, entries),
            "the shell wrote other rows"
        );
        ratio(
            "draff pickup ÷ sqlite3, the same rows",
            costs[0],
            costs[1],
            2.0,
        );
    }
    Ok(())
}

/// Has a new file on the disk before the clock starts, so that no run pays for the one before it.
fn settle(path: &Path) -> anyhow::Result<()> {
    Ok(std::fs::File::open(path)?.sync_all()?)
}

fn draff_shelf(book: &Path) -> Command {
    let mut command = program();
    command
        .args(["shelf", "--now", books::NOW, "--book"])
        .arg(book);
    command
}

fn sqlite3(file: &Path, commands: &[&str]) -> Command {
    let mut command = Command::new("sqlite3");
    command.arg(file).args(commands);
    command
}

/// What `shelf` says of a book, after a look whether it shows as many lots as it should.
fn show_lots(book: &Path, expected: usize) -> anyhow::Result<String> {
    let shown = draff_shelf(book).output().context("draff does not start")?;
    let text = String::from_utf8(shown.stdout)?;
    ensure!(
        shown.status.success() && text.starts_with(&format!("{expected} lots on hand")),
        "shelf shows something else than {expected} lots: {text}{}",
        String::from_utf8_lossy(&shown.stderr)
    );
    Ok(text)
}

fn heading(text: &str) {
    println!("\n{text}");
}

fn table(contenders: &[Contender<'_>], costs: &[Cost]) {
    println!("  {:32} {:>12} {:>14}", "", "wall, ms", "processor, ms");
    for (contender, cost) in contenders.iter().zip(costs) {
        println!(
            "  {:32} {:>12.2} {:>14.2}",
            contender.name,
            cost.wall.as_secs_f64() * 1e3,
            cost.processor.as_secs_f64() * 1e3
        );
    }
}

fn ratio(what: &str, ours: Cost, theirs: Cost, target: f64) {
    let wall = ours.wall.as_secs_f64() / theirs.wall.as_secs_f64();
    let processor = ours.processor.as_secs_f64() / theirs.processor.as_secs_f64();
    let word = if wall <= target { "ok" } else { "over" };
    println!(
        "  {what}: {wall:.2} by wall, {processor:.2} by processor, target {target:.1}: {word}"
    );
}
