//! A dough of lots that are not equally cold: thawed and dried grain, or grain of two fridges. Each lot counts with the
//! temperature that its place is stated to hold, and nobody is asked for one figure of both.

use crate::cold_doughs::COLD_LOAF;
use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;

/// A kitchen with a tub so heavy in the fridge, which holds 4 °C, and dried grain in the dry store, which holds 20 °C.
fn wet_and_dried(loaf: &str, wet: &str, settings: [&str; 2]) -> (Kitchen, [String; 2]) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", loaf);
    kitchen.ok("formula add loaf.toml");
    for setting in settings {
        kitchen.ok(&format!("settings {setting}"));
    }
    let tub = kitchen.lot(wet);
    kitchen.ok(&format!("moisture {tub} --lab 77% --lab-sd 0.5%"));
    let dried = kitchen.lot_from("Corrow Weir", "--form dried --wet 1kg");
    kitchen.ok(&format!("moisture {dried} --lab 8% --lab-sd 0.5%"));
    kitchen.ok(&format!("probe {dried} --aw 0.4"));
    (kitchen, [tub, dried])
}

/// The same with a bake of Sunday noon that takes all of the tub, and what is missing of the dried grain.
fn of_both() -> (Kitchen, String) {
    let (kitchen, [tub, dried]) = wet_and_dried(LOAF, "1kg", ["tap 10C", "room 21C"]);
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 12 --lot {tub} --lot {dried}"
    ));
    (kitchen, tub)
}

fn water(sheet: &Value) -> f64 {
    grams(&sheet["water_temperature"], "water_c")
}

/// By hand, with the grain at 4 °C or at 20 °C: 1 kg of wet grain takes 3.64 kJ/K, 376 g of dried grain 0.376 × 2.0 = 0.75 kJ/K.
/// So of what 16 K of all the grain change in the water, the dried grain has 0.75 ÷ 4.39 = 17 %.
#[test]
fn a_sheet_counts_wet_grain_as_cold_as_its_fridge_and_dried_grain_as_warm_as_its_store() {
    let (kitchen, _) = of_both();
    let all_at =
        |celsius: &str| water(&kitchen.json(&format!("sheet B-1S --grain-temp {celsius}")));
    let [cold, warm] = [all_at("4C"), all_at("20C")];
    let each = water(&kitchen.json("sheet B-1S"));
    let by_hand = cold - 0.17 * (cold - warm);
    assert!((each - by_hand).abs() < 0.2, "{each}, not {by_hand}");
}

/// A sheet that is printed the evening before says the same: by then the block lies in the fridge.
#[test]
fn grain_that_comes_out_of_the_freezer_for_a_bake_counts_as_cold_as_the_fridge() {
    let (kitchen, tub) = of_both();
    let in_fridge = water(&kitchen.json("sheet B-1S"));
    kitchen.ok(&format!("move {tub} --to freezer"));
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(&sheet, &format!("THAW: take {tub} out of the freezer by"));
    assert_eq!(water(&kitchen.json("sheet B-1S")), in_fridge);
    // Who says that it goes in straight from the freezer is believed.
    let frozen = kitchen.json("sheet B-1S --frozen");
    assert!(
        frozen["water_temperature"]["refused"].is_string(),
        "{frozen}"
    );
}

#[test]
fn a_done_bake_of_two_fridges_says_by_how_much_mixing_warmed_it() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    for words in [
        "formula add loaf.toml",
        "place add walk-in --kind fridge --temp 3C",
        "settings tap 10C",
        "settings room 21C",
    ] {
        kitchen.ok(words);
    }
    let first = kitchen.lot("600g");
    let second = kitchen.lot_from("Corrow Weir", "--wet 6kg --place walk-in");
    for lot in [&first, &second] {
        kitchen.ok(&format!("moisture {lot} --lab 77%"));
    }
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 12 --share 5% --lot {first} --lot {second}"
    ));
    let all_at =
        |celsius: &str| water(&kitchen.json(&format!("sheet B-1S --grain-temp {celsius}")));
    let each = water(&kitchen.json("sheet B-1S"));
    assert!((all_at("4C")..all_at("3C")).contains(&each), "{each}");
    kitchen.at("2026-11-20T14:00:00Z");
    has(
        &kitchen.told("bake done B-1S --dough-temp 26C"),
        "mixing warmed the dough by",
    );
}

#[test]
fn a_plan_names_a_cold_dough_of_wet_and_dried_grain() {
    let (kitchen, [tub, dried]) = wet_and_dried(COLD_LOAF, "800g", ["tap 8C", "room 13C"]);
    kitchen.ok(&format!(
        "bake add \"cold loaf\" --pieces 4 --at \"2026-11-22 06:00\" mix --lot {tub} --lot {dried}"
    ));
    let plan = kitchen.json("plan");
    let draws = list(&list(&plan, "bakes")[0], "draws");
    assert_eq!(draws.len(), 2, "{plan}");
    let cold: Vec<&str> = list(&plan, "cold_doughs")
        .iter()
        .map(|one| text(one, "bake"))
        .collect();
    assert_eq!(cold, ["B-1S"], "{plan}");
    kitchen.ok("plan --accept");
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        "43 °C WATER TEMPERATURE: pour at that, the most we count on for yeast (our judgement).",
    );
}
