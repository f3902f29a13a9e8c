//! Grain that is on hand again after a strike is said to have gone elsewhere only where all of it did.

use crate::env::{Kitchen, SLIP, has};

#[test]
fn a_struck_join_says_nothing_of_a_treatment_or_portion_that_took_a_part_before() {
    for made in [
        "treat LOT --step press --wet-in 3kg --wet-out 2kg",
        "portion LOT --into 3x1kg",
        "move LOT --wet 3kg --to freezer",
    ] {
        let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
        kitchen.at("2026-11-09T11:00:00Z");
        kitchen.ok(&made.replace("LOT", &corrow));
        kitchen.at("2026-11-09T11:05:00Z");
        kitchen.ok(&format!("join {corrow} {alder}"));
        let entry = kitchen.last_entry("join");
        let told = kitchen.told(&format!("strike {entry} {SLIP}"));
        assert!(!told.contains("all of it had been"), "{told}");
        assert!(!told.contains("all went in"), "{told}");
        assert_eq!(kitchen.on_shelf(&corrow)["wet_g"], 3000.0);
    }
}

#[test]
fn a_struck_use_of_the_rest_says_nothing_of_what_took_a_part_before() {
    let (mut kitchen, corrow, _) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!(
        "treat {corrow} --step press --wet-in 2kg --wet-out 1.4kg"
    ));
    kitchen.at("2026-11-09T11:05:00Z");
    kitchen.ok(&format!("use {corrow} 4kg --for buns"));
    let entry = kitchen.last_entry("use");
    let told = kitchen.told(&format!("strike {entry} {SLIP}"));
    assert!(!told.contains("all of it had been"), "{told}");
}

/// The use came first, and the press took all that the book said was left: that may have held more.
#[test]
fn a_struck_use_before_all_of_the_rest_was_treated_is_told() {
    let (mut kitchen, corrow, _) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("use {corrow} 2kg --for buns"));
    let entry = kitchen.last_entry("use");
    kitchen.at("2026-11-09T11:05:00Z");
    kitchen.ok(&format!("treat {corrow} --step press --wet-out 2.8kg"));
    let pressed = kitchen.last_entry("treat");
    let told = kitchen.told(&format!("strike {entry} {SLIP}"));
    has(&told, "all of it had been treated");
    has(&told, &format!("draff correct {pressed} --wet 6kg"));
}
