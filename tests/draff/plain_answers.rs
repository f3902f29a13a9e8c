//! Answers that were read wrongly: each says what is so and what to do, in words that have one reading.

use crate::env::{Kitchen, has, one_line};
use crate::plan::list;

/// 3 kg of tested grain of Friday, of which a bake of Wednesday, 06:00, was promised 2.505 kg, and its sponge is due on
/// Tuesday at 18:00. On Tuesday somebody takes 1 kg for buns.
fn short_of_grain() -> (Kitchen, String, String) {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("3kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-25 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-24T17:00:00Z");
    let told = kitchen.told(&format!("use {lot} 1kg --for buns"));
    (kitchen, lot, told)
}

#[test]
fn a_missed_stage_says_that_the_bake_cannot_keep_its_time_and_moves_it() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.at("2026-11-21T06:00:20Z");
    let said = one_line(&kitchen.ok("today"));
    has(
        &said,
        "was due Fri 20 Nov 20:00: B-1S small loaf: make the sponge. If it is not made yet, the bake cannot be kept at its time: it has to stand 12 h. Make it now, and mix no earlier than Sat 21 Nov 18:01",
    );
    let moved = "bake change B-1S --at \"2026-11-21 18:01\" mix";
    has(
        &said,
        &format!("Move the bake: draff {moved}. If it was made in time: draff sheet B-1S"),
    );
    kitchen.ok(moved);
    let today = kitchen.json("today");
    let mut due = list(&today, "due").iter();
    assert!(due.all(|one| one["late"] == false), "{today}");
}

#[test]
fn grain_that_is_missing_is_no_more_to_be_used() {
    let (kitchen, lot, told) = short_of_grain();
    has(
        &told,
        "B-1S is short by 505 g. `draff plan --accept` shares out what is left",
    );
    has(
        &one_line(&kitchen.ok("today")),
        "use 2 kg first, keep until Thu 26 Nov; promised: 2 kg for B-1S (505 g of 2.505 kg is missing)",
    );
    has(
        &one_line(&kitchen.ok("shelf")),
        &format!("of {lot}: 2 kg to B-1S (505 g of 2.505 kg is missing)"),
    );
}

#[test]
fn a_bake_that_lacks_grain_says_so_where_it_goes_in_and_plans_first() {
    let (kitchen, lot, _) = short_of_grain();
    let today = one_line(&kitchen.ok("today"));
    let short = "SHORT: 505 g of the grain promised to it is missing; plan again first: draff plan --accept, then draff sheet B-1S";
    has(&today, &format!("make the sponge; {short}"));
    has(
        &today,
        &format!("mix the final dough; grain: 2 kg of {lot}; {short}"),
    );
    kitchen.ok("plan --accept");
    let today = kitchen.ok("today");
    assert!(!today.contains("SHORT"), "{today}");
}

#[test]
fn unknown_grain_is_thrown_away_before_the_exception_is_named() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 9kg");
    kitchen.at("2026-11-20T18:00:00Z");
    let discard = format!("discard {lot} --reason unknown");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        let (before, after) = said
            .split_once(&format!("throw it away: draff {discard}. Only exception: "))
            .unwrap_or_else(|| panic!("{said}"));
        assert!(!before.contains("draff probe"), "{said}");
        has(after, &format!("draff probe {lot} --cooled WHEN"));
    }
    kitchen.ok(&discard);
}

#[test]
fn past_grain_says_until_when_it_was_good_and_how_its_days_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.at("2026-11-27T08:00:00Z");
    has(
        &one_line(&kitchen.ok("today")),
        &format!(
            "{lot} in fridge: throw away 3 kg: past, was good until Thu 26 Nov, end of day; it keeps 7 days, the mash-out day counted as the first: draff discard {lot} --reason past"
        ),
    );
}

#[test]
fn grain_that_is_not_shown_cold_yet_is_good_so_far() {
    let kitchen = Kitchen::new();
    let said = one_line(
        &kitchen.ok("pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 9kg"),
    );
    has(
        &said,
        "Verdict good so far: take its temperature by Fri 20 Nov 11:30 (today is day 1)",
    );
    has(
        &said,
        "Because it has to cool to 21 °C within 2 h of mash-out, and nothing shows that it did",
    );
    has(
        &said,
        "take the temperature in the middle of the grain, where it is thickest: it must show 21 °C or less by",
    );
}

#[test]
fn grain_that_the_plan_freezes_is_named_with_it_on_the_shelf() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    let freeze = kitchen.json("today")["due"][0].clone();
    assert_eq!(freeze["task"], "freeze", "{freeze}");
    let wet = freeze["wet_g"].as_f64().unwrap() / 1000.0;
    let planned = format!("> accepted plan: freeze {wet} kg of it");
    let shelf = one_line(&kitchen.ok("shelf"));
    has(&shelf, &format!("{planned} by Fri 20 Nov 21:00"));
    kitchen.at("2026-11-20T21:30:00Z");
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        &format!("{planned} now: it was due Fri 20 Nov 21:00"),
    );
    kitchen.ok(&format!("move {lot} --wet {wet}kg --to freezer"));
    assert!(!kitchen.ok("shelf").contains("accepted plan"));
}
