//! How thick grain lies where a logger measures the air: what was stated of it goes on with it, and no detour
//! makes it thicker.

use crate::env::{FRIDAY, Kitchen, has, made, one_line};
use crate::logger::{MONDAY, logged, two_fridges};
use serde_json::json;

/// A stated thickness counts from the parting on, and neither makes warm time of before longer nor shorter.
#[test]
fn how_thick_a_part_lies_says_nothing_of_the_time_before() {
    let mut kitchen = Kitchen::new();
    let rows = |from: i64, to: i64, warm: std::ops::Range<i64>, celsius: f64| {
        let mut file = String::from("time,temp C\n");
        for ten in from..to {
            let minutes = 10 * ten;
            let shown = if warm.contains(&minutes) {
                celsius
            } else {
                3.5
            };
            let (day, hour) = (20 + minutes / 1440, minutes % 1440 / 60);
            file.push_str(&format!(
                "2026-11-{day} {hour:02}:{:02},{shown}\n",
                minutes % 60
            ));
        }
        file
    };
    kitchen.ok("place add trays --kind fridge --temp 4C --layer 10cm");
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 10kg --place trays");
    kitchen.file("t.csv", rows(54, 240, 2000..2060, 6.5));
    kitchen.at("2026-11-21T18:00:00Z");
    kitchen.ok("readings trays --csv t.csv");
    let before = kitchen.on_shelf(&lot);
    let parts = kitchen.json(&format!("portion {lot} --into 2x1kg --thick 1cm"));
    let part = parts["lots"][0]["lot"].as_str().unwrap();
    let after = kitchen.on_shelf(part);
    for key in ["verdict", "keep_until", "warm_minutes"] {
        assert_eq!(after[key], before[key], "{key}: {after}");
    }
}

/// Grain that lies there already and is said to lie thinner counts as thin as is said, in every answer.
#[test]
fn a_layer_that_is_stated_later_is_told_everywhere() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21 10:00");
    let mild = |row| if row % 12 == 6 { 4.6 } else { 3.5 };
    kitchen.file("f.csv", logged(FRIDAY, 10, 145, mild));
    kitchen.ok("readings fridge --csv f.csv");
    has(&one_line(&kitchen.ok("shelf")), "states another");
    kitchen.at("2026-11-21 11:00");
    kitchen.ok("place change fridge --layer 1cm");
    let told = one_line(&kitchen.ok("shelf"));
    has(&told, "a layer of 1 cm that cools like one of 2 cm");
    assert!(!told.contains("states another"), "{told}");
    assert_eq!(kitchen.on_shelf(&lot)["layer_cm"], json!(1.0));
    assert_eq!(
        kitchen.json("readings fridge --summary")["layer_cm"],
        json!(1.0)
    );
    let summary = one_line(&kitchen.ok("readings fridge --summary"));
    has(&summary, "a layer of 1 cm that cools like one of 2 cm");
    assert!(!summary.contains("for want of a stated one"), "{summary}");
}

#[test]
fn thin_portions_are_said_to_be_judged_by_their_own_depth() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --layer 10cm --at 2026-11-01");
    let lot = kitchen.lot("5kg");
    let parts = kitchen.json(&format!("portion {lot} --into 1x1kg --thick 1cm"));
    let part = parts["lots"][0]["lot"].as_str().unwrap().to_owned();
    let door = |row: usize| if row == 20 { 9.0 } else { 3.5 };
    kitchen.file("f.csv", logged(FRIDAY, 30, 49, door));
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok("readings fridge --csv f.csv");
    has(
        &one_line(&kitchen.ok("readings fridge --summary")),
        &format!(
            "lots that lie thinner are judged by their own depth, the thinnest is {part} at 1 cm"
        ),
    );
}

/// Five minutes apart, and for an hour 6 °C: a layer of 5 mm is warm for two hours, one of 2 cm is not.
fn thin_file() -> String {
    logged(MONDAY, 5, 60, |row| {
        if (30..=42).contains(&row) { 6.0 } else { 4.0 }
    })
}

#[test]
fn joined_and_blended_grain_lies_as_thin_as_what_it_was_made_of() {
    let (mut kitchen, lot) = two_fridges("6kg");
    kitchen.at("2026-11-09T08:01:00Z");
    let bags = made(&kitchen.json(&format!("portion {lot} --into 4x1kg --thick 5mm")));
    kitchen.at("2026-11-09T08:20:00Z");
    let joined = kitchen.json(&format!("join {} {}", bags[0], bags[1]));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    kitchen.ok(&format!("treat {} --step blend --wet-out 1kg", bags[2]));
    kitchen.ok(&format!("portion {joined} --into 1x500g"));
    // Of grain that lies as its place says, some goes to some that lies thin.
    let plain = made(&kitchen.json(&format!("portion {lot} --into 2x500g")));
    let mixed = made(&kitchen.json(&format!("portion {} --into 1x500g", bags[3])));
    let mixed = kitchen.json(&format!("join {} {}", plain[0], mixed[0]));
    kitchen.file("thin.csv", thin_file());
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("readings fridge --csv thin.csv");
    for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
        if found["lot"] == lot.as_str() || found["lot"] == plain[1].as_str() {
            assert_eq!(found["verdict"], "good", "{found}");
            assert_eq!(found["layer_cm"], 2.0, "{found}");
            continue;
        }
        assert_eq!(found["verdict"], "past", "{found}");
        assert_eq!(found["keep_until"], "2026-11-09T12:24:59+00:00", "{found}");
        assert_eq!(found["layer_cm"], 0.5, "{found}");
    }
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "past");
    assert_eq!(
        kitchen.on_shelf(mixed["lot"].as_str().unwrap())["verdict"],
        "past"
    );
}

#[test]
fn a_depth_that_somebody_states_of_joined_grain_counts() {
    let (mut kitchen, lot) = two_fridges("2kg");
    kitchen.at("2026-11-09T08:01:00Z");
    let bags = made(&kitchen.json(&format!("portion {lot} --into 2x1kg --thick 5mm")));
    kitchen.at("2026-11-09T08:20:00Z");
    let joined = kitchen.json(&format!("join {} {}", bags[0], bags[1]));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-09T08:30:00Z");
    let again = made(&kitchen.json(&format!("portion {joined} --into 1x2kg --thick 2cm")));
    kitchen.file("thin.csv", thin_file());
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("readings fridge --csv thin.csv");
    let found = kitchen.on_shelf(&again[0]);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["warm_minutes"], 110, "{found}");
    assert_eq!(found["layer_cm"], 2.0, "{found}");
}

/// Nobody stated how thick the product lies: then it must not warm slower than any other grain there.
#[test]
fn a_thick_layer_does_not_go_on_through_a_treatment() {
    let (mut kitchen, lot) = two_fridges("2kg");
    kitchen.at("2026-11-09T08:01:00Z");
    let thick = made(&kitchen.json(&format!("portion {lot} --into 1x1kg --thick 6cm")));
    kitchen.at("2026-11-09T08:20:00Z");
    kitchen.ok(&format!("treat {} --step blend --wet-out 1kg", thick[0]));
    kitchen.file("thin.csv", thin_file());
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("readings fridge --csv thin.csv");
    for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
        assert_eq!(found["layer_cm"], 2.0, "{found}");
        assert!(found["warm_minutes"].as_i64() >= Some(110), "{found}");
    }
}
