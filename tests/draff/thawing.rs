//! Frozen grain for a dough: whether it thaws in time, what to take out when, and what is told where nobody
//! wrote it down.

use crate::env::{Kitchen, has, one_line};
use crate::plan_places::with_places;

#[test]
fn grain_does_not_thaw_in_minutes() {
    let kitchen = Kitchen::new();
    let refused = kitchen.refused(2, "settings thaw 10min");
    has(&refused, "thaw is `10min`: allowed is 1h to 96h");
    has(&refused, "write it like");
    kitchen.ok("settings thaw 1h");
}

/// A bake takes a part of what is frozen in one block.
#[test]
fn a_part_of_a_frozen_block_takes_all_of_it_out() {
    let (mut kitchen, lot) = Kitchen::with_loaf("20kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 4");
    has(
        &one_line(&kitchen.ok("plan")),
        &format!("frozen in one block, all 20 kg of {lot} comes out:"),
    );
}

/// A bake of Saturday, 14:00, of a lot in the freezer: it comes out by 21:00, and is thawed in time until 01:00.
fn of_frozen() -> (Kitchen, String) {
    let kitchen = with_places(&[]);
    let lot = frozen_for_a_bake(&kitchen);
    (kitchen, lot)
}

/// Puts a lot into the freezer, and adds that bake of it.
pub fn frozen_for_a_bake(kitchen: &Kitchen) -> String {
    let lot = kitchen.lot_from("Alder Lane", "--wet 8kg --place freezer");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 14:00\" mix --pieces 12 --lot {lot}"
    ));
    lot
}

#[test]
fn grain_that_cannot_thaw_in_time_is_named_where_it_would_go_in() {
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-21T06:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        &format!(
            "of {lot} is still in the freezer. If you take it out now, it will be thawed 5 h too late for B-1S. Plan again: draff plan"
        ),
    );
    has(&today, &format!("grain: {lot} (NOT THAWED by then)"));
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        &format!(
            "STOP: the book still has {lot} in the freezer. If you take it out now, it is not thawed by Sat 21 Nov 14:00: draff plan plans again. If it was taken out before, type draff move {lot} --to fridge --at WHEN"
        ),
    );
    has(&sheet, "in freezer, no date, NOT THAWED");
    kitchen.ok(&format!("move {lot} --to fridge --at \"2026-11-20 20:00\""));
    for question in ["today", "sheet B-1S"] {
        let said = kitchen.ok(question);
        assert!(!said.contains("NOT THAWED"), "{said}");
    }
}

/// At 23:00 nobody works, but what comes out then is thawed in time.
#[test]
fn a_sheet_says_take_it_out_now_as_long_as_it_thaws_in_time() {
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-20T23:00:00Z");
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        &format!(
            "THAW NOW: take {lot} out of the freezer. It was to come out by Fri 20 Nov 21:00; it is thawed in time if it comes out by Sat 21 Nov 01:00"
        ),
    );
    assert!(!sheet.contains("NOT THAWED"), "{sheet}");
}

#[test]
fn a_bake_of_grain_that_is_frozen_by_the_book_says_how_to_write_down_that_it_was_taken_out() {
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen.told("bake done B-1S");
    has(
        &told,
        &format!("by the book lot `{lot}` was still in the freezer when this dough took it"),
    );
    has(
        &told,
        &format!("say when: `draff move {lot} --to fridge --at WHEN`. If it went in frozen"),
    );
    kitchen.ok(&format!("move {lot} --to fridge --at \"2026-11-20 20:00\""));
    // Of a lot that is used up nothing can be moved: the bake is struck first.
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen.told(&format!("bake done B-1S --used {lot}=8kg"));
    let (_, rest) = told.split_once("say when: `draff ").expect("a remedy");
    let (strike, rest) = rest.split_once(" --reason TEXT`").expect("a strike");
    has(
        rest,
        &format!("then `draff move {lot} --to fridge --at WHEN`"),
    );
    kitchen.ok(&format!("{strike} --reason frozen"));
    kitchen.ok(&format!("move {lot} --to fridge --at \"2026-11-20 20:00\""));
    let told = kitchen.told(&format!("bake done B-1S --used {lot}=8kg"));
    assert!(!told.contains("in the freezer"), "{told}");
    // Who says that it went in frozen knows it.
    let (mut kitchen, _) = of_frozen();
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen
        .told("bake done B-1S --dough-temp 20C --tap 12C --room 21C --frozen --water-temp 40C");
    assert!(!told.contains("in the freezer"), "{told}");
}
