//! A book that stays open remembers what tested lots were. Whatever is written, by it or by others, it answers as one that
//! was just opened.

use crate::bakery::{Bakery, at, celsius, code, cooled_on, laboratory, mass};
use draffbook::desk::{
    Correct, Correction, Desk, Found, LogOf, NewPickup, Probe, RecordTest, Strike, UseGrain,
};
use draffbook::grain::{Form, LotCode};
use draffbook::ledger::EntryKind;

const NOW: &str = "2026-11-20T12:00:00Z";

/// The moisture of every lot on hand, with where it comes from.
fn moistures(desk: &Desk) -> Vec<String> {
    let lots = desk.shelf().unwrap().answer.lots;
    let told = lots
        .iter()
        .map(|lot| format!("{}: {:?}", lot.lot.code, lot.estimate));
    told.collect()
}

/// Asks a desk that was there all the time and a new one; gives what both say.
#[track_caller]
fn both(bakery: &Bakery, kept: &Desk) -> Vec<String> {
    let said = moistures(kept);
    assert_eq!(said, moistures(&bakery.desk(NOW)));
    said
}

fn pickup(desk: &mut Desk, source: &str, day: &str) -> LotCode {
    let source: &'static str = source.to_owned().leak();
    let new = NewPickup {
        source,
        ..cooled_on(day, "10kg")
    };
    code(&desk.pickup(&new).unwrap())
}

fn test(desk: &mut Desk, lot: LotCode) {
    let (lot, test) = (&lot.to_string(), &laboratory());
    let request = RecordTest {
        lot,
        test,
        method: None,
        at: Some(at(NOW)),
        is_new_dish: false,
    };
    desk.record_test(&request).unwrap();
}

fn reading(desk: &mut Desk, lot: LotCode) {
    let lot = &lot.to_string();
    let (found, at) = (Found::Temperature(celsius("4C")), at(NOW));
    desk.probe(&Probe { lot, found, at }).unwrap();
}

fn newest(desk: &Desk, kind: EntryKind) -> i64 {
    let log = desk.log(LogOf::default()).unwrap().answer;
    let entries = log.entries().all().unwrap();
    let of_kind = entries.iter().rfind(|entry| entry.kind == kind);
    of_kind.unwrap().entry
}

#[test]
fn an_open_book_answers_as_one_that_was_just_opened() {
    let bakery = Bakery::new();
    let mut kept = bakery.desk(NOW);
    let first = pickup(&mut kept, "Alder Lane", "2026-11-17");
    let second = pickup(&mut kept, "Alder Lane", "2026-11-18");
    let other = pickup(&mut kept, "Corner House", "2026-11-18");
    let untested = both(&bakery, &kept);
    test(&mut kept, first);
    let tested = both(&bakery, &kept);
    assert_ne!(
        untested[1], tested[1],
        "what was tested says something of the next"
    );
    // What says nothing of tests, by others and by itself.
    reading(&mut bakery.desk(NOW), first);
    reading(&mut kept, second);
    let draws = &[(first.to_string(), mass("1kg"))];
    let used = UseGrain {
        draws,
        bake: "bread",
        at: at(NOW),
    };
    bakery.desk(NOW).use_grain(&used).unwrap();
    assert_eq!(both(&bakery, &kept), tested);
    // What does: a test, a strike, a correction, two breweries that are one.
    test(&mut bakery.desk(NOW), second);
    let twice = both(&bakery, &kept);
    assert_ne!(twice, tested);
    let entries = &[newest(&kept, EntryKind::Moisture)];
    let reason = "other grain";
    bakery
        .desk(NOW)
        .strike(&Strike { entries, reason })
        .unwrap();
    assert_eq!(both(&bakery, &kept), tested);
    let merged = bakery.desk(NOW).merge_source("Corner House", "Alder Lane");
    merged.unwrap();
    let merged = both(&bakery, &kept);
    assert_ne!(merged, tested);
    let log = kept.log(LogOf::default()).unwrap().answer;
    let entries = log.entries().all().unwrap();
    let arrival = entries
        .iter()
        .find(|entry| entry.kind == EntryKind::Pickup && entry.lot == Some(first))
        .unwrap();
    let right = Correction {
        form: Some(Form::Pressed),
        ..Correction::default()
    };
    let correct = Correct {
        entry: arrival.entry,
        right,
        reason,
    };
    bakery.desk(NOW).correct(&correct).unwrap();
    assert_ne!(both(&bakery, &kept), merged);
    test(&mut kept, other);
    both(&bakery, &kept);
}

#[test]
fn what_is_remembered_of_another_line_of_the_book_counts_for_nothing() {
    let bakery = Bakery::new();
    let mut kept = bakery.desk(NOW);
    let first = pickup(&mut kept, "Alder Lane", "2026-11-17");
    let second = pickup(&mut kept, "Alder Lane", "2026-11-18");
    let before = std::fs::read(bakery.path()).unwrap();
    let untested = both(&bakery, &kept);
    test(&mut kept, first);
    let tested = both(&bakery, &kept);
    assert_ne!(untested, tested);
    // The older copy goes on, past the entry up to which the test is remembered, and was never told of it.
    std::fs::write(bakery.path(), before).unwrap();
    for _ in 0..3 {
        reading(&mut bakery.desk(NOW), second);
    }
    assert_eq!(both(&bakery, &kept), untested);
}
