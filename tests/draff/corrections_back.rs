//! A correction that was struck and counts again since the strike is struck: judged as if it were written then.

use crate::env::{Kitchen, has, one_line};

/// A kitchen with a tub of which an entry was corrected, and the correction struck; gives the tub, the entry and the strike.
fn struck_correction(
    act: &str,
    (kind, right): (&str, &str),
    now: &str,
) -> (Kitchen, String, i64, i64) {
    let (mut kitchen, lot, _) = Kitchen::with_two_tubs();
    kitchen.at(now);
    kitchen.ok(&act.replace("LOT", &lot));
    let wrong = kitchen.last_entry(kind);
    kitchen.ok(&format!("correct {wrong} {right} --reason misread"));
    let by = kitchen.last_entry(kind);
    kitchen.ok(&format!("strike {by} --reason oops"));
    let strike = kitchen.last_entry("strike");
    (kitchen, lot, wrong, strike)
}

#[test]
fn one_that_could_be_written_now_makes_past_grain_usable_again() {
    let (mut kitchen, lot, _, strike) = struck_correction(
        "probe LOT 12C",
        ("reading", "--temp 4C"),
        "2026-11-09T17:00:00Z",
    );
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    kitchen.at("2026-11-09T17:12:00Z");
    let told = kitchen.told(&format!("strike {strike} --reason \"misread after all\""));
    has(
        &told,
        &format!("lot `{lot}` was past and is good now, by this entry"),
    );
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    has(&kitchen.ok("check"), "whole");
}

/// Without the move the grain would have been past in the fridge long before.
#[test]
fn one_that_could_not_be_written_now_stays_struck() {
    let (mut kitchen, lot, wrong, strike) = struck_correction(
        "move LOT counter",
        ("move", "--place freezer"),
        "2026-11-09T12:00:00Z",
    );
    kitchen.at("2026-11-28T12:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    for act in [
        format!("correct {wrong} --place freezer --reason slip"),
        format!("strike {strike} --reason \"frozen after all\""),
    ] {
        let said = kitchen.refused(1, &act);
        has(&one_line(&said), "would make it usable again");
    }
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

/// A correction beside it is no way in for an entry that corrects nothing.
#[test]
fn another_entry_that_counts_again_with_it_makes_no_past_grain_usable() {
    let (mut kitchen, lot, _, strike) = struck_correction(
        "use LOT 1kg --for bread",
        ("use", "--wet 2kg"),
        "2026-11-09T12:00:00Z",
    );
    kitchen.ok(&format!("move {lot} freezer"));
    let frozen = kitchen.last_entry("move");
    kitchen.ok(&format!("strike {frozen} --reason \"never done\""));
    let other = kitchen.last_entry("strike");
    kitchen.at("2026-11-28T12:00:00Z");
    let said = kitchen.refused(
        1,
        &format!("strike {strike} {other} --reason \"both were right\""),
    );
    has(&one_line(&said), "would make it usable again");
}
