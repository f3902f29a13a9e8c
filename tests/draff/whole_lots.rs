//! All of a lot that is thrown away was not weighed: a correction to another lot takes all of that one.

use crate::env::{Kitchen, has};

/// Two tubs, of 7 kg and of 11 kg.
fn tubs() -> (Kitchen, String, String) {
    let kitchen = Kitchen::new();
    let wrong = kitchen.tub("Alder", "--wet 7kg");
    let meant = kitchen.tub("Bracken", "--wet 11kg");
    (kitchen, wrong, meant)
}

fn left(kitchen: &Kitchen, lot: &str) -> f64 {
    let shelf = kitchen.json("shelf");
    let mut lots = shelf["lots"].as_array().unwrap().iter();
    let found = lots.find(|one| one["lot"] == lot);
    found.map_or(0.0, |lot| lot["wet_g"].as_f64().unwrap())
}

#[test]
fn a_discard_of_the_wrong_lot_takes_all_of_the_other() {
    let (kitchen, wrong, meant) = tubs();
    kitchen.ok(&format!("discard {wrong} --reason old"));
    let entry = kitchen.last_entry("discard");
    let told = kitchen.told(&format!(
        "correct {entry} --lot {meant} --reason \"wrong tub\""
    ));
    assert_eq!(left(&kitchen, &wrong), 7000.0);
    assert_eq!(left(&kitchen, &meant), 0.0);
    has(&told, &format!("all of `{meant}` is now: 11 kg"));
    let right = format!("correct {} --wet ", kitchen.last_entry("discard"));
    has(&told, &format!("`draff {right}MASS --reason TEXT`"));
    kitchen.ok(&format!("{right}4kg --reason \"some was left\""));
    assert_eq!(left(&kitchen, &meant), 7000.0);
    kitchen.ok("check");
}

#[test]
fn a_weight_that_was_said_stays_where_some_of_the_wrong_lot_was_left() {
    let (kitchen, wrong, meant) = tubs();
    kitchen.ok(&format!("discard {wrong} --wet 2kg --reason old"));
    let entry = kitchen.last_entry("discard");
    kitchen.ok(&format!(
        "correct {entry} --lot {meant} --reason \"wrong tub\""
    ));
    assert_eq!(left(&kitchen, &meant), 9000.0);
}

#[test]
fn a_weight_that_is_said_with_the_other_lot_counts() {
    let (kitchen, wrong, meant) = tubs();
    kitchen.ok(&format!("discard {wrong} --reason old"));
    let entry = kitchen.last_entry("discard");
    kitchen.ok(&format!(
        "correct {entry} --lot {meant} --wet 5kg --reason \"wrong tub\""
    ));
    assert_eq!(left(&kitchen, &meant), 6000.0);
}
