//! Grain that a bake was to be free of, and that is in the bread: it is booked and marked, and each act tells the marks that it sets or takes
//! off.

use crate::env::{Kitchen, LOAF, has, one_line};

const ADD: &str = "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4";

/// A bake free of barley and one of anything, a lot of rice and one of barley, just after the mixing.
fn kitchen() -> (Kitchen, String, String) {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let rice = kitchen.lot_from("Alder Lane", "--wet 6kg --grist \"rice 100%\"");
    let barley = kitchen.lot_from("Tarn Fell", "--wet 6kg --grist \"pale barley malt 100%\"");
    kitchen.ok(&format!("{ADD} --free-of barley"));
    kitchen.ok(ADD);
    kitchen.at("2026-11-20T12:10:00Z");
    (kitchen, rice, barley)
}

#[track_caller]
fn is_marked(kitchen: &Kitchen, is_so: bool) {
    let shown = one_line(&kitchen.ok("bake show B-1S"));
    assert_eq!(shown.contains("HOLDS BARLEY"), is_so, "{shown}");
}

const HOLDS: &str = "B-1S was to be free of barley, and lot `";
const GONE: &str = "B-1S is not marked HOLDS BARLEY any more for lot `";

#[test]
fn what_is_said_to_be_in_a_done_bake_is_booked_and_marked() {
    let (kitchen, _, barley) = kitchen();
    let told = one_line(&kitchen.told(&format!("bake done B-1S --used {barley}=500g")));
    has(&told, &format!("{HOLDS}{barley}` in it holds it"));
    is_marked(&kitchen, true);
    has(&kitchen.ok(&format!("trace {barley}")), "B-1S");
}

/// Its own named lot turned out to hold it, and it was made of another.
#[test]
fn a_named_lot_that_holds_it_does_not_hinder_to_say_what_went_in() {
    let (kitchen, rice, barley) = kitchen();
    kitchen.ok(&format!("{ADD} --free-of barley --lot {rice}"));
    let pickup = kitchen.json(&format!("log {rice}"))["entries"][0]["entry"].clone();
    kitchen.ok(&format!(
        "correct {pickup} --grist \"barley malt 100%\" --reason sack"
    ));
    kitchen.refused(1, "sheet B-3O");
    has(&kitchen.refused(1, "bake done B-3O"), "--used LOT=MASS");
    let told = one_line(&kitchen.told(&format!("bake done B-3O --used {barley}=500g")));
    has(&told, &format!("lot `{barley}` in it holds it"));
}

#[test]
fn grain_of_the_wrong_bake_is_moved_to_the_one_that_was_to_be_free_of_it() {
    let (kitchen, rice, barley) = kitchen();
    kitchen.ok(&format!("bake done B-2Q --used {rice}=500g"));
    let done = kitchen.last_entry("baked");
    let told = one_line(&kitchen.told(&format!(
        "correct {done} --bake B-1S --used {barley}=500g --reason \"other bake\""
    )));
    assert_eq!(told.matches(HOLDS).count(), 1, "{told}");
    is_marked(&kitchen, true);
}

#[test]
fn a_mark_comes_and_goes_with_a_corrected_lot_and_its_strike() {
    let (kitchen, rice, barley) = kitchen();
    kitchen.ok(&format!("bake done B-1S --used {rice}=500g"));
    let used = kitchen.last_entry("use");
    let told = one_line(&kitchen.told(&format!("correct {used} --lot {barley} --reason slip")));
    has(&told, &format!("{HOLDS}{barley}` in it holds it"));
    let correction = kitchen.last_entry("use");
    let told = one_line(&kitchen.told(&format!("strike {correction} --reason slip")));
    has(&told, &format!("{GONE}{barley}`, by this entry"));
    is_marked(&kitchen, false);
    let strike = kitchen.last_entry("strike");
    let told = one_line(&kitchen.told(&format!("strike {strike} --reason slip")));
    has(&told, &format!("{HOLDS}{barley}` in it holds it"));
    is_marked(&kitchen, true);
}

#[test]
fn a_mark_goes_with_a_corrected_grist_and_with_a_struck_bake() {
    let (kitchen, _, barley) = kitchen();
    kitchen.ok(&format!("bake done B-1S --used {barley}=500g"));
    let done = kitchen.last_entry("baked");
    let pickup = kitchen.last_entry("pickup");
    let told = one_line(&kitchen.told(&format!(
        "correct {pickup} --grist \"rice 100%\" --reason sack"
    )));
    has(&told, &format!("{GONE}{barley}`, by this entry"));
    let correction = kitchen.last_entry("pickup");
    let told = one_line(&kitchen.told(&format!("strike {correction} --reason sack")));
    has(&told, &format!("{HOLDS}{barley}` in it holds it"));
    let told = one_line(&kitchen.told(&format!("strike {done} --reason \"not baked\"")));
    has(&told, &format!("{GONE}{barley}`, by this entry"));
    let strike = kitchen.last_entry("strike");
    let told = one_line(&kitchen.told(&format!("strike {strike} --reason \"it was\"")));
    has(&told, &format!("{HOLDS}{barley}` in it holds it"));
}

#[test]
fn a_mark_goes_with_what_a_bake_came_to() {
    let (kitchen, _, barley) = kitchen();
    kitchen.ok(&format!("bake done B-1S --used {barley}=500g"));
    let done = kitchen.last_entry("baked");
    let told = one_line(&kitchen.told(&format!("correct {done} --bake B-2Q --reason slip")));
    has(&told, &format!("{GONE}{barley}`, by this entry"));
}
