//! Bakes that the accepted plan leaves out: the grain that they name is promised to others and stays theirs.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{list, text};

/// So much grain that a bake in three days (B-1S) names and a firm one three days later (B-2Q) needs, with the plan accepted.
fn accepted(wet: &str, first: &str, is_frozen: bool) -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_bakes(wet, &[]);
    if is_frozen {
        kitchen.ok(&format!("move {lot} freezer"));
    }
    for (mix, how) in [
        ("2026-11-23 06:00", first.replace("LOT", &lot)),
        ("2026-11-26 06:00", String::new()),
    ] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{mix}\" mix --pieces 12 {how}"
        ));
    }
    has(
        &one_line(&kitchen.ok("plan --accept")),
        "not baked small loaf, optional what fits goes into B-2Q",
    );
    (kitchen, lot)
}

#[test]
fn a_block_does_not_come_out_for_a_bake_that_the_plan_leaves_out() {
    let (kitchen, lot) = accepted("2kg", "--optional --lot LOT", true);
    let today = kitchen.json("today --days 7");
    let mut due = list(&today, "due").iter();
    let thaw = due.find(|one| one["task"] == "thaw").unwrap();
    assert!(text(thaw, "by").starts_with("2026-11-25T17:00"), "{thaw}");
    assert_eq!(thaw["bake"], "B-2Q");
    let calendar = kitchen.json("bake calendar");
    let tasks = list(&calendar, "tasks").iter();
    let thaws: Vec<_> = tasks.filter(|one| one["action"] == "thaw").collect();
    assert_eq!(thaws.len(), 1, "{calendar}");
    assert_eq!(
        (&thaws[0]["bake"], &thaws[0]["by"]),
        (&thaw["bake"], &thaw["by"])
    );
    let ran = kitchen.run("sheet B-1S");
    assert!(
        !ran.out.contains("THAW") && !ran.out.contains(&lot),
        "{}",
        ran.out
    );
    has(
        &ran.told(),
        &format!("the accepted plan leaves B-1S out; 2 kg of `{lot}` is left to B-2Q"),
    );
}

#[test]
fn a_sheet_takes_of_the_lots_that_it_names_what_is_promised_to_no_other() {
    let (kitchen, lot) = accepted("2.7kg", "--optional --lot LOT", false);
    let shown = kitchen.json("bake show B-2Q");
    let promised = list(&shown, "promised")[0]["wet_g"].as_f64().unwrap();
    let sheet = kitchen.json("sheet B-1S");
    let draws = list(&sheet, "draws");
    let taken = draws[0]["wet_g"].as_f64().unwrap();
    assert!(taken > 0.0 && taken + promised <= 2700.0, "{sheet}");
    has(
        &kitchen.told("sheet B-1S"),
        &format!("of `{lot}` is left to B-2Q"),
    );
}

#[test]
fn today_says_that_the_plan_leaves_an_optional_bake_out() {
    for how in ["--optional", "--optional --lot LOT"] {
        let (kitchen, _) = accepted("2kg", how, false);
        let today = one_line(&kitchen.ok("today --days 7"));
        has(
            &today,
            "B-1S small loaf: make the sponge; the accepted plan leaves it out (optional): draff sheet B-1S",
        );
        has(
            &today,
            "B-1S small loaf: mix the final dough; the accepted plan leaves it out (optional): draff sheet B-1S",
        );
        has(
            &kitchen.told("sheet B-1S"),
            "the accepted plan leaves B-1S out",
        );
    }
}

/// Who names the grain after the plan was accepted decided it anew.
#[test]
fn a_bake_that_was_changed_since_is_not_left_out() {
    let (kitchen, lot) = accepted("2kg", "--optional", true);
    kitchen.ok(&format!("bake change B-1S --lot {lot}"));
    has(&one_line(&kitchen.ok("sheet B-1S")), "THAW");
    let today = one_line(&kitchen.ok("today --days 7"));
    assert!(!today.contains("leaves it out"), "{today}");
}
