//! Freezing that the accepted plan asks for and nobody did, where what is known of the grain changed since.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{list, text};

#[test]
fn a_bake_that_can_take_the_grain_as_it_lies_is_not_told_that_it_was_frozen_too_late() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.pickup(
        "--brewed 2026-11-19 --mash-out \"2026-11-19 22:30\" --cooled \"2026-11-19 23:59\" --wet 8kg",
    );
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-26 06:00\" mix --pieces 24");
    let plan = kitchen.json("plan --accept");
    let draws = list(&plan["bakes"][0], "draws");
    assert_eq!(text(&draws[0], "state"), "thawed", "{plan}");
    let said = |kitchen: &Kitchen| one_line(&kitchen.ok("today"));
    kitchen.at("2026-11-25T12:00:00Z");
    has(&said(&kitchen), "too late for B-1S: ");
    // The mash-out was after midnight: a day more, which reaches to the bake.
    for (kind, right) in [
        ("cooled", "--at \"2026-11-20 01:30\""),
        ("pickup", "--mash-out \"2026-11-20 00:30\""),
    ] {
        let entry = kitchen.last_entry(kind);
        kitchen.ok(&format!("correct {entry} {right} --reason misread"));
    }
    let told = said(&kitchen);
    assert!(!told.contains("too late"), "{told}");
    has(&told, "mix the final dough; grain: ");
    let today = kitchen.json("today");
    let first = list(&today, "due").iter();
    let mut first = first.filter(|due| due["task"] == "use-first");
    let grain = list(first.next().expect("it goes first"), "grain");
    assert!(grain.iter().any(|one| one["bake"] == "B-1S"), "{today}");
    has(&kitchen.ok("sheet B-1S"), "wet grain");
}
