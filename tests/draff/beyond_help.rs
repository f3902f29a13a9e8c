//! What the accepted plan has just said to be beyond help is not told again as a reason to plan: what falls is told.

use crate::env::{Kitchen, has, one_line};

/// Friday: frozen grain, and a bake of this afternoon that is to be made of it and for which it cannot be thawed any more.
fn too_late() -> Kitchen {
    let (kitchen, lot) = Kitchen::with_bakes("6kg", &[]);
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 12 --lot {lot}"
    ));
    kitchen
}

/// The same, as the accepted plan says.
fn accepted() -> Kitchen {
    let kitchen = too_late();
    has(
        &one_line(&kitchen.ok("plan --accept")),
        "not taken out of the freezer in time",
    );
    kitchen
}

#[test]
fn nobody_is_told_to_plan_again_for_what_the_plan_has_just_said() {
    let mut kitchen = accepted();
    for now in ["2026-11-20T10:00:00Z", "2026-11-20T11:00:00Z"] {
        kitchen.at(now);
        let today = one_line(&kitchen.ok("today"));
        has(
            &today,
            "too late for B-1S; the accepted plan has no grain for it: move it or drop it: draff bake change B-1S --at WHEN, or draff bake drop B-1S",
        );
        assert!(!today.contains("lan again"), "{today}");
    }
}

#[test]
fn once_something_was_written_a_new_plan_may_help() {
    let kitchen = accepted();
    kitchen.lot_from("Corrow Weir", "--wet 3kg");
    let today = one_line(&kitchen.ok("today"));
    has(&today, "too late for B-1S. Plan again: draff plan --accept");
}

#[test]
fn a_plan_that_is_not_accepted_is_asked_for() {
    let kitchen = too_late();
    let today = one_line(&kitchen.ok("today"));
    has(&today, "too late for B-1S. Plan again: draff plan --accept");
}
