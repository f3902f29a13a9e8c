//! A book in a temporary folder, and a new desk at it for each request.

use draffbook::desk::{Answer, Desk, NewPickup};
use draffbook::grain::{Form, Kind, Laboratory, LotCode, Method, MoistureTest};
use draffbook::keeping::RuleSet;
use draffbook::ledger::{Book, NewBook, Signature};
use draffbook::quantity::{Instant, Milligrams, Temperature, WetBasis, Zone};
use draffbook::report::LotAnswer;
use rusqlite::Connection;
use rusqlite::types::Value;
use std::collections::BTreeMap;
use std::path::PathBuf;
use tempfile::TempDir;

/// 12 pieces of 800 g take 288 to 576 g of dry grain.
pub const LOAF: &str = include_str!("../draff/formula/loaf.toml");

pub struct Bakery {
    folder: TempDir,
}

impl Bakery {
    /// With a new book under the strict rules, in the zone Europe/Dublin.
    pub fn new() -> Self {
        let bakery = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        let new = NewBook {
            name: "test".to_owned(),
            zone: Zone::named("Europe/Dublin").unwrap(),
            rules_text: RuleSet::built_in_text("strict").unwrap().to_owned(),
        };
        let signature = Signature {
            now: at("2026-01-02T08:00:00Z"),
            by: None,
        };
        let made = Book::make(&bakery.path(), &new, &signature).unwrap();
        assert!(made.is_some());
        bakery
    }

    /// With a copy of a book.
    pub fn with_copy_of(book: &[u8]) -> Self {
        let bakery = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        std::fs::write(bakery.path(), book).unwrap();
        bakery
    }

    pub fn path(&self) -> PathBuf {
        self.folder.path().join("book.draff")
    }

    /// A desk for one request at this moment.
    pub fn desk(&self, now: &str) -> Desk {
        self.desk_at(at(now))
    }

    pub fn desk_at(&self, now: Instant) -> Desk {
        let book = Book::open(&self.path(), now).unwrap();
        Desk::new(book, now, Some("Ada".to_owned()))
    }

    /// Every row of every table.
    pub fn tables(&self) -> BTreeMap<String, Vec<Vec<Value>>> {
        let book = Connection::open(self.path()).unwrap();
        let names: Vec<String> = book
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")
            .unwrap()
            .query_map([], |row| row.get(0))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        assert!(names.len() > 10, "tables were found: {names:?}");
        let rows = |name: &String| {
            let mut statement = book.prepare(&format!("SELECT * FROM \"{name}\"")).unwrap();
            let columns = statement.column_count();
            statement
                .query_map([], |row| (0..columns).map(|at| row.get(at)).collect())
                .unwrap()
                .collect::<Result<Vec<Vec<Value>>, _>>()
                .unwrap()
        };
        names
            .iter()
            .map(|name| (name.clone(), rows(name)))
            .collect()
    }
}

pub fn at(text: &str) -> Instant {
    text.parse().unwrap()
}

pub fn mass(text: &str) -> Milligrams {
    text.parse().unwrap()
}

pub fn celsius(text: &str) -> Temperature {
    text.parse().unwrap()
}

/// Grain of the invented brewery that was mashed out on this day at 07:30 and lies in the fridge.
pub fn mashed_on(day: &str, wet: &str) -> NewPickup<'static> {
    let mash_out = at(&format!("{day}T07:30:00Z"));
    NewPickup {
        source: "Alder Lane",
        is_new_source: false,
        brewed_on: mash_out.date_naive(),
        mash_out: Some(mash_out),
        wet: mass(wet),
        collected: mash_out + chrono::Duration::minutes(15),
        temperature: None,
        cooled: None,
        kind: Kind::Mashed,
        grist: None,
        form: Form::Whole,
        place: "fridge",
        note: None,
    }
}

/// The same, cold by 09:00 by the word of the brewer.
pub fn cooled_on(day: &str, wet: &str) -> NewPickup<'static> {
    NewPickup {
        cooled: Some((at(&format!("{day}T09:00:00Z")), "the brewer")),
        ..mashed_on(day, wet)
    }
}

/// A laboratory found 77 %.
pub fn laboratory() -> MoistureTest {
    MoistureTest {
        method: Method::Lab,
        readability: mass("10mg"),
        samples: Vec::new(),
        open: Vec::new(),
        laboratory: Some(Laboratory {
            wet_basis: WetBasis::new(0.77).unwrap(),
            standard_uncertainty: 0.005,
        }),
    }
}

pub fn code(answer: &Answer<LotAnswer>) -> LotCode {
    answer.answer.lot.code
}
