//! A bake names a frozen block, and another bake takes of it too: the block comes out once, for the first of them, and who finds it
//! past is told so wherever that bake is shown.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;

/// Friday: a frozen block of 6 kg that keeps 6 days once it is thawed, and a bake (B-1S) that takes of it by the accepted plan.
fn promised(mix: &str) -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_bakes("6kg", &[(mix, 10)]);
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.ok("plan --accept");
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(text(&list(&shown, "promised")[0], "lot"), lot);
    (kitchen, lot)
}

/// Adds a bake (B-2Q) that names the block; gives what is told.
fn name_it(kitchen: &Kitchen, lot: &str, mix: &str) -> String {
    kitchen.told(&format!(
        "bake add \"small loaf\" --at \"{mix}\" mix --pieces 8 --lot {lot}"
    ))
}

/// The one thawing, which `today` and the calendar tell alike.
#[track_caller]
fn thawing(kitchen: &Kitchen) -> Value {
    let of = |answer: &Value, key: &str, what: &str| -> Vec<Value> {
        let all = list(answer, key).iter();
        let thaws = all.filter(|one| one[what] == "thaw" && one["dropped"] != true);
        thaws.cloned().collect()
    };
    let today = kitchen.json("today --days 14");
    let calendar = kitchen.json("bake calendar");
    let (due, tasks) = (of(&today, "due", "task"), of(&calendar, "tasks", "action"));
    let ([due], [task]) = (&due[..], &tasks[..]) else {
        panic!("one job: {today} {calendar}")
    };
    for key in ["lot", "by", "bake", "wet_g", "block_g"] {
        assert_eq!(due[key], task[key], "{key}");
    }
    assert_eq!(due["place"], task["into"][0]["place"]);
    due.clone()
}

const OUT: &str =
    "the whole block comes out of the freezer for B-1S, Sun 22 Nov 17:00, and is past by then";

#[test]
fn a_bake_that_names_a_block_too_late_is_told_when_it_is_added() {
    let (kitchen, lot) = promised("2026-11-23 06:00");
    let told = name_it(&kitchen, &lot, "2026-12-01 06:00");
    has(&told, "B-2Q (Tue 1 Dec 06:00) loses ");
    has(&told, &format!("of `{lot}`: {OUT}"));
    has(&told, "`draff plan` shows what to use instead");
}

#[test]
fn a_block_comes_out_once_for_a_promise_and_a_name() {
    let (kitchen, lot) = promised("2026-11-23 06:00");
    name_it(&kitchen, &lot, "2026-12-01 06:00");
    let job = thawing(&kitchen);
    assert_eq!(
        (&job["bake"], &job["lot"]),
        (&"B-1S".into(), &lot.as_str().into())
    );
    assert_eq!(grams(&job, "block_g"), 6000.0);
    let words = one_line(&kitchen.ok("today --days 14"));
    has(&words, &format!("of {lot}: {OUT}; plan again first"));
}

#[test]
fn the_sheet_the_list_and_the_calendar_say_that_it_is_past() {
    let (kitchen, lot) = promised("2026-11-23 06:00");
    name_it(&kitchen, &lot, "2026-12-01 06:00");
    let ran = kitchen.run("sheet B-2Q");
    assert_eq!(ran.code, 0, "{}", ran.err);
    has(&ran.told(), &format!("of `{lot}`: {OUT}"));
    has(&one_line(&ran.out), "PAST: DO NOT USE");
    assert!(!ran.out.contains("THAW"), "{}", ran.out);
    has(
        &one_line(&kitchen.ok("bake list")),
        "loses the grain that it names: draff plan",
    );
    has(&one_line(&kitchen.ok("bake show B-2Q")), OUT);
    let file = kitchen
        .ok("bake calendar B-2Q --ics -")
        .replace("\r\n ", "");
    assert_eq!(
        file.matches("is past by then: plan again").count(),
        1,
        "{file}"
    );
}

/// The earlier moment counts, whoever has a promise.
#[test]
fn a_named_block_that_comes_out_first_is_lost_to_the_promise() {
    let (kitchen, lot) = promised("2026-11-30 06:00");
    let told = name_it(&kitchen, &lot, "2026-11-22 06:00");
    has(&told, "B-1S (Mon 30 Nov 06:00) loses ");
    has(
        &told,
        &format!("of `{lot}`: the whole block comes out of the freezer for B-2Q, Sat 21 Nov 17:00"),
    );
    let job = thawing(&kitchen);
    assert_eq!(job["bake"], "B-2Q");
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(list(&shown, "promised")[0]["usable_then"], false);
    has(&one_line(&kitchen.ok("sheet B-2Q")), "THAW");
}

#[test]
fn a_block_that_keeps_for_both_is_one_job_by_the_earlier_moment() {
    for (mix, named) in [
        ("2026-11-23 06:00", "2026-11-25 06:00"),
        ("2026-11-25 06:00", "2026-11-23 06:00"),
    ] {
        let (kitchen, lot) = promised(mix);
        let told = name_it(&kitchen, &lot, named);
        assert!(!told.contains("loses"), "{told}");
        let job = thawing(&kitchen);
        assert_eq!(list(&job, "grain").len(), 2, "{job}");
        assert!(text(&job, "by").starts_with("2026-11-22"), "{job}");
    }
}

/// A bake that is moved away from the day of the block, or back.
#[test]
fn a_moved_bake_that_names_a_block_is_told_what_it_loses() {
    let (kitchen, lot) = promised("2026-11-23 06:00");
    name_it(&kitchen, &lot, "2026-11-25 06:00");
    let told = kitchen.told("bake change B-2Q --at \"2026-12-01 06:00\" mix");
    has(&told, &format!("of `{lot}`: {OUT}"));
    let told = kitchen.told("bake change B-2Q --at \"2026-11-25 06:00\" mix");
    assert!(!told.contains("loses"), "{told}");
    assert_eq!(list(&thawing(&kitchen), "grain").len(), 2);
}

/// A bake that names no lot takes what is free; a block that would not keep for both is left to the bake that names it.
#[test]
fn a_sheet_leaves_a_block_to_the_bake_that_names_it() {
    for (named, bakes) in [("2026-12-01 06:00", 1), ("2026-11-25 06:00", 2)] {
        let (kitchen, lot) = Kitchen::with_bakes("6kg", &[("2026-11-23 06:00", 10)]);
        kitchen.ok(&format!("move {lot} freezer"));
        name_it(&kitchen, &lot, named);
        let job = thawing(&kitchen);
        assert_eq!(list(&job, "grain").len(), bakes, "{job}");
        let takes_it = kitchen.ok("sheet B-1S").contains(&lot);
        assert_eq!(takes_it, bakes == 2, "{named}");
        has(&one_line(&kitchen.ok("sheet B-2Q")), "THAW");
    }
}

/// What is weighed out early came out for that bake.
#[test]
fn a_bake_that_names_it_is_written_down_with_it_where_it_came_first() {
    let (mut kitchen, lot) = promised("2026-11-23 06:00");
    name_it(&kitchen, &lot, "2026-12-01 06:00");
    kitchen.at("2026-11-21T10:00:00Z");
    has(&one_line(&kitchen.ok("bake done B-2Q")), &lot);
}
