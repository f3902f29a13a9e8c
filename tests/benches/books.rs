//! Invented books and a file of pickups to measure on, the same at every run.

use chrono::{Duration, NaiveDate};
use draffbook::grain::moisture_test::{Method, MoistureTest, Sample};
use draffbook::grain::weighing::Weighing;
use draffbook::grain::{Form, Kind};
use draffbook::keeping::RuleSet;
use draffbook::ledger::{Act, Book, NewBook, NewPickup, PlaceRecord, Signature};
use draffbook::quantity::{Instant, Milligrams, Scale, Temperature, Zone};
use std::fmt::Write;
use std::path::Path;

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
    Book::make(path, &new, &signature())
}

/// A book of `closed` lots that are used up and `open` lots on hand, the newest ones.
///
/// The open lots and the used-up ones just before them are the same however many there are before.
pub fn with_lots(path: &Path, closed: usize, open: usize) -> anyhow::Result<()> {
    let mut book = empty(path)?;
    let fridge = book.view().place("fridge")?;
    let counter = book.view().place("counter")?;
    let freezer = book.view().place("freezer")?;
    book.act(&signature(), |act| {
        for back in (1..=closed + open).rev() {
            let lot = Invented::new(back);
            // One lot in ten of those on hand lies in the freezer.
            let resting = if back % 10 == 0 { &freezer } else { &fridge };
            lot.book_in(act, &fridge, &counter, resting, back <= open)?;
        }
        Ok(())
    })
}

/// A lot made up from how many lots come after it.
struct Invented {
    back: usize,
    source: &'static str,
    brewed_on: NaiveDate,
    mash_out: Instant,
}

impl Invented {
    /// Fourteen lots a day, so that fifty thousand take ten years.
    fn new(back: usize) -> Self {
        let brewed_on = now().date_naive() - Duration::days(1 + (back / 14) as i64);
        let mash_out = brewed_on
            .and_hms_opt(10, 0, 0)
            .expect("ten o'clock")
            .and_utc()
            + Duration::minutes((back % 14 * 10) as i64);
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

    fn book_in(
        &self,
        act: &mut Act<'_>,
        fridge: &PlaceRecord,
        counter: &PlaceRecord,
        resting: &PlaceRecord,
        stays: bool,
    ) -> anyhow::Result<()> {
        let wet = Milligrams::new(20_000_000);
        // A reading and the pickup itself.
        let lot = act.pickup(&NewPickup {
            source: self.source,
            brewed_on: self.brewed_on,
            mash_out: Some(self.mash_out),
            wet,
            collected: self.hours(1),
            temperature: Some(celsius(58)),
            cooled: None,
            kind: Kind::Mashed,
            grist: Some(GRISTS[self.back % GRISTS.len()].to_owned()),
            form: Form::Whole,
            place: &counter.name,
            note: None,
        })?;
        act.reading(&lot, self.hours(2), celsius(19))?;
        act.move_all(&lot, self.hours(2), fridge, None)?;
        act.reading(&lot, self.hours(4), celsius(4))?;
        act.moisture(&lot, self.hours(5), &self.test()?, None)?;
        if resting.name != fridge.name {
            act.move_all(&lot, self.hours(6), resting, None)?;
        } else {
            act.reading(&lot, self.hours(6), celsius(4))?;
        }
        // Seven entries so far. What follows up to the last two happens within the first day.
        for step in 0..(ENTRIES_OF_LOT - 9) as i64 {
            let at = self.hours(7) + Duration::minutes(step * 20);
            if step % 2 == 0 {
                act.use_grain(&lot, at, Milligrams::new(2_000_000), "Country loaf")?;
            } else {
                act.reading(&lot, at, celsius(4))?;
            }
        }
        if !stays {
            act.use_grain(&lot, self.hours(11), Milligrams::new(7_000_000), "Rye tin")?;
            act.discard(
                &lot,
                self.hours(12),
                Milligrams::new(1_000_000),
                "dropped",
                None,
            )?;
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
