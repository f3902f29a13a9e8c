//! What a done bake holds of its sheet is what the sheet said: the water temperature of a dough that comes out too cold, and
//! the water for the sheet's own lots, whatever was used.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::Value;

/// A kitchen with a cold tap and a cold room, and 10 kg of tested grain; gives the lot.
fn cold_kitchen() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings tap 10C");
    kitchen.ok("settings room 14C");
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --lot {lot}"
    ));
    (kitchen, lot)
}

fn rise(kitchen: &Kitchen) -> Value {
    kitchen.json("bake show B-1S")["result"]["mixing_rise_k"].clone()
}

#[test]
fn a_dough_that_is_too_cold_with_the_hottest_water_teaches_with_that_water() {
    let (mut kitchen, lot) = cold_kitchen();
    let sheet = kitchen.json("sheet B-1S");
    let water = &sheet["water_temperature"];
    assert!(water["water_c"].is_null(), "{sheet}");
    has(&kitchen.ok("sheet B-1S"), "43 °C  WATER TEMPERATURE");
    kitchen.at("2026-11-20 15:00");
    let done = "bake done B-1S --dough-temp 20C";
    has(&kitchen.told(done), "mixing warmed the dough");
    let as_said = rise(&kitchen);
    assert!(as_said.is_number(), "{as_said}");
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason again"));
    kitchen.ok(&format!("{done} --water-temp 43C --used {lot}=1252g"));
    assert_eq!(rise(&kitchen), as_said);
}

#[test]
fn a_sheet_keeps_what_it_said_when_other_grain_was_used() {
    let (mut kitchen, _) = cold_kitchen();
    let other = kitchen.lot_from("Corrow Weir", "--wet 5kg");
    kitchen.ok(&format!("moisture {other} --lab 70% --lab-sd 0.5%"));
    let sheet = kitchen.json("sheet B-1S")["hold_back"].clone();
    kitchen.at("2026-11-20 15:00");
    let done = kitchen.json(&format!("bake done B-1S --used {other}=1kg --water 500g"));
    let result = &done["result"];
    for (said, key) in [
        ("said_pour_g", "pour_first_g"),
        ("said_hold_back_g", "keep_back_g"),
    ] {
        let (said, key) = (result[said].as_f64(), sheet[key].as_f64());
        assert!((said.unwrap() - key.unwrap()).abs() < 0.51, "{done}");
    }
    assert_eq!(result["draws"][0]["lot"], Value::from(other));
    // Its water was for the other grain.
    has(
        &one_line(&kitchen.ok("report")),
        "whose sheet was for other grain",
    );
    has(&kitchen.ok("check"), "The book is whole");
}
