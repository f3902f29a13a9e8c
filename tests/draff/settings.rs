//! `settings`: what the book is told of the house.

use crate::env::Kitchen;
use serde_json::json;

#[test]
fn what_is_told_last_holds_and_a_strike_takes_it_back() {
    let kitchen = Kitchen::new();
    let before = kitchen.json("settings");
    assert_eq!(
        before,
        json!({"night_from": "22:00", "night_until": "05:00", "altitude_m": null, "tap_c": null, "room_c": null})
    );
    kitchen.ok("settings altitude 5000ft");
    kitchen.ok("settings tap 11C");
    kitchen.ok("settings night 20:30-03:00");
    kitchen.ok("settings tap 9C");
    let told = kitchen.json("settings");
    assert_eq!(
        told,
        json!({"night_from": "20:30", "night_until": "03:00", "altitude_m": 1524.0, "tap_c": 9.0, "room_c": null})
    );
    let entry = kitchen.last_entry("setting");
    kitchen.ok(&format!(
        "strike {entry} --reason \"the tap was not let run\""
    ));
    assert_eq!(kitchen.json("settings")["tap_c"], 11.0);
    kitchen.ok("settings night none");
    assert_eq!(kitchen.json("settings")["night_from"], json!(null));
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

#[test]
fn what_is_not_understood_is_refused() {
    let kitchen = Kitchen::new();
    for words in [
        "settings tap",
        "settings tap 12",
        "settings tap 95C",
        "settings night 22",
        "settings altitude 9000m",
        "settings oven 230C",
    ] {
        kitchen.refused(2, words);
    }
}
