//! An act that marks grain that went out, or takes its mark off, tells so, whatever is left of the lot.

use crate::env::{Kitchen, has};
use crate::logger::logged;

/// A kitchen on Tuesday 3 November at 16:00. The logger of the counter ended on Monday at 10:00, its next file begins at the
/// moment that is given. 4 kg of grain stood there from 08:00 to 09:00; so much was used at 10:00.
fn counter(used: &str, next_file: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T07:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-02 --mash-out 05:00 --cooled 06:30 --wet 4kg");
    kitchen.at("2026-11-02T12:00:00Z");
    kitchen.file(
        "monday.csv",
        logged("2026-11-02T08:00:00Z", 10, 13, |_| 4.0),
    );
    kitchen.ok("readings counter --csv monday.csv");
    for (at, act) in [
        ("08:00", format!("move {lot} counter")),
        ("09:00", format!("move {lot} fridge")),
        ("10:00", format!("use {lot} {used} --for buns")),
    ] {
        kitchen.at(&format!("2026-11-03T{at}:00Z"));
        kitchen.ok(&act);
    }
    kitchen.at("2026-11-03T16:00:00Z");
    kitchen.file("tuesday.csv", logged(next_file, 10, 7, |_| 4.0));
    (kitchen, lot)
}

#[test]
fn a_gap_that_a_file_opens_over_an_earlier_stay_tells_what_it_marks_and_its_strike_what_it_unmarks()
{
    // The file begins before the use or after it; the lot is there still or used up.
    for used in ["1kg", "4kg"] {
        for next_file in ["2026-11-03T09:50:00Z", "2026-11-03T14:00:00Z"] {
            let (kitchen, lot) = counter(used, next_file);
            let told = kitchen.told("readings counter --csv tuesday.csv");
            has(&told, "for buns, when it was unknown");
            has(&kitchen.ok(&format!("trace {lot}")), "NOT TO BE USED then");
            let file = kitchen.last_entry("readings");
            let told = kitchen.told(&format!("strike {file} --reason \"other place\""));
            has(&told, "is not marked NOT TO BE USED any more");
            // The strike is a mistake: the file counts again.
            let told = kitchen.told(&format!("strike {} --reason slip", file + 1));
            has(&told, "for buns, when it was unknown");
        }
    }
}
