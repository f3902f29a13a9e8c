//! Which freezer, fridge and dry store the jobs of a plan bring grain to, and what is planned where none is cold enough.

use crate::env::{FRIDAY, Kitchen, LOAF, has, one_line};
use crate::plan::{grams, list};
use serde_json::Value;

/// Friday 20 November, with the small loaf and these places stated two hours before.
pub fn with_places(places: &[&str]) -> Kitchen {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:00:00Z");
    for place in places {
        kitchen.ok(&format!("place {place}"));
    }
    kitchen.at(FRIDAY);
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

/// Tested grain of this morning, put there.
fn lot_in(kitchen: &Kitchen, place: &str, wet: &str) -> String {
    let lot = kitchen.lot_from("Alder Lane", &format!("--wet {wet} --place \"{place}\""));
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    lot
}

fn bake(kitchen: &Kitchen, mix: &str, pieces: u32) {
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"{mix}\" mix --pieces {pieces}"
    ));
}

/// A usual freezer and fridge that are too warm, and two places with names of their own that are cold.
const TWO_OF_FOUR: [&str; 4] = [
    "change freezer --temp -10C",
    "add \"chest 1\" --kind freezer --temp -20C",
    "change fridge --temp 9C",
    "add walk-in --kind fridge --temp 3C",
];

/// What `today` asks for of one kind: place and grams.
fn due(kitchen: &Kitchen, task: &str) -> Vec<(Value, f64)> {
    let today = kitchen.json("today --days 14");
    let due = list(&today, "due").iter();
    due.filter(|due| due["task"] == task)
        .map(|due| (due["place"].clone(), grams(due, "wet_g")))
        .collect()
}

#[test]
fn each_job_names_the_place_that_is_cold_enough() {
    let mut kitchen = with_places(&TWO_OF_FOUR);
    let lot = lot_in(&kitchen, "walk-in", "8kg");
    bake(&kitchen, "2026-11-30 06:00", 12);
    let plan = one_line(&kitchen.ok("plan --accept"));
    has(&plan, &format!("freeze all 8 kg of {lot} in chest 1,"));
    has(&plan, "from the freezer into walk-in, for B-1S");
    let today = one_line(&kitchen.ok("today"));
    has(&today, " in chest 1, for B-1S (accepted plan): draff move ");
    has(&today, "kg --to 'chest 1'");
    assert!(!today.contains("--to freezer"), "{today}");
    has(
        &one_line(&kitchen.ok("shelf")),
        "freeze all of it in chest 1 by",
    );
    let calendar = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    has(&calendar, " in chest 1\\, in 2 portions: ");
    has(&calendar, "from the freezer into walk-in\\, for B-1S");
    for (_, wet) in due(&kitchen, "freeze") {
        kitchen.ok(&format!("move {lot} --wet {wet}g --to \"chest 1\""));
    }
    kitchen.at("2026-11-29T10:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    has(&today, "from the freezer into walk-in, for B-1S");
    has(&today, " --to walk-in");
    assert!(!today.contains("--to fridge"), "{today}");
}

/// Grain in a freezer that is too warm is not frozen: the job is not done by that.
#[test]
fn a_move_into_a_freezer_that_is_too_warm_does_no_job() {
    let kitchen = with_places(&TWO_OF_FOUR);
    let lot = lot_in(&kitchen, "walk-in", "8kg");
    bake(&kitchen, "2026-11-30 06:00", 12);
    kitchen.ok("plan --accept");
    let before: f64 = due(&kitchen, "freeze").iter().map(|(_, wet)| wet).sum();
    kitchen.ok(&format!("move {lot} --to freezer"));
    let after: f64 = due(&kitchen, "freeze").iter().map(|(_, wet)| wet).sum();
    assert!(before > 0.0);
    assert_eq!(before, after);
}

/// A place that was cold when the plan was accepted, and is not any more.
#[test]
fn a_job_names_no_place_that_has_become_too_warm() {
    let mut kitchen = with_places(&["add chest --kind freezer --temp -20C"]);
    lot_in(&kitchen, "fridge", "8kg");
    bake(&kitchen, "2026-11-30 06:00", 12);
    has(&one_line(&kitchen.ok("plan --accept")), " in chest");
    kitchen.at("2026-11-20T10:30:00Z");
    kitchen.ok("place change chest --temp -10C");
    let today = one_line(&kitchen.ok("today"));
    has(&today, " in freezer, for B-1S (accepted plan)");
    has(&today, "--to freezer");
    kitchen.ok("place change freezer --temp -10C");
    let today = one_line(&kitchen.ok("today"));
    has(&today, "no freezer is cold enough to freeze ");
    has(&today, ". Plan again: draff plan --accept");
    assert!(!today.contains("--to "), "{today}");
}

#[test]
fn nothing_is_thawed_where_no_fridge_is_cold_enough() {
    let mut kitchen = with_places(&[]);
    let lot = lot_in(&kitchen, "freezer", "8kg");
    bake(&kitchen, "2026-11-24 06:00", 12);
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-20T10:30:00Z");
    kitchen.ok("place change fridge --temp 9C");
    let plan = kitchen.json("plan");
    assert!(list(&plan, "actions").is_empty(), "{plan}");
    assert!(list(&plan["bakes"][0], "draws").is_empty(), "{plan}");
    assert_eq!(plan["bakes"][0]["short_because"], "no-fridge", "{plan}");
    assert_eq!(plan["changes"][0]["because"], "no-fridge", "{plan}");
    let words = one_line(&kitchen.ok("plan"));
    has(&words, "no fridge is cold enough for it");
    has(
        &words,
        "State a fridge at 5 °C or less (draff place change NAME --temp TEMPERATURE), then plan again.",
    );
    kitchen.at("2026-11-23T10:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    has(&today, "no fridge is cold enough to thaw ");
    assert!(!today.contains(&format!("move {lot}")), "{today}");
}

/// Grain to be frozen now and thawed for a bake is not frozen either.
#[test]
fn nothing_is_frozen_where_no_fridge_is_cold_enough_to_thaw_it() {
    let kitchen = with_places(&["add walk-in --kind fridge --temp 3C"]);
    lot_in(&kitchen, "walk-in", "8kg");
    bake(&kitchen, "2026-11-30 06:00", 12);
    assert!(!list(&kitchen.json("plan"), "actions").is_empty());
    kitchen.ok("place change fridge --temp 9C");
    kitchen.ok("place change walk-in --temp 8C");
    let plan = kitchen.json("plan");
    assert!(list(&plan, "actions").is_empty(), "{plan}");
}

#[test]
fn a_full_freezer_does_not_keep_grain_out_of_an_empty_one() {
    let kitchen = with_places(&["add chest --kind freezer --temp -18C --capacity 4kg"]);
    kitchen.lot_from("Corrow Weir", "--wet 10kg --place freezer");
    kitchen.ok("place change freezer --capacity 5kg");
    lot_in(&kitchen, "fridge", "3kg");
    bake(&kitchen, "2026-11-21 06:00", 4);
    let plan = kitchen.json("plan --accept");
    let action = &list(&plan, "actions")[0];
    assert_eq!(action["action"], "freeze", "{plan}");
    assert_eq!(action["into"][0]["place"], "chest", "{plan}");
    let words = one_line(&kitchen.ok("plan"));
    assert!(!words.contains("Nothing more is frozen"), "{words}");
    assert_eq!(due(&kitchen, "freeze")[0].0, "chest");
}

/// What comes out of a freezer that holds more than it takes makes no room for other grain.
#[test]
fn nothing_goes_into_an_overfull_freezer_when_something_comes_out() {
    let kitchen = with_places(&[]);
    let frozen = lot_in(&kitchen, "freezer", "10kg");
    kitchen.ok("place change freezer --capacity 5kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12 --lot {frozen}"
    ));
    lot_in(&kitchen, "fridge", "3kg");
    let plan = kitchen.json("plan");
    let mut actions = list(&plan, "actions").iter();
    assert!(actions.all(|one| one["action"] != "freeze"), "{plan}");
    has(
        &one_line(&kitchen.ok("plan")),
        "Nothing more is frozen: the freezers already hold more than they take.",
    );
}

#[test]
fn what_no_one_freezer_holds_is_split_and_said() {
    let kitchen = with_places(&[
        "change freezer --capacity 3kg",
        "add chest --kind freezer --temp -18C --capacity 4kg",
    ]);
    let lot = lot_in(&kitchen, "fridge", "8kg");
    bake(&kitchen, "2026-11-21 06:00", 4);
    let plan = one_line(&kitchen.ok("plan --accept"));
    has(
        &plan,
        &format!(
            "freeze 7 kg of {lot} in chest and freezer, in 2 portions: 4 kg to spare in chest, 3 kg to spare in freezer"
        ),
    );
    has(
        &plan,
        &format!(
            "No one freezer has room for all of {lot} that is frozen: it is split over chest and freezer."
        ),
    );
    let today = one_line(&kitchen.ok("today"));
    has(&today, &format!("draff move {lot} --wet 4kg --to chest"));
    has(&today, &format!("draff move {lot} --wet 3kg --to freezer"));
    kitchen.ok(&format!("move {lot} --wet 4kg --to chest"));
    let left = due(&kitchen, "freeze");
    assert_eq!(left, [(Value::from("freezer"), 3000.0)]);
    kitchen.ok(&format!("move {lot} --wet 3kg --to freezer"));
    assert!(due(&kitchen, "freeze").is_empty());
}

#[test]
fn drying_names_the_dry_store() {
    let kitchen = with_places(&[]);
    kitchen.ok("settings freezer none");
    kitchen.ok("settings dryer 30kg");
    lot_in(&kitchen, "fridge", "5kg");
    bake(&kitchen, "2026-11-30 06:00", 12);
    let plan = one_line(&kitchen.ok("plan --accept"));
    has(&plan, "; the dried grain goes into dry-store");
    has(
        &one_line(&kitchen.ok("today")),
        "; the dried grain goes into dry-store (accepted plan)",
    );
}

/// A block comes out whole: it does not go into the coldest fridge, which has no room for all of it.
#[test]
fn the_fridge_that_would_overflow_is_named_with_the_day() {
    let kitchen = with_places(&[
        "change fridge --capacity 4kg",
        "add walk-in --kind fridge --temp 3C --capacity 5kg",
    ]);
    lot_in(&kitchen, "freezer", "8kg");
    bake(&kitchen, "2026-11-24 06:00", 12);
    let words = one_line(&kitchen.ok("plan"));
    has(&words, "from the freezer into walk-in, for B-1S");
    has(
        &words,
        "walk-in would hold 8 kg on Mon 23 Nov, and takes 5 kg.",
    );
    kitchen.ok("place change fridge --capacity 9kg");
    let words = one_line(&kitchen.ok("plan"));
    has(&words, "from the freezer into fridge, for B-1S");
    assert!(!words.contains(" would hold "), "{words}");
}
