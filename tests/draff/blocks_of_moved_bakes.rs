//! A bake is moved whose grain comes out of the freezer in one block with that of another: the block comes out once, for the
//! first of its bakes, and the lists, the sheet and the calendar say so.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list};
use serde_json::Value;

/// Friday: a frozen block of 6 kg that keeps 6 days once it is thawed, and a bake of Monday (B-1S) and one of that week (B-2Q)
/// that take of it by the accepted plan.
fn accepted(later: &str) -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_bakes("6kg", &[("2026-11-23 06:00", 12), (later, 10)]);
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.ok("plan --accept");
    (kitchen, lot)
}

/// The same, where B-2Q is moved to a day on which the block is past.
fn too_late() -> (Kitchen, String, String) {
    let (kitchen, lot) = accepted("2026-11-24 06:00");
    let told = kitchen.told("bake change B-2Q --at \"2026-12-01 06:00\" mix");
    (kitchen, lot, told)
}

fn thaws(answer: &Value, key: &str, what: &str) -> Vec<Value> {
    let all = list(answer, key).iter();
    let thaws = all.filter(|one| one[what] == "thaw" && one["dropped"] != true);
    thaws.cloned().collect()
}

/// When `today` and the calendar take a block out.
fn moments(kitchen: &Kitchen) -> [Vec<Value>; 2] {
    let by = |jobs: Vec<Value>| jobs.iter().map(|job| job["by"].clone()).collect();
    let (today, calendar) = (
        kitchen.json("today --days 14"),
        kitchen.json("bake calendar"),
    );
    [
        by(thaws(&today, "due", "task")),
        by(thaws(&calendar, "tasks", "action")),
    ]
}

const OUT: &str =
    "the whole block comes out of the freezer for B-1S, Sun 22 Nov 17:00, and is past by then";

#[test]
fn a_change_of_a_bake_tells_that_it_cannot_have_a_block_that_is_out_before() {
    let (_, lot, told) = too_late();
    has(&told, &format!("the bake cannot have lot `{lot}`: {OUT}"));
    has(&told, "To plan anew: `draff plan --accept`");
}

#[test]
fn a_block_comes_out_once_where_a_bake_is_moved_beyond_its_date() {
    let (kitchen, lot, _) = too_late();
    let today = kitchen.json("today --days 14");
    let jobs = thaws(&today, "due", "task");
    let [job] = &jobs[..] else {
        panic!("one job: {today}")
    };
    assert_eq!(job["bake"], "B-1S");
    assert_eq!(grams(job, "block_g"), 6000.0);
    let words = one_line(&kitchen.ok("today --days 14"));
    has(
        &words,
        &format!("it cannot have 2.087 kg of {lot}: {OUT}; plan again"),
    );
    let calendar = kitchen.json("bake calendar");
    let tasks = thaws(&calendar, "tasks", "action");
    let [task] = &tasks[..] else {
        panic!("one job: {calendar}")
    };
    assert_eq!((&task["bake"], &task["by"]), (&job["bake"], &job["by"]));
}

#[test]
fn a_sheet_thaws_no_block_that_is_out_before() {
    let (kitchen, lot, _) = too_late();
    let ran = kitchen.run("sheet B-2Q");
    assert_eq!(ran.code, 0, "{}", ran.err);
    has(
        &ran.told(),
        &format!("the bake cannot have lot `{lot}`: {OUT}"),
    );
    assert!(!ran.out.contains("THAW"), "{}", ran.out);
    assert!(!ran.out.contains(&lot), "{}", ran.out);
    has(&one_line(&kitchen.ok("sheet B-1S")), "THAW");
    let shown = kitchen.json("bake show B-2Q");
    assert_eq!(list(&shown, "promised")[0]["usable_then"], false);
}

/// A named lot stands on the sheet all the same.
#[test]
fn a_sheet_of_a_bake_that_names_the_block_says_not_to_use_it() {
    let (kitchen, lot, _) = too_late();
    kitchen.ok(&format!("bake change B-2Q --lot {lot}"));
    let ran = kitchen.run("sheet B-2Q");
    assert_eq!(ran.code, 0, "{}", ran.err);
    has(
        &ran.told(),
        &format!("the bake cannot have lot `{lot}`: {OUT}"),
    );
    has(&one_line(&ran.out), "PAST: DO NOT USE");
    assert!(!ran.out.contains("THAW"), "{}", ran.out);
}

/// What is weighed out early came out for that bake.
#[test]
fn a_bake_that_is_written_down_early_took_what_was_promised() {
    let (mut kitchen, lot, _) = too_late();
    kitchen.at("2026-11-21T10:00:00Z");
    let done = one_line(&kitchen.ok("bake done B-2Q"));
    has(&done, &format!("2.087 kg of {lot}"));
}

/// It is the first bake that is moved, and another one that loses its grain.
#[test]
fn an_earlier_first_bake_tells_what_a_later_one_loses() {
    let (kitchen, lot) = accepted("2026-11-27 06:00");
    let told = kitchen.told("bake change B-1S --at \"2026-11-21 20:00\" mix");
    has(
        &told,
        &format!(
            "B-2Q (Fri 27 Nov 06:00) loses 2.087 kg of `{lot}`: the whole block comes out of the freezer for B-1S, Sat 21 Nov"
        ),
    );
    has(&told, "and is past by then");
    assert!(!told.contains("CHANGED"), "{told}");
}

#[test]
fn a_bake_that_finds_the_block_good_still_has_it() {
    let (kitchen, _) = accepted("2026-11-24 06:00");
    let told = kitchen.told("bake change B-2Q --at \"2026-11-27 06:00\" mix");
    assert!(!told.contains("cannot have"), "{told}");
    let today = kitchen.json("today --days 14");
    let jobs = thaws(&today, "due", "task");
    assert_eq!(jobs.len(), 1, "{today}");
    assert_eq!(list(&jobs[0], "grain").len(), 2, "{today}");
}

/// The calendar and `today` have the moments of the bakes as they are by now, whichever comes first then.
#[test]
fn the_calendar_follows_a_moved_bake() {
    for (bake, mix) in [
        ("B-1S", "2026-11-22 22:00"),
        ("B-1S", "2026-11-23 20:00"),
        ("B-1S", "2026-11-25 06:00"),
        ("B-2Q", "2026-11-22 12:00"),
    ] {
        let (kitchen, _) = accepted("2026-11-24 06:00");
        let [before, _] = moments(&kitchen);
        kitchen.ok(&format!("bake change {bake} --at \"{mix}\" mix"));
        let [today, calendar] = moments(&kitchen);
        assert_eq!(today.len(), 1, "{bake} {mix}");
        assert_ne!(today, before, "{bake} {mix}");
        assert_eq!(calendar, today, "{bake} {mix}");
    }
}
