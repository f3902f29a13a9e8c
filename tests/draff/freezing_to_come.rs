//! What an accepted plan still has to freeze is promised as if it were frozen, as long as that can be done in time: no spare
//! bag takes its place, and the sheet says what is to be done.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list, text};

/// 12 kg of this Friday's grain and one bake on Monday of the week after the next: the tub is frozen as a bag for the bake and what
/// is to spare. Gives the lot, the bag and the spare, in grams.
fn accepted() -> (Kitchen, String, f64, f64) {
    let (kitchen, lot) = Kitchen::with_bakes("12kg", &[("2026-11-30 06:00", 12)]);
    kitchen.ok("plan --accept");
    let frozen = frozen(&kitchen);
    assert_eq!(frozen.len(), 2, "{frozen:?}");
    let of = |bake: &str| frozen.iter().find(|(for_bake, _)| for_bake == bake);
    let (bag, spare) = (of("B-1S").unwrap().1, of("").unwrap().1);
    assert!(bag + 1000.0 < spare, "{bag} and {spare}");
    (kitchen, lot, bag, spare)
}

/// What `today` freezes: for which bake, and grams.
fn frozen(kitchen: &Kitchen) -> Vec<(String, f64)> {
    let today = kitchen.json("today");
    let due = list(&today, "due").iter();
    due.filter(|due| due["task"] == "freeze")
        .map(|due| {
            let bake = due["bake"].as_str().unwrap_or_default();
            (bake.to_owned(), grams(due, "wet_g"))
        })
        .collect()
}

/// The lots that hold what is promised to the bake, with how much of each.
fn promised(kitchen: &Kitchen) -> Vec<(String, f64)> {
    let shown = kitchen.json("bake show B-1S");
    list(&shown, "promised")
        .iter()
        .map(|one| (text(one, "lot").to_owned(), grams(one, "wet_g")))
        .collect()
}

fn into_freezer(kitchen: &Kitchen, lot: &str, wet: f64) -> String {
    let moved = kitchen.json(&format!("move {lot} --wet {wet}g --to freezer"));
    text(&moved, "lot").to_owned()
}

/// What the sheet of B-1S says in words, of grain that is as it was promised.
#[track_caller]
pub fn sheet_as_promised(kitchen: &Kitchen) -> String {
    let ran = kitchen.run("sheet B-1S");
    assert!(ran.code == 0 && !ran.err.contains("CHANGED"), "{ran:?}");
    has(&ran.told(), "promised to B-1S");
    one_line(&ran.out)
}

#[test]
fn a_spare_bag_takes_no_promise_of_a_bag_that_is_still_to_be_frozen() {
    let (kitchen, lot, bag, spare) = accepted();
    into_freezer(&kitchen, &lot, spare);
    assert_eq!(promised(&kitchen), [(lot.clone(), bag)]);
    assert_eq!(frozen(&kitchen), [("B-1S".to_owned(), bag)]);
    let plan = one_line(&kitchen.ok("plan"));
    has(&plan, &format!("kg of {lot}, to freeze and thaw"));
    let own = into_freezer(&kitchen, &lot, bag);
    assert_eq!(promised(&kitchen), [(own, bag)]);
    assert!(frozen(&kitchen).is_empty());
}

/// Nor where it is smaller than the bag.
#[test]
fn a_smaller_bag_takes_no_part_of_a_promise_whose_bag_is_still_to_be_frozen() {
    let (kitchen, lot, bag, _) = accepted();
    into_freezer(&kitchen, &lot, 1000.0);
    assert_eq!(promised(&kitchen), [(lot, bag)]);
    assert_eq!(frozen(&kitchen)[0], ("B-1S".to_owned(), bag));
}

#[test]
fn a_spare_bag_serves_once_the_own_bag_cannot_be_frozen_any_more() {
    let (mut kitchen, lot, bag, spare) = accepted();
    let block = into_freezer(&kitchen, &lot, spare);
    kitchen.at("2026-11-27T10:00:00Z");
    assert_eq!(promised(&kitchen), [(block.clone(), bag)], "past");
    // Gone for something else, it cannot be frozen either.
    let (kitchen, lot, bag, spare) = accepted();
    let block = into_freezer(&kitchen, &lot, spare);
    kitchen.ok(&format!("use {lot} {bag}g --for buns"));
    assert_eq!(promised(&kitchen), [(block, bag)], "used up");
}

/// It says what is still to be done, and weighs out no other lot.
#[test]
fn the_sheet_shows_the_promised_grain_that_is_still_to_be_frozen() {
    let (kitchen, lot, bag, spare) = accepted();
    // Good by then, and promised to nobody.
    let other = kitchen.lot_from("Corrow Weir", "--wet 3kg");
    kitchen.ok(&format!("move {other} --to freezer"));
    let today = kitchen.json("today");
    let by = list(&today, "due")
        .iter()
        .find(|due| due["task"] == "freeze" && due["bake"] == "B-1S")
        .unwrap()["by"]
        .clone();
    for step in ["accepted", "spare frozen"] {
        if step == "spare frozen" {
            into_freezer(&kitchen, &lot, spare);
        }
        let said = sheet_as_promised(&kitchen);
        has(
            &said,
            &format!(
                "FREEZE: put a bag of {lot} for B-1S into the freezer by Fri 20 Nov 21:00, as planned. If it is not frozen in time, do not use {lot}"
            ),
        );
        has(&said, &format!("THAW: take {lot} out of the freezer by "));
        has(&said, "ONLY IF FROZEN IN TIME");
        let sheet = kitchen.json("sheet B-1S");
        let [draw] = list(&sheet, "draws").as_slice() else {
            panic!("{sheet}");
        };
        assert_eq!((text(draw, "lot"), grams(draw, "wet_g")), (&*lot, bag));
        assert_eq!(draw["freeze_by"], by);
        assert_eq!(draw["verdict"], "past", "as it lies: {draw}");
        assert!(draw["thaw_by"].is_string(), "{draw}");
    }
    let own = into_freezer(&kitchen, &lot, bag);
    let sheet = kitchen.json("sheet B-1S");
    let draw = &list(&sheet, "draws")[0];
    assert_eq!(text(draw, "lot"), own);
    assert!(draw["freeze_by"].is_null(), "{draw}");
    assert_eq!(draw["verdict"], "good");
}

/// A job that is late and still helps is told as one to do now; later something has changed indeed.
#[test]
fn the_sheet_counts_on_freezing_only_as_long_as_it_helps() {
    let (mut kitchen, lot, ..) = accepted();
    kitchen.at("2026-11-21T10:00:00Z");
    let ran = kitchen.run("sheet B-1S");
    assert!(!ran.err.contains("CHANGED"), "{}", ran.err);
    has(
        &one_line(&ran.out),
        &format!(
            "FREEZE NOW: put a bag of {lot} for B-1S into the freezer. It was to be frozen by Fri 20 Nov 21:00"
        ),
    );
    kitchen.at("2026-11-27T10:00:00Z");
    let ran = kitchen.run("sheet B-1S");
    has(&ran.told(), "CHANGED since the plan of Fri 20 Nov 10:00");
    assert!(!ran.out.contains("FREEZE"), "{}", ran.out);
}

/// A dough that is mixed takes grain as it is: nothing counts as frozen then.
#[test]
fn a_bake_that_is_done_counts_on_no_freezing() {
    let (mut kitchen, lot, ..) = accepted();
    kitchen.at("2026-11-30T06:00:00Z");
    assert_ne!(kitchen.run("bake done B-1S").code, 0);
    assert_eq!(grams(&kitchen.on_shelf(&lot), "wet_g"), 12000.0);
}
