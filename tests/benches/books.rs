//! Invented books and a file of pickups to measure on, the same at every run.

use chrono::{Duration, NaiveDate};
use draffbook::desk::{Desk, Discard, Found, MoveLot, NewPickup, Probe, RecordTest, UseGrain};
use draffbook::grain::moisture_test::{Method, MoistureTest, Sample};
use draffbook::grain::weighing::Weighing;
use draffbook::grain::{Form, Kind};
use draffbook::keeping::RuleSet;
use draffbook::ledger::{Book, NewBook, Signature};
use draffbook::quantity::{Instant, Milligrams, Scale, Temperature, Zone};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// The moment every book is read at, with an offset so that it needs no zone.
pub const NOW: &str = "2026-11-20T09:00:00+00:00";
const SOURCES: [&str; 5] = [
    "Alder Lane",
    "Corner House",
    "Old Tannery",
    "Quayside",
    "Three Wells",
];
const GRISTS: [&str; 3] = [
    "pale barley malt 80%, wheat malt 12%, chocolate malt 8%",
    "pale barley malt 92%, crystal malt 8%",
    "pilsner malt 60%, wheat malt 40%",
];
const ZONE: &str = "Europe/Dublin";

/// Entries about a lot that is used up, its pickup included; a lot on hand has two fewer.
pub const ENTRIES_OF_LOT: usize = 20;

pub fn now() -> Instant {
    NOW.parse().expect("the constant is RFC 3339")
}

fn signature() -> Signature {
    Signature {
        now: now(),
        by: Some("Baker".to_owned()),
    }
}

/// An empty book.
pub fn empty(path: &Path) -> anyhow::Result<Book> {
    let new = NewBook {
        name: "bench".to_owned(),
        zone: Zone::named(ZONE)?,
        rules_text: RuleSet::built_in_text("strict")?.to_owned(),
    };
    let made = Book::make(path, &new, &signature())?;
    made.ok_or_else(|| anyhow::anyhow!("there is a book already"))
}

/// Lots that the desk writes before others are laid behind them: whole days of fourteen lots.
const RECENT: usize = 29 * LOTS_A_DAY - 1;
/// Lots of thirty days, all of them used up.
const SEASON: usize = SEASON_DAYS * LOTS_A_DAY;
const SEASON_DAYS: usize = 30;
/// So that fifty thousand take ten years.
const LOTS_A_DAY: usize = 14;

/// Lots on hand in each of the two books.
pub const OPEN: usize = 40;

/// The book of ten years in a folder, made where it is not there yet.
pub fn long(folder: &Path) -> anyhow::Result<PathBuf> {
    made(folder.join("long.draff"), 50_000)
}

/// The book of a few weeks, likewise.
pub fn short(folder: &Path) -> anyhow::Result<PathBuf> {
    made(folder.join("short.draff"), 400 - OPEN)
}

/// Made in memory, where there is such a folder: ten thousand acts wait for a disk each.
fn made(path: PathBuf, closed: usize) -> anyhow::Result<PathBuf> {
    if !path.exists() {
        let memory = Path::new("/dev/shm");
        let folder = if memory.is_dir() {
            tempfile::tempdir_in(memory)?
        } else {
            tempfile::tempdir()?
        };
        let made = folder.path().join("book.draff");
        with_lots(&made, closed, OPEN)?;
        std::fs::copy(&made, &path)?;
    }
    Ok(path)
}

/// A book of `closed` lots that are used up and `open` lots on hand, the newest ones.
///
/// The open lots and the used-up ones just before them are the same however many there are before. Of a long book the
/// desk writes the last two months; those before are a month of it again, so there may be some lots more.
pub fn with_lots(path: &Path, closed: usize, open: usize) -> anyhow::Result<()> {
    drop(empty(path)?);
    let lots = closed + open;
    if lots > RECENT {
        for back in (RECENT + 1..=RECENT + SEASON).rev() {
            Invented::new(back).write(path, false)?;
        }
        let before = lots.saturating_sub(RECENT + SEASON);
        repeat_season(path, before.div_ceil(SEASON))?;
    }
    for back in (1..=lots.min(RECENT)).rev() {
        Invented::new(back).write(path, back <= open)?;
    }
    Ok(())
}

/// Lays all that a book holds of lots behind itself, so many times: a million acts of a person each, with a write to
/// the disk for each, would take an hour. The program chains the book anew, as it does with one that had no chain.
fn repeat_season(path: &Path, times: usize) -> anyhow::Result<()> {
    let mut book = rusqlite::Connection::open(path)?;
    let version: i64 = lay_season(&mut book, times)?;
    drop(book);
    drop(Book::open(path, now())?);
    let mut copy = path.as_os_str().to_owned();
    copy.push(format!(".version-{version}"));
    Ok(std::fs::remove_file(copy)?)
}

/// Gives the version of the schema that the book has from then on, the last one without a chain.
fn lay_season(book: &mut rusqlite::Connection, times: usize) -> anyhow::Result<i64> {
    let change = book.transaction()?;
    let newest = |table| {
        let query = format!("SELECT max(id) FROM {table}");
        change.query_row(&query, [], |row| row.get::<_, i64>(0))
    };
    let (lots, entries) = (newest("lot")?, newest("entry")?);
    // The places of a new book come first and are not repeated: the numbers of entries have no holes.
    let repeated: i64 = change.query_row(
        "SELECT count(*) FROM entry WHERE lot_id NOT NULL",
        [],
        |row| row.get(0),
    )?;
    for time in 1..=times as i64 {
        let (days, seconds) = (
            time * SEASON_DAYS as i64,
            time * SEASON_DAYS as i64 * 86_400,
        );
        for (table, of_season) in [
            ("lot", format!("id <= {lots}")),
            ("entry", format!("id <= {entries} AND lot_id NOT NULL")),
            ("moisture_test", format!("entry_id <= {entries}")),
            ("weighing", format!("entry_id <= {entries}")),
            ("drying", format!("entry_id <= {entries}")),
            ("tested", format!("lot_id <= {lots}")),
        ] {
            let columns: Vec<String> = change
                .prepare("SELECT name FROM pragma_table_info(?1)")?
                .query_map([table], |row| row.get(0))?
                .collect::<Result<_, _>>()?;
            let earlier = columns.iter().map(|column| match (table, column.as_str()) {
                (_, "lot_id") | ("lot", "id") => format!("{column} + {}", time * lots),
                (_, "entry_id") | ("entry", "id") => format!("{column} + {}", time * repeated),
                (_, "at" | "recorded_at" | "mash_out_at") => format!("{column} - {seconds}"),
                (_, "brewed_on") => format!("date({column}, '-{days} days')"),
                _ => column.clone(),
            });
            change.execute(
                &format!(
                    "INSERT INTO {table} ({}) SELECT {} FROM {table} WHERE {of_season}",
                    columns.join(", "),
                    earlier.collect::<Vec<_>>().join(", ")
                ),
                [],
            )?;
        }
    }
    change.execute_batch(include_str!("../unchain.sql"))?;
    let version = change.pragma_query_value(None, "user_version", |row| row.get(0))?;
    change.commit()?;
    Ok(version)
}

/// A lot made up from how many lots come after it.
struct Invented {
    back: usize,
    source: &'static str,
    brewed_on: NaiveDate,
    mash_out: Instant,
}

impl Invented {
    fn new(back: usize) -> Self {
        let brewed_on = now().date_naive() - Duration::days(1 + (back / LOTS_A_DAY) as i64);
        let mash_out = brewed_on
            .and_hms_opt(10, 0, 0)
            .expect("ten o'clock")
            .and_utc()
            + Duration::minutes((back % LOTS_A_DAY * 10) as i64);
        Self {
            back,
            source: SOURCES[back % SOURCES.len()],
            brewed_on,
            mash_out,
        }
    }

    fn hours(&self, hours: i64) -> Instant {
        self.mash_out + Duration::hours(hours)
    }

    fn test(&self) -> anyhow::Result<MoistureTest> {
        let grams = |tenths: usize| Milligrams::new(tenths as i64 * 100);
        let spread = self.back % 30;
        let samples = [0, 2]
            .map(|shift| {
                let dry = grams(600 + spread + shift);
                Weighing::new(grams(400), grams(1400), vec![grams(604 + spread), dry]).map(
                    |first| Sample {
                        first,
                        second: None,
                    },
                )
            })
            .into_iter()
            .collect::<Result<_, _>>()?;
        Ok(MoistureTest {
            method: Method::Oven,
            readability: Milligrams::new(100),
            samples,
            open: Vec::new(),
            laboratory: None,
        })
    }

    /// Each act as it happens, one transaction for each.
    fn write(&self, path: &Path, stays: bool) -> anyhow::Result<()> {
        let desk = |at| -> anyhow::Result<Desk> {
            let book = Book::open(path, at)?;
            Ok(Desk::new(book, at, Some("Baker".to_owned())))
        };
        let collected = self.hours(1);
        // A reading and the pickup itself.
        let lot = desk(collected)?.pickup(&NewPickup {
            source: self.source,
            is_new_source: false,
            brewed_on: self.brewed_on,
            mash_out: Some(self.mash_out),
            wet: Milligrams::new(20_000_000),
            collected,
            temperature: Some(celsius(58)),
            cooled: None,
            kind: Kind::Mashed,
            grist: Some(GRISTS[self.back % GRISTS.len()].to_owned()),
            form: Form::Whole,
            place: "counter",
            note: None,
        })?;
        let lot = &lot.answer.lot.code.to_string();
        let reading = |at, degrees| {
            let found = Found::Temperature(celsius(degrees));
            desk(at)?.probe(&Probe { lot, found, at })
        };
        let all_to = |at, to| {
            let (wet, note) = (None, None);
            desk(at)?.move_lot(&MoveLot {
                lot,
                wet,
                to,
                at,
                until: None,
                note,
            })
        };
        let draw = |at, wet, bake| {
            let draws = &[(lot.to_owned(), wet)];
            desk(at)?.use_grain(&UseGrain { draws, bake, at })
        };
        reading(self.hours(2), 19)?;
        all_to(self.hours(2), "fridge")?;
        reading(self.hours(4), 4)?;
        let test = &self.test()?;
        desk(self.hours(5))?.record_test(&RecordTest {
            lot,
            test,
            method: None,
            at: Some(self.hours(5)),
            is_new_dish: false,
        })?;
        // One lot in ten lies in the freezer.
        let is_frozen = self.back.is_multiple_of(10);
        if is_frozen {
            all_to(self.hours(6), "freezer")?;
        } else {
            reading(self.hours(6), 4)?;
        }
        // Seven entries so far. What follows up to the last two happens within the first day.
        for step in 0..(ENTRIES_OF_LOT - 9) as i64 {
            let at = self.hours(7) + Duration::minutes(step * 20);
            if step % 2 == 0 {
                draw(at, Milligrams::new(2_000_000), "Country loaf")?;
            } else {
                reading(at, 4)?;
            }
        }
        if !stays {
            draw(self.hours(11), Milligrams::new(7_000_000), "Rye tin")?;
            let at = self.hours(12);
            desk(at)?.discard(&Discard {
                lot,
                wet: None,
                reason: "dropped",
                ending: None,
                at,
            })?;
        }
        Ok(())
    }
}

fn celsius(degrees: i32) -> Temperature {
    Temperature::new(degrees * 1000, Scale::Celsius)
}

/// Rows as a brewery's records would give them: every eighth steeped, every third with a reading.
pub fn pickups_csv(rows: usize) -> String {
    let mut out = String::from(
        "source,brewed,mash_out,wet,collected,temp,cooled,kind,grist,form,place,note\n",
    );
    for back in (1..=rows).rev() {
        let brewed = now().date_naive() - Duration::days(1 + (back / 25) as i64);
        let minute = back % 60;
        let temperature = if back % 3 == 0 { "61C" } else { "" };
        let note = if back % 20 == 0 { "second tub" } else { "" };
        writeln!(
            out,
            "{source},{brewed},10:{minute:02},{whole}.{tenth}kg,{brewed} 12:{minute:02},{temperature},,{kind},\"{grist}\",whole,{place},{note}",
            source = SOURCES[back % SOURCES.len()],
            whole = 12 + back % 17,
            tenth = back % 10,
            kind = if back % 8 == 0 { "steeped" } else { "mashed" },
            grist = GRISTS[back % GRISTS.len()],
            place = if back % 10 == 0 { "freezer" } else { "fridge" },
        )
        .expect("writing to a string does not fail");
    }
    out
}

/// Readings of every minute up to an hour ago: cold, and now and then a door that stands open.
pub fn readings_csv(rows: usize) -> String {
    let mut out = String::from("time,temp C\n");
    let last = now() - Duration::hours(1);
    for back in (0..rows).rev() {
        let at = last - Duration::minutes(back as i64);
        let celsius = if back % 4_999 < 5 {
            6.3
        } else {
            3.0 + (back % 13) as f64 / 10.0
        };
        writeln!(out, "{},{celsius:.1}", at.format("%Y-%m-%dT%H:%M:%SZ"))
            .expect("writing to a string does not fail");
    }
    out
}

/// How many lots and entries a book holds.
pub fn size(path: &Path) -> anyhow::Result<(i64, i64)> {
    let connection =
        rusqlite::Connection::open_with_flags(path, rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    Ok(connection.query_row(
        "SELECT (SELECT count(*) FROM lot), (SELECT count(*) FROM entry)",
        [],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )?)
}
