//! An act that moves the date of a lot says that what its ticket shows is not true any more.

use crate::bakery::{Bakery, at, celsius, cooled_on, mass};
use draffbook::desk::{
    Answer, Correct, Correction, Found, MoveLot, Notice, Probe, Strike, UseGrain,
};
use draffbook::grain::LotCode;
use draffbook::keeping::TicketSays;
use draffbook::ledger::EntryKind;
use draffbook::report::today::DueTask;

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
        until: None,
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

/// Lots whose newest ticket Today names, and what it says.
fn named(bakery: &Bakery, now: &str) -> Vec<(LotCode, TicketSays)> {
    let today = bakery.desk(now).today(2).unwrap().answer;
    let tickets = today.due.into_iter().filter_map(|due| match due.task {
        DueTask::PrintTicket { lot, printed, .. } => Some((lot.lot.code, printed.says)),
        _ => None,
    });
    tickets.collect()
}

/// Prints the ticket of a lot and notes it.
fn printed(bakery: &Bakery, lot: LotCode, now: &str) -> TicketSays {
    let mut desk = bakery.desk(now);
    let tickets = desk.tickets(&[lot.to_string()]).unwrap().answer;
    let ticket = tickets[0].printed();
    desk.note_tickets(&[ticket]).unwrap();
    ticket.1
}

#[test]
fn today_names_a_printed_ticket_that_is_not_true_any_more_until_another_is_printed() {
    let bakery = Bakery::new();
    let booked = |wet: &str| {
        let lot = bakery.desk(MORNING).pickup(&cooled_on("2026-11-20", wet));
        lot.unwrap().answer.lot.code
    };
    let (lot, other) = (booked("10kg"), booked("6kg"));
    let noon = "2026-11-20T12:00:00Z";
    moved(&bakery, &lot.to_string(), "freezer", noon, None);
    assert_eq!(named(&bakery, noon), [], "nobody printed one");
    let thawed = "2026-11-21T12:00:00Z";
    let frozen = printed(&bakery, lot, noon);
    assert_eq!(frozen.keep_until, None);
    let untouched = printed(&bakery, other, noon);
    assert!(untouched.keep_until.is_some());
    assert_eq!(named(&bakery, noon), []);
    moved(&bakery, &lot.to_string(), "fridge", thawed, None);
    assert_eq!(named(&bakery, thawed), [(lot, frozen)]);
    let next_day = "2026-11-22T12:00:00Z";
    assert_eq!(named(&bakery, next_day), [(lot, frozen)], "it stays named");
    printed(&bakery, lot, next_day);
    assert_eq!(named(&bakery, next_day), []);
    // What was found out shortens the date as a move does.
    for (shown, when) in [
        ("4C", "2026-11-22T12:30:00Z"),
        ("9C", "2026-11-22T13:00:00Z"),
    ] {
        assert_eq!(named(&bakery, when), []);
        let probe = Probe {
            lot: &other.to_string(),
            found: Found::Temperature(celsius(shown)),
            at: at(when),
        };
        bakery.desk(when).probe(&probe).unwrap();
    }
    assert_eq!(named(&bakery, "2026-11-22T13:01:00Z"), [(other, untouched)]);
    // A day later it is past: it is thrown away, and no ticket is printed.
    assert_eq!(named(&bakery, "2026-11-23T13:00:00Z"), []);
}

#[test]
fn a_lot_that_may_not_be_used_any_more_asks_for_no_new_ticket_at_once() {
    let bakery = Bakery::new();
    let lot = bakery
        .desk(MORNING)
        .pickup(&cooled_on("2026-11-20", "10kg"))
        .unwrap();
    let code = lot.answer.lot.code;
    let says = printed(&bakery, code, MORNING);
    let log = bakery.desk(MORNING);
    let entries = log.log(draffbook::desk::LogOf::default()).unwrap().answer;
    let entries = entries.entries().all().unwrap();
    let cooled = entries.iter().find(|entry| entry.kind == EntryKind::Cooled);
    let later = "2026-11-20T16:00:00Z";
    let struck = bakery.desk(later).strike(&Strike {
        entries: &[cooled.unwrap().entry],
        reason: "nobody looked",
    });
    let struck = struck.unwrap();
    assert_eq!(untrue(&struck), []);
    let is_told =
        |notice: &Notice| matches!(notice, Notice::OnHandUnusable { lot, .. } if *lot == code);
    assert!(struck.notices.iter().any(is_told));
    assert_eq!(
        named(&bakery, later),
        [(code, says)],
        "today names what hangs on the tub"
    );
}
