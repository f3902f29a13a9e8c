//! A lot that is frozen for several bakes: what is left of it is rounded into no bag while another bake's portion is in it.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list};
use serde_json::Value;

/// Friday: 6.2 kg, all of which the plan freezes for 40 loaves (B-1S) and for one (B-2Q), whose portion is less than 3 % of it.
fn accepted() -> (Kitchen, String, [(Value, f64); 2]) {
    let bakes = [("2026-11-30 06:00", 40), ("2026-12-02 06:00", 1)];
    let (kitchen, lot) = Kitchen::with_bakes("6.2kg", &bakes);
    let plan = kitchen.json("plan --accept");
    let mut actions = list(&plan, "actions").iter();
    let freeze = actions.find(|one| one["action"] == "freeze").unwrap();
    let bags = list(freeze, "bags").iter();
    let bags: Vec<(Value, f64)> = bags
        .map(|bag| (bag["bake"].clone(), grams(bag, "wet_g")))
        .collect();
    let bags: [(Value, f64); 2] = bags.try_into().unwrap();
    assert_eq!((&bags[0].0, &bags[1].0), (&"B-1S".into(), &"B-2Q".into()));
    assert!(bags[1].1 < 0.03 * 6200.0, "{bags:?}");
    (kitchen, lot, bags)
}

/// What `today` freezes: each bag with the bake that it is for, and in grams.
fn freezes(kitchen: &Kitchen) -> Vec<(Value, f64)> {
    let today = kitchen.json("today");
    let due = list(&today, "due").iter();
    due.filter(|due| due["task"] == "freeze")
        .map(|due| (due["bake"].clone(), grams(due, "wet_g")))
        .collect()
}

#[test]
fn a_small_portion_of_a_large_lot_has_a_bag_of_its_own() {
    let (kitchen, lot, bags) = accepted();
    assert_eq!(freezes(&kitchen), bags);
    let words = one_line(&kitchen.ok("today"));
    for (bake, wet) in &bags {
        let bake = bake.as_str().unwrap();
        has(
            &words,
            &format!("of {lot} in freezer, for {bake} (accepted"),
        );
        if *wet < 1000.0 {
            has(
                &words,
                &format!("draff move {lot} --wet {wet}g --to freezer"),
            );
        }
    }
}

#[test]
fn a_small_portion_is_still_asked_for_once_the_large_bag_is_frozen() {
    let (kitchen, lot, [large, small]) = accepted();
    kitchen.ok(&format!("move {lot} --wet {}g --to freezer", large.1));
    assert_eq!(freezes(&kitchen), std::slice::from_ref(&small));
    kitchen.ok(&format!("move {lot} --wet {}g --to freezer", small.1));
    assert!(freezes(&kitchen).is_empty());
}

/// Each bag comes out for its own bake.
#[test]
fn bags_that_are_packed_as_asked_come_out_each_for_its_bake() {
    let (kitchen, lot, bags) = accepted();
    for (_, wet) in &bags {
        kitchen.ok(&format!("move {lot} --wet {wet}g --to freezer"));
    }
    let today = kitchen.json("today --days 14");
    let due = list(&today, "due").iter();
    let thaws: Vec<(Value, f64)> = due
        .filter(|due| due["task"] == "thaw")
        .map(|due| (due["bake"].clone(), grams(due, "wet_g")))
        .collect();
    assert_eq!(thaws, bags);
}

/// What weighing leaves over is no bag.
#[test]
fn what_weighing_leaves_over_is_no_job() {
    let (kitchen, lot, [large, small]) = accepted();
    kitchen.ok(&format!(
        "move {lot} --wet {}g --to freezer",
        large.1 + 20.0
    ));
    let left = freezes(&kitchen);
    assert_eq!(left.len(), 1, "{left:?}");
    assert_eq!(left[0], (small.0, small.1 - 20.0));
    kitchen.ok(&format!(
        "move {lot} --wet {}g --to freezer",
        small.1 - 22.0
    ));
    assert!(freezes(&kitchen).is_empty(), "{:?}", freezes(&kitchen));
}
