//! What a step of the scale leaves of a lot is no rest: `today` says what the plan says, that the bakes take all of it.

use crate::env::{Kitchen, has, one_line};

/// Two bakes take all of 1501 g on a scale of 5 g by the accepted plan.
fn accepted() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_bakes("1501g", &[]);
    kitchen.ok("settings scale 5g");
    for mix in ["2026-11-22 06:00", "2026-11-23 06:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{mix}\" mix --pieces 4"
        ));
    }
    has(
        &kitchen.ok("plan --accept"),
        "Nothing: the bakes take all of it.",
    );
    (kitchen, lot)
}

#[test]
fn bakes_take_all_of_a_lot_but_for_a_step_of_the_scale() {
    let (kitchen, _) = accepted();
    has(
        &one_line(&kitchen.ok("today --days 8")),
        "keep until Thu 26 Nov: all 1.5 kg goes into B-1S, B-2Q",
    );
}

#[test]
fn what_is_left_of_it_then_is_not_said_to_go_first() {
    let (mut kitchen, _) = accepted();
    for (now, bake) in [
        ("2026-11-22T07:00:00Z", "B-1S"),
        ("2026-11-23T07:00:00Z", "B-2Q"),
    ] {
        kitchen.at(now);
        kitchen.ok(&format!("bake done {bake}"));
    }
    let today = kitchen.ok("today --days 8");
    has(&today, "Nothing is due.");
}
