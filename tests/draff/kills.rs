//! The program killed at random moments: the book opens, is whole, an act is all there or not at all, and
//! what was acknowledged is never lost.
//!
//! The usual run kills a few dozen times, with `DRAFF_LONG` set a thousand times. When to kill comes from a
//! seed, `DRAFF_SEED` or else a fixed one, though no two machines are at the same place then. A moment cannot be hit
//! without waiting for it: these are the only tests that let time pass on purpose.

use crate::env::Kitchen;
use rusqlite::Connection;
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;

/// Kills in the usual and in the long run, over all commands.
const KILLS: [u32; 2] = [48, 1_000];

/// Numbers that look random: a linear congruential generator with the constants of Knuth's MMIX (The Art of
/// Computer Programming, volume 2, 3.3.4, table 1).
pub struct Dice(pub u64);

impl Dice {
    /// Begins with the seed in `DRAFF_SEED`, else with the usual one. Which one it was is shown where the test fails.
    pub fn seeded(usual: u64) -> Self {
        let seed = std::env::var("DRAFF_SEED").map_or(usual, |seed| {
            seed.parse().expect("DRAFF_SEED is a whole number")
        });
        println!("DRAFF_SEED={seed}");
        Self(seed)
    }

    pub fn below(&mut self, end: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

fn kills() -> u32 {
    KILLS[usize::from(std::env::var_os("DRAFF_LONG").is_some())]
}

/// Starts the program, kills it after a while, and says whether it was done before and had said so.
fn killed_after(kitchen: &Kitchen, words: &str, wait: Duration) -> bool {
    let mut child = kitchen
        .command()
        .args(shlex::split(words).unwrap())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(wait);
    let _ = child.kill();
    child.wait().unwrap().success()
}

/// How long the program takes on its own, so that the moments are spread over all of it.
fn time_of(kitchen: &Kitchen, words: &str) -> Duration {
    let started = std::time::Instant::now();
    kitchen.ok(words);
    started.elapsed()
}

/// Moments spread over the time that the program takes, and a little after. How long that is changes with what else the
/// machine does: a program that was done before its kill is given less time, one that was cut short more.
struct Moments {
    dice: Dice,
    whole: Duration,
}

impl Moments {
    fn new(seed: u64, whole: Duration) -> Self {
        Self {
            dice: Dice::seeded(seed),
            whole,
        }
    }

    /// Starts the program, kills it, and says whether it was done before and had said so.
    fn kill(&mut self, kitchen: &Kitchen, words: &str) -> bool {
        let wait = self.whole * self.dice.below(1_200) as u32 / 1_000;
        let done = killed_after(kitchen, words, wait);
        self.whole = self.whole * if done { 3 } else { 5 } / 4;
        done
    }
}

fn number(book: &Path, question: &str) -> i64 {
    Connection::open(book)
        .unwrap()
        .query_row(question, [], |row| row.get(0))
        .unwrap()
}

/// Entries whose words say so.
fn with_words(book: &Path, words: &str) -> i64 {
    Connection::open(book)
        .unwrap()
        .query_row(
            "SELECT count(*) FROM entry WHERE words = ?1",
            [words],
            |row| row.get(0),
        )
        .unwrap()
}

#[test]
fn a_killed_act_is_all_there_or_not_at_all() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let whole = time_of(&kitchen, &format!("use {lot} --wet 1mg --for first"));
    let mut moments = Moments::new(2026, whole);
    let (mut acknowledged, mut cut_short) = (0, 0);
    for run in 0..kills() / 2 {
        let words = format!("use {lot} --wet 1mg --for \"run {run}\"");
        let done = moments.kill(&kitchen, &words);
        let whole = kitchen.ok("check");
        assert!(whole.contains("the sums agree"), "{run}: {whole}");
        let found = with_words(&kitchen.book(), &format!("run {run}"));
        assert!(found == 1 || (found == 0 && !done), "run {run}: {found}");
        acknowledged += i64::from(done);
        cut_short += i64::from(!done);
    }
    let there = number(
        &kitchen.book(),
        "SELECT count(*) FROM entry WHERE words LIKE 'run %'",
    );
    assert!(there >= acknowledged);
    assert!(cut_short > 0, "some were killed before they were done");
    assert_eq!(
        kitchen.on_shelf(&lot)["wet_g"],
        serde_json::json!((10_000_000 - 1 - there) as f64 / 1000.0)
    );
}

/// A file of pickups takes long enough to be hit in the middle of its writing.
#[test]
fn a_killed_file_of_pickups_is_booked_in_whole_or_not_at_all() {
    const ROWS: i64 = 3_000;
    let kitchen = Kitchen::new();
    let rows: String = (0..ROWS)
        .map(|row| format!("Source {},2026-10-{:02},1kg\n", row % 7, row % 28 + 1))
        .collect();
    kitchen.file("p.csv", format!("source,brewed,wet\n{rows}"));
    let empty = std::fs::read(kitchen.book()).unwrap();
    let whole = time_of(&kitchen, "--quiet pickup --csv p.csv");
    let mut moments = Moments::new(11, whole);
    let mut cut_short = 0;
    for run in 0..kills() / 4 {
        let _ = std::fs::remove_file(kitchen.folder().join("book.draff-journal"));
        kitchen.file("book.draff", &empty);
        let done = moments.kill(&kitchen, "--quiet pickup --csv p.csv");
        assert!(kitchen.ok("check").contains("the sums agree"), "{run}");
        let lots = number(&kitchen.book(), "SELECT count(*) FROM lot");
        assert!(
            lots == ROWS || (lots == 0 && !done),
            "run {run}: {lots} lots"
        );
        cut_short += i64::from(lots == 0);
    }
    assert!(cut_short > 0, "some were killed before they were done");
}

/// Whatever has the name of a copy is whole, and the book that a restore replaces is never lost.
#[test]
fn a_killed_backup_or_restore_loses_nothing() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok("backup copy.draff");
    let copied = kitchen.entries();
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let current = kitchen.entries();
    let kept = std::fs::read(kitchen.book()).unwrap();
    let mut seen = [0, 0];
    for (which, words) in ["backup made.draff", "restore copy.draff"]
        .iter()
        .enumerate()
    {
        let mut moments = Moments::new(4, time_of(&kitchen, words));
        for run in 0..kills() / 8 {
            for path in kitchen.files().into_keys() {
                if !path.ends_with("copy.draff") {
                    std::fs::remove_file(path).unwrap();
                }
            }
            kitchen.file("book.draff", &kept);
            let done = moments.kill(&kitchen, words);
            let mut entries = Vec::new();
            for path in kitchen.files().into_keys() {
                let name = path.file_name().unwrap().to_str().unwrap().to_owned();
                if name.starts_with('.') || name.ends_with("-journal") || name == "copy.draff" {
                    continue;
                }
                let check = kitchen.ok(&format!("--book {name} check"));
                assert!(
                    check.contains("the sums agree"),
                    "{words}, run {run}: {name}"
                );
                entries.push(number(&path, "SELECT count(*) FROM entry"));
            }
            entries.sort_unstable();
            let before = [current].to_vec();
            let after = [[current, current].to_vec(), [copied, current].to_vec()][which].clone();
            // The moment between the second name and the new book: both names mean the old one.
            let between = [current, current].to_vec();
            assert!(
                entries == after || (!done && (entries == before || entries == between)),
                "{words}, run {run}: {entries:?}"
            );
            seen[which] += usize::from(entries != after);
        }
    }
    assert!(seen.iter().all(|cut_short| *cut_short > 0), "{seen:?}");
}
