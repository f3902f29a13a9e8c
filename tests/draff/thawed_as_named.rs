//! A bake that names other lots than the accepted plan promised to it: what comes out of the freezer is what its sheet takes.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{list, text};
use serde_json::Value;

/// Friday: two tested tubs, a bake for Tuesday noon (B-1S), and its plan accepted. Gives the lot that is promised to it, and the other.
fn promised() -> (Kitchen, String, String) {
    let (kitchen, lot) = Kitchen::with_bakes("3kg", &[("2026-11-24 12:00", 8)]);
    let birch = kitchen.lot_from("Birch Row", "--wet 4kg");
    kitchen.ok(&format!("moisture {birch} --lab 77% --lab-sd 0.5%"));
    for lot in [&lot, &birch] {
        kitchen.ok(&format!("move {lot} freezer"));
    }
    kitchen.ok("plan --accept");
    let shown = kitchen.json("bake show B-1S");
    let [promised] = &list(&shown, "promised")[..] else {
        panic!("one lot: {shown}")
    };
    let is_first = text(promised, "lot") == lot;
    let (mine, other) = if is_first { (lot, birch) } else { (birch, lot) };
    (kitchen, mine, other)
}

/// The lots that come out of the freezer by `today`, and by the calendar.
fn thawed(kitchen: &Kitchen) -> [Vec<String>; 2] {
    let of = |answer: &Value, key: &str, what: &str| -> Vec<String> {
        let all = list(answer, key).iter();
        let thaws = all.filter(|one| one[what] == "thaw" && one["dropped"] != true);
        thaws.map(|one| text(one, "lot").to_owned()).collect()
    };
    let today = kitchen.json("today --days 14");
    let calendar = kitchen.json("bake calendar");
    [of(&today, "due", "task"), of(&calendar, "tasks", "action")]
}

#[test]
fn a_block_that_a_bake_names_comes_out_in_place_of_the_promised_one() {
    let (kitchen, promised, other) = promised();
    assert_eq!(thawed(&kitchen), [[promised.clone()], [promised.clone()]]);
    kitchen.ok(&format!("bake change B-1S --lot {other}"));
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        &format!("take {other} out"),
    );
    assert_eq!(thawed(&kitchen), [[other.clone()], [other.clone()]]);
    let today = one_line(&kitchen.ok("today --days 14"));
    has(&today, &format!("grain: {other}"));
    assert!(!today.contains(&promised), "{today}");
}

#[test]
fn the_promised_block_stays_frozen_where_the_bake_names_fresh_grain() {
    let (mut kitchen, promised, other) = promised();
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {other} fridge"));
    kitchen.ok(&format!("bake change B-1S --lot {other}"));
    assert_eq!(thawed(&kitchen), [Vec::<String>::new(), Vec::new()]);
    let today = one_line(&kitchen.ok("today --days 14"));
    assert!(!today.contains(&format!("take {promised}")), "{today}");
}

/// A bake that names what is promised to it, and one that names it beside another lot, still take the promise.
#[test]
fn a_bake_that_names_the_promised_lot_thaws_the_promise() {
    let (kitchen, promised, other) = promised();
    for lots in [
        format!("--lot {promised}"),
        format!("--lot {other} --lot {promised}"),
    ] {
        kitchen.ok(&format!("bake change B-1S {lots}"));
        assert_eq!(thawed(&kitchen), [[promised.clone()], [promised.clone()]]);
        let sheet = one_line(&kitchen.ok("sheet B-1S"));
        has(&sheet, &format!("take {promised} out"));
        assert!(!sheet.contains(&other), "{sheet}");
    }
}

/// The bake names a block that comes out for nobody else; a later bake that is promised to takes of the same block: it comes out once.
#[test]
fn a_named_block_comes_out_once_with_the_promise_of_another_bake() {
    let (kitchen, promised, other) = promised();
    kitchen.ok(&format!("bake change B-1S --lot {other}"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-25 12:00\" mix --pieces 4 --lot {other}"
    ));
    let [today, calendar] = thawed(&kitchen);
    assert_eq!((&today, &calendar), (&vec![other.clone()], &vec![other]));
    assert!(!today.contains(&promised));
}
