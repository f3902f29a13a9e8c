//! What a baker read twice: freezing that was missed, times that are not the last ones, and words that meant another thing.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;

/// 8 kg of tested grain, and a bake that takes what is frozen of it on Friday: 13 h of thawing before the night of the 30th.
/// Its days end on Thursday 26, so that freezing it on Tuesday 24 leaves the two days that thawing and baking take.
fn accepted() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    for at in ["2026-11-22 06:00", "2026-11-30 06:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces 24"
        ));
    }
    kitchen.ok("plan --accept");
    (kitchen, lot)
}

/// What `today` says of one kind of task.
fn due(kitchen: &Kitchen, task: &str) -> Vec<Value> {
    let today = kitchen.json("today");
    let all = list(&today, "due").iter();
    all.filter(|one| one["task"] == task).cloned().collect()
}

#[test]
fn missed_freezing_is_asked_for_as_long_as_it_saves_the_grain_for_its_bake() {
    let (mut kitchen, lot) = accepted();
    for now in [
        "2026-11-21T20:59:00Z",
        "2026-11-21T21:01:00Z",
        "2026-11-23T12:00:00Z",
        "2026-11-24T20:00:00Z",
    ] {
        kitchen.at(now);
        let freeze = due(&kitchen, "freeze");
        assert_eq!(freeze.len(), 1, "{now}: {freeze:?}");
        assert_eq!(
            (&freeze[0]["bake"], &freeze[0]["late"]),
            (&"B-2Q".into(), &true.into())
        );
        assert!(due(&kitchen, "too-late").is_empty(), "{now}");
        has(
            &one_line(&kitchen.ok("today")),
            "was due Fri 20 Nov 21:00; do it now: freeze ",
        );
    }
    let wet = grams(&due(&kitchen, "freeze")[0], "wet_g");
    kitchen.ok(&format!("move {lot} --wet {wet}g --to freezer"));
    assert!(due(&kitchen, "freeze").is_empty());
}

#[test]
fn what_was_frozen_too_late_for_a_bake_is_said_until_the_bake_is_mixed() {
    let (mut kitchen, lot) = accepted();
    // Frozen on its last day but one, it has a single day left, on which it thaws; on Friday it is past.
    for now in ["2026-11-25T20:00:00Z", "2026-11-27T12:00:00Z"] {
        kitchen.at(now);
        assert!(due(&kitchen, "freeze").is_empty(), "{now}");
        let late = due(&kitchen, "too-late");
        assert_eq!(late.len(), 1, "{now}: {late:?}");
        assert_eq!(
            (text(&late[0], "lot"), text(&late[0], "bake")),
            (lot.as_str(), "B-2Q")
        );
        let said = one_line(&kitchen.ok("today"));
        has(&said, "too late for B-2Q: ");
        has(
            &said,
            &format!("of {lot} was not frozen in time. Plan again: draff plan"),
        );
        assert!(!said.contains("for B-2Q (accepted plan)"), "{said}");
    }
    kitchen.at("2026-11-25T20:00:00Z");
    let first = due(&kitchen, "use-first");
    let bakes = list(&first[0], "grain").iter();
    assert!(bakes.clone().all(|one| one["bake"] != "B-2Q"), "{first:?}");
    kitchen.at("2026-11-30T12:00:00Z");
    assert!(due(&kitchen, "too-late").is_empty());
}

#[test]
fn grain_for_no_bake_is_asked_to_be_frozen_until_it_would_not_last() {
    let (mut kitchen, _) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    let plan = one_line(&kitchen.ok("plan --accept"));
    has(&plan, "by 21:00: freeze ");
    has(&plan, "to freeze, for no bake yet: ");
    has(
        &plan,
        "Tie a bag when you put it into the freezer, and open it as soon as",
    );
    has(&plan, "Never vacuum-pack.");
    has(&one_line(&kitchen.ok("today")), "by 21:00 freeze ");
    kitchen.at("2026-11-23T12:00:00Z");
    assert_eq!(due(&kitchen, "freeze").len(), 1);
    kitchen.at("2026-11-27T12:00:00Z");
    assert!(due(&kitchen, "freeze").is_empty());
    assert!(due(&kitchen, "too-late").is_empty(), "it was for no bake");
}

#[test]
fn only_a_bake_that_may_be_left_out_is_marked() {
    let (kitchen, _) = accepted();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 4 --optional");
    let (firm, optional) = (kitchen.ok("sheet B-1S"), kitchen.ok("bake show B-3O"));
    assert!(firm.starts_with("SMALL LOAF, BAKE B-1S\n"), "{firm}");
    assert_eq!(kitchen.json("sheet B-1S")["firm"], true);
    has(&one_line(&optional), ", optional: only if grain is left");
    let list = kitchen.ok("bake");
    has(&list, "small loaf, optional");
    assert!(!list.contains("firm"), "{list}");
    assert!(!kitchen.ok("bake show B-1S").contains("firm"));
}

#[test]
fn each_amount_of_water_says_for_which_grain_it_is_right() {
    let (kitchen, lot) = accepted();
    let ask = format!("hold-back {lot} --wet 440g --flour 1kg --hydration 70%");
    let said = one_line(&kitchen.ok(&ask));
    has(
        &said,
        " g of water first, enough for the wettest grain (78.0 %)",
    );
    has(
        &said,
        " g in all; the water for the grain's thirst comes on top",
    );
}

#[test]
fn a_sheet_asks_for_one_water_and_calls_dried_grain_grain() {
    let (mut kitchen, lot) = accepted();
    let wet = kitchen.ok("sheet B-1S");
    has(&wet, "  water, poured + added ");
    has(&wet, " g  wet grain\n");
    kitchen.at("2026-11-20T15:00:00Z");
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 4kg --wet-out 1kg --minutes 180 --temp 60C"
    ));
    let dried = text(&made, "lot");
    kitchen.ok(&format!("probe {dried} --aw 0.4"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 4 --lot {dried}"
    ));
    let dry = kitchen.ok("sheet B-3O");
    has(&dry, " g  grain\n");
    has(&dry, "grain used");
    assert!(!dry.contains("wet grain"), "{dry}");
}
