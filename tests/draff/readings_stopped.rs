//! What counts since the last reading of a logger: a gap, a thermometer, a freezer that was warm, grain under
//! another code.

use crate::env::{Kitchen, has, one_line};

/// Two readings five hours apart, of a probe that stands in the grain.
#[test]
fn a_gap_says_what_to_do_next_and_speaks_of_no_air() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20 17:00");
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-11-20 10:00,3.5\n2026-11-20 11:00,3.5\n2026-11-20 16:00,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "unknown", "{found}");
    let limit = found["binding"]["limit"].as_str().unwrap();
    assert!(
        limit.contains("readings of its place") && !limit.contains("air"),
        "{limit}"
    );
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        "read in a file of its logger that covers that time: draff readings",
    );
    has(
        &shelf,
        &format!("throw it away: draff discard {lot} --reason TEXT"),
    );
    let summary = one_line(&kitchen.ok("readings fridge --summary"));
    has(&summary, "In grain");
    assert!(
        !summary.contains("Air") && !summary.contains("air "),
        "{summary}"
    );
}
