//! Long answers come in chunks, all of them as of the moment at which they were asked for, whatever others write
//! between two chunks.

use crate::bakery::{Bakery, at, mashed_on, mass};
use draffbook::desk::{
    Chunks, Desk, LogOf, NewPickup, RecallFilter, RecordTest, Strike, UsageOf, UseGrain,
};
use draffbook::grain::{Laboratory, Method, MoistureTest};
use draffbook::quantity::{Milligrams, WetBasis};
use rusqlite::Connection;
use std::fmt::Debug;

const COOLED: &str = "2026-11-20T09:00:00Z";
const NOW: &str = "2026-11-20T10:00:00Z";
/// More than two chunks hold.
const USES: i64 = 9_000;

/// Two lots, of one of which a gram at a time was used; and the first of those entries. The uses are laid into the
/// book as they would have been written: as many acts would take a minute.
fn bakery() -> (Bakery, [String; 2], i64) {
    let bakery = Bakery::new();
    let lots = ["20kg", "5kg"].map(|wet| {
        let came = mashed_on("2026-11-20", wet);
        let lot = bakery.desk(COOLED).pickup(&NewPickup {
            cooled: Some((at(COOLED), "brewer")),
            ..came
        });
        lot.unwrap().answer.lot.code.to_string()
    });
    let book = Connection::open(bakery.path()).unwrap();
    let first: i64 = book
        .query_row("SELECT max(id) + 1 FROM entry", [], |row| row.get(0))
        .unwrap();
    book.execute(
        "INSERT INTO entry (kind, lot_id, at, recorded_at, wet_mg, words)
         WITH RECURSIVE many(number) AS (SELECT 0 UNION ALL SELECT number + 1 FROM many WHERE number < ?1 - 1)
         SELECT 'use', 1, ?2 + number / 3, ?2 + number / 3, 1000, 'oat loaf' FROM many",
        (USES, at(COOLED).timestamp()),
    )
    .unwrap();
    book.execute(
        "UPDATE stock SET wet_mg = wet_mg - ?1 WHERE lot_id = 1",
        [USES * 1000],
    )
    .unwrap();
    (bakery, lots, first)
}

fn words<T: Debug>(chunks: Chunks<'_, T>) -> Vec<String> {
    chunks
        .flat_map(|chunk| chunk.unwrap())
        .map(|row| format!("{row:?}"))
        .collect()
}

/// What others do between two chunks: more of everything that the answer holds, and a strike of a part of it.
fn others_work(bakery: &Bakery, lots: &[String; 2], first: i64) {
    for lot in lots {
        bakery
            .desk(NOW)
            .use_grain(&UseGrain {
                draws: &[(lot.to_owned(), mass("1kg"))],
                bake: "rye tin",
                at: at(NOW),
            })
            .unwrap();
    }
    bakery
        .desk(NOW)
        .record_test(&RecordTest {
            lot: &lots[0],
            test: &MoistureTest {
                method: Method::Lab,
                readability: Milligrams::ZERO,
                samples: Vec::new(),
                open: Vec::new(),
                laboratory: Some(Laboratory {
                    wet_basis: WetBasis::new(0.6).unwrap(),
                    standard_uncertainty: 0.001,
                }),
            },
            method: None,
            at: Some(at(NOW)),
            is_new_dish: false,
        })
        .unwrap();
    bakery
        .desk(NOW)
        .pickup(&mashed_on("2026-11-19", "3kg"))
        .unwrap();
    for entry in [first, first + USES - 1] {
        let reason = "another lot";
        bakery
            .desk(NOW)
            .strike(&Strike {
                entries: &[entry],
                reason,
            })
            .unwrap();
    }
}

/// Asks twice: once in peace, once with others at work after the first chunk. `ask` is given what is done then.
fn is_as_of_its_start(ask: impl Fn(&Desk, &dyn Fn()) -> Vec<String>) {
    let (bakery, lots, first) = bakery();
    let in_peace = ask(&bakery.desk(NOW), &|| ());
    assert!(in_peace.len() > 8_192, "{} rows", in_peace.len());
    let among_others = ask(&bakery.desk(NOW), &|| others_work(&bakery, &lots, first));
    assert!(among_others == in_peace);
    let afterwards = ask(&bakery.desk(NOW), &|| ());
    assert!(
        afterwards != in_peace,
        "what others wrote is there afterwards"
    );
}

fn with_others<T: Debug>(mut chunks: Chunks<'_, T>, others: &dyn Fn()) -> Vec<String> {
    let chunk = chunks.next().unwrap().unwrap();
    others();
    let mut rows: Vec<String> = chunk.iter().map(|row| format!("{row:?}")).collect();
    rows.extend(words(chunks));
    rows
}

#[test]
fn usage_is_as_of_its_start() {
    is_as_of_its_start(|desk, others| {
        let usage = desk.usage(UsageOf::default()).unwrap().answer;
        with_others(usage.lines(), others)
    });
}

/// Words read the lines twice: what is remembered of the first time and what is read again belong together.
#[test]
fn usage_read_a_second_time_is_as_of_its_start() {
    is_as_of_its_start(|desk, others| {
        let usage = desk.usage(UsageOf::default()).unwrap().answer;
        let first = with_others(usage.lines(), others);
        assert!(words(usage.lines()) == first);
        first
    });
}

#[test]
fn what_names_entries_is_what_the_log_says_of_them() {
    let (bakery, ..) = bakery();
    let desk = bakery.desk(NOW);
    let log = desk.log(LogOf::default()).unwrap().answer;
    let entries = log.entries().all().unwrap();
    let heads: Vec<String> = entries
        .iter()
        .map(|entry| format!("{:?}", entry.head()))
        .collect();
    assert!(words(log.heads()) == heads);
}

#[test]
fn the_log_is_as_of_its_start() {
    is_as_of_its_start(|desk, others| {
        let log = desk.log(LogOf::default()).unwrap().answer;
        with_others(log.entries(), others)
    });
}

#[test]
fn a_recall_is_as_of_its_start() {
    is_as_of_its_start(|desk, others| {
        let filter = RecallFilter {
            source: Some("Alder Lane".to_owned()),
            ..RecallFilter::default()
        };
        let trace = desk.recall(&filter).unwrap().answer;
        let mut rows = with_others(trace.outflows(), others);
        rows.extend(words(trace.lots()));
        rows.extend(words(trace.bakes()));
        rows.extend(words(trace.outflows_with_lots()));
        rows.push(format!("{:?}", trace.on_hand().unwrap()));
        rows
    });
}

/// A desk that holds a long answer unfinished is asked for something else: that is of now.
#[test]
fn other_questions_at_the_same_desk_are_of_now() {
    let (bakery, lots, first) = bakery();
    let desk = bakery.desk(NOW);
    let usage = desk.usage(UsageOf::default()).unwrap().answer;
    let mut lines = usage.lines();
    lines.next().unwrap().unwrap();
    others_work(&bakery, &lots, first);
    assert_eq!(desk.shelf().unwrap().answer.lots.len(), 3);
    let now = desk.usage(UsageOf::default()).unwrap().answer;
    assert_eq!(words(now.lines()).len(), USES as usize);
    assert_eq!(words(lines).len(), USES as usize - 4_096);
}
