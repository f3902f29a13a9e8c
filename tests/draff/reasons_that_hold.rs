//! A plan names a full freezer as the reason only where it is one.

use crate::env::{Kitchen, has, one_line};
use crate::plan::list;

/// Two bakes want more than a fresh lot holds; the second needs it frozen, and the freezer is empty. Then the lot is found
/// wetter.
#[test]
fn grain_that_is_wetter_than_the_plan_counted_on_is_not_the_fault_of_the_freezer() {
    let (mut kitchen, lot) = Kitchen::with_loaf("607g");
    kitchen.ok(&format!("moisture {lot} --lab 75% --lab-sd 0.1%"));
    kitchen.ok("place change freezer --capacity 5kg");
    for mix in ["2026-11-22 06:00", "2026-11-30 06:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{mix}\" mix --pieces 2"
        ));
    }
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-20T10:10:00Z");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.1%"));
    let plan = kitchen.json("plan");
    let changes = list(&plan, "changes");
    let changed = changes.iter().find(|one| one["bake"] == "B-2Q").unwrap();
    assert_eq!(changed["because"], "moisture", "{plan}");
    let words = one_line(&kitchen.ok("plan"));
    has(
        &words,
        "the lot is wetter than the accepted plan counted on",
    );
    assert!(!words.contains("have no room"), "{words}");
}

const FULL: &str = "Nothing more is frozen: the freezers already hold what they take.";

/// The freezer is full to the gram. A lot that a bake takes whole needs no room; one that nobody takes does.
#[test]
fn a_full_freezer_is_told_only_of_grain_that_could_be_frozen() {
    let (kitchen, lot) = Kitchen::with_loaf("1kg");
    kitchen.lot_from("Corrow Weir", "--wet 2kg --place freezer");
    kitchen.ok("place change freezer --capacity 2kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 6 --lot {lot}"
    ));
    let words = one_line(&kitchen.ok("plan"));
    assert!(!words.contains("Nothing more is frozen"), "{words}");
    kitchen.lot_from("Birch Hill", "--wet 4kg");
    has(&one_line(&kitchen.ok("plan")), FULL);
}
