//! An act that moves the date of a lot says that what its ticket shows is not true any more.

use crate::bakery::{Bakery, at, cooled_on, mass};
use draffbook::desk::{Answer, Correct, Correction, MoveLot, Notice, Strike, UseGrain};
use draffbook::grain::LotCode;
use draffbook::ledger::EntryKind;

const MORNING: &str = "2026-11-20T10:00:00Z";

/// Lots whose ticket is said to be untrue.
fn untrue<T>(answer: &Answer<T>) -> Vec<LotCode> {
    let lots = answer.notices.iter().filter_map(|notice| match notice {
        Notice::TicketsUntrue(lots) => Some(lots.clone()),
        _ => None,
    });
    lots.flatten().collect()
}

fn moved(bakery: &Bakery, lot: &str, to: &str, now: &str, wet: Option<&str>) -> Vec<LotCode> {
    let mut desk = bakery.desk(now);
    let request = MoveLot {
        lot,
        wet: wet.map(mass),
        to,
        at: at(now),
        note: None,
    };
    untrue(&desk.move_lot(&request).unwrap())
}

#[test]
fn freezing_and_thawing_ask_for_a_new_ticket_and_using_does_not() {
    let bakery = Bakery::new();
    let lot = bakery
        .desk(MORNING)
        .pickup(&cooled_on("2026-11-20", "10kg"))
        .unwrap();
    assert_eq!(untrue(&lot), [], "it had no ticket yet");
    let code = lot.answer.lot.code;
    let named = code.to_string();
    let used = bakery.desk("2026-11-20T11:00:00Z").use_grain(&UseGrain {
        draws: &[(named.clone(), mass("1kg"))],
        bake: "rye",
        at: at("2026-11-20T11:00:00Z"),
    });
    assert_eq!(untrue(&used.unwrap()), []);
    // A part is a lot with a code and a ticket of its own; what stays keeps its date.
    let part = moved(
        &bakery,
        &named,
        "freezer",
        "2026-11-20T12:00:00Z",
        Some("2kg"),
    );
    assert_eq!(part, []);
    let frozen = moved(&bakery, &named, "freezer", "2026-11-20T13:00:00Z", None);
    assert_eq!(frozen, [code]);
    let thawed = moved(&bakery, &named, "fridge", "2026-11-22T13:00:00Z", None);
    assert_eq!(thawed, [code]);
}

#[test]
fn a_correction_and_a_strike_that_move_the_date_ask_for_a_new_ticket() {
    let bakery = Bakery::new();
    let lot = bakery
        .desk(MORNING)
        .pickup(&cooled_on("2026-11-20", "10kg"))
        .unwrap();
    let code = lot.answer.lot.code;
    let named = code.to_string();
    let log = |now: &str| {
        let desk = bakery.desk(now);
        let answer = desk.log(draffbook::desk::LogOf::default()).unwrap().answer;
        answer.entries().all().unwrap()
    };
    let pickup = log(MORNING)
        .into_iter()
        .find(|entry| entry.kind == EntryKind::Pickup)
        .unwrap()
        .entry;
    let corrected = |entry: i64, right: Correction<'_>, reason: &str| {
        let mut desk = bakery.desk("2026-11-20T14:00:00Z");
        let request = Correct {
            entry,
            right,
            reason,
        };
        untrue(&desk.correct(&request).unwrap())
    };
    let heavier = Correction {
        wet: Some(mass("11kg")),
        ..Correction::default()
    };
    assert_eq!(
        corrected(pickup, heavier, "misread"),
        [],
        "the date is as it was"
    );
    moved(&bakery, &named, "freezer", "2026-11-20T13:00:00Z", None);
    let newest = |now: &str| log(now).last().unwrap().entry;
    let to_counter = Correction {
        place: Some("counter"),
        ..Correction::default()
    };
    let reason = "it went to the counter";
    let moved_on = corrected(newest("2026-11-20T14:00:00Z"), to_counter, reason);
    assert_eq!(moved_on, [code]);
    let newest = newest("2026-11-20T15:00:00Z");
    let struck = bakery.desk("2026-11-20T15:00:00Z").strike(&Strike {
        entries: &[newest],
        reason: "it went to the freezer after all",
    });
    assert_eq!(untrue(&struck.unwrap()), [code]);
}
