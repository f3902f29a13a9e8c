//! `settings`: what the book is told of the house.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};

#[test]
fn what_is_told_last_holds_and_a_strike_takes_it_back() {
    let kitchen = Kitchen::new();
    let of_the_house = |told: &Value| {
        ["night_from", "night_until", "altitude_m", "tap_c", "room_c"].map(|key| told[key].clone())
    };
    assert_eq!(
        of_the_house(&kitchen.json("settings")),
        [
            json!("22:00"),
            json!("05:00"),
            json!(null),
            json!(null),
            json!(null)
        ]
    );
    kitchen.ok("settings altitude 5000ft");
    kitchen.ok("settings tap 11C");
    kitchen.ok("settings night 20:30-03:00");
    kitchen.ok("settings tap 9C");
    assert_eq!(
        of_the_house(&kitchen.json("settings")),
        [
            json!("20:30"),
            json!("03:00"),
            json!(1524.0),
            json!(9.0),
            json!(null)
        ]
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
fn how_the_house_works_is_told_for_plans() {
    let kitchen = Kitchen::new();
    for words in [
        "settings evening 20:15",
        "settings days-off \"sun 2026-12-25\"",
        "settings scale 5g",
        "settings portion 2oz",
        "settings thaw 1d",
        "settings dryer 3kg",
        "settings drying-time 4h",
        "settings drying-temp 140F",
        "settings dried-to 7%",
        "settings freezing-cost 0.04",
        "settings drying-cost 0.5",
        "settings grain-worth 1.2",
        "settings unused 40%",
        "settings flour-price 1.1",
        "settings thirst published",
    ] {
        kitchen.ok(words);
    }
    let told = kitchen.json("settings");
    for (key, value) in [
        ("evening", json!("20:15")),
        ("days_off", json!(["Sun", "2026-12-25"])),
        ("scale_g", json!(5.0)),
        // 2 oz avoirdupois, to the milligram.
        ("portion_g", json!(56.699)),
        ("thaw_minutes", json!(1440)),
        ("freezer", json!(true)),
        ("dryer_water_g", json!(3000.0)),
        ("drying_minutes", json!(240)),
        ("drying_c", json!(60.0)),
        ("dried_to_wet_basis", json!(0.07)),
        ("freezing_cost_per_kg", json!(0.04)),
        ("drying_cost_per_kg", json!(0.5)),
        ("grain_worth_per_kg", json!(1.2)),
        ("unused_counts", json!(0.4)),
        ("flour_price_per_kg", json!(1.1)),
        ("thirst_is_learned", json!(false)),
    ] {
        assert_eq!(told[key], value, "{key}");
    }
    kitchen.ok("settings freezer none");
    kitchen.ok("settings dryer none");
    let told = kitchen.json("settings");
    assert_eq!(
        (&told["freezer"], &told["dryer_water_g"]),
        (&json!(false), &json!(null))
    );
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
        "settings freezer 20kg",
        "settings days-off someday",
        "settings freezing-cost \"0.05 EUR\"",
    ] {
        kitchen.refused(2, words);
    }
}

/// Yeast of 3.6 g and the sponge it went into are no whole grams.
#[test]
fn the_scale_says_what_is_given_finer_than_its_steps() {
    let said = one_line(&Kitchen::new().ok("settings"));
    has(
        &said,
        "give whole steps; light ingredients, and a stage that holds them, to a tenth of a gram where the scale is coarser",
    );
}
