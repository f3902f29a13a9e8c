//! How thick grain lies where a logger measures the air: what was stated of it goes on with it, and no detour
//! makes it thicker.

use crate::env::{FRIDAY, Kitchen, has, one_line};
use crate::logger::logged;
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
