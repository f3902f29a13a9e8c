//! Firm bakes for which the accepted plan has no grain, or less than they take at least, are told so by `today`.

use crate::env::{Kitchen, has, one_line};

/// 300 g of this Friday's grain, no freezer and no dryer; a loaf on Sunday that takes more, and one in ten days.
fn accepted() -> Kitchen {
    let (kitchen, _) = Kitchen::with_loaf("300g");
    for setting in ["freezer none", "dryer none"] {
        kitchen.ok(&format!("settings {setting}"));
    }
    for day in ["22", "30"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-{day} 06:00\" mix --pieces 12"
        ));
    }
    has(
        &one_line(&kitchen.ok("plan --accept")),
        "no lot is in date then",
    );
    kitchen
}

#[test]
fn a_bake_without_grain_is_short_as_the_plan_said() {
    let mut kitchen = accepted();
    kitchen.at("2026-11-29T10:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    for task in ["make the sponge", "mix the final dough"] {
        has(
            &today,
            &format!(
                "{task}; SHORT: the accepted plan has no grain for it: move it or drop it: draff bake change B-2Q --at WHEN, or draff bake drop B-2Q"
            ),
        );
    }
}

#[test]
fn a_bake_with_less_than_its_minimum_is_short() {
    let kitchen = accepted();
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        "B-1S small loaf: make the sponge; SHORT: the accepted plan has 66 g of at least 288 g of dry grain for it: move it or drop it",
    );
}

#[test]
fn once_grain_came_in_a_new_plan_may_help() {
    let kitchen = accepted();
    kitchen.lot_from("Corrow Weir", "--wet 6kg");
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        "of dry grain for it; plan again first: draff plan --accept, then draff sheet B-1S",
    );
}

/// Nobody planned for it.
#[test]
fn a_bake_that_was_added_after_the_plan_is_not_said_to_be_without_grain() {
    let kitchen = accepted();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12");
    let today = one_line(&kitchen.ok("today"));
    assert!(!today.contains("no grain for it"), "{today}");
}
