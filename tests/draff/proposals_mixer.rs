//! What bakes say of mixing counts for the mixer that the formula names; what they say of the oven counts for all.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::{Value, json};

const BATCH: &str = "batch \"small loaf\" --pieces 4 --share 5% --lot";

/// The loaf with a line about its mixer.
fn mixed_in(mixer: &str) -> String {
    LOAF.replacen("pieces = 4\n", &format!("{mixer}\npieces = 4\n"), 1)
}

fn add(kitchen: &Kitchen, mixer: &str) {
    kitchen.file("version.toml", mixed_in(mixer));
    kitchen.ok("formula add version.toml");
}

/// Bakes of four pieces, one an hour from there on, of the newest version.
fn bakes(kitchen: &mut Kitchen, lot: &str, hours: std::ops::Range<u32>, came_to: &str) {
    for hour in hours {
        kitchen.at(&format!("2026-11-20T{hour:02}:00:00Z"));
        let bake = kitchen.json(&format!(
            "bake add \"small loaf\" --at 2026-11-20T{hour:02}:10:00Z mix --share 5% --lot {lot}"
        ));
        let bake = bake["bake"].as_str().unwrap().to_owned();
        kitchen.at(&format!("2026-11-20T{hour:02}:30:00Z"));
        kitchen.ok(&format!("bake done {bake} {came_to} --water-temp 20C"));
    }
}

/// Six bakes of one mixer, which loses a piece of four and warms little, then five of another; both lose 14 % in the oven.
fn two_mixers() -> (Kitchen, String) {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("settings tap 20C");
    kitchen.ok("settings room 21C");
    add(&kitchen, "mixer = \"fork\"");
    bakes(
        &mut kitchen,
        &lot,
        11..17,
        "--pieces 3 --baked 2064g --dough-temp 24C",
    );
    add(&kitchen, "mixer = \"spiral\"");
    bakes(
        &mut kitchen,
        &lot,
        17..22,
        "--pieces 4 --baked 2752g --dough-temp 27C",
    );
    kitchen.at("2026-11-20T22:30:00Z");
    (kitchen, lot)
}

fn proposal(kitchen: &Kitchen, figure: &str) -> Value {
    let answer = kitchen.json("formula propose \"small loaf\"");
    let all = answer["proposals"].as_array().unwrap();
    all.iter()
        .find(|one| one["figure"] == figure)
        .unwrap()
        .clone()
}

/// How many bakes a figure rests on and how many are left out, and that they say so much.
#[track_caller]
fn rests_on(kitchen: &Kitchen, figure: &str, (bakes, left_out): (u32, u32), value: f64) {
    let found = proposal(kitchen, figure);
    assert_eq!(
        (&found["bakes"], &found["bakes_of_other_mixers"]),
        (&json!(bakes), &json!(left_out)),
        "{figure}"
    );
    let said = found["found"].as_f64().unwrap();
    assert!((said - value).abs() < 1e-6, "{figure}: {said}, not {value}");
}

/// The rise that the water temperature of a dough is worked out with, and of how many doughs it is.
fn rise(kitchen: &Kitchen, lot: &str) -> (f64, Value) {
    let water = kitchen.json(&format!("{BATCH} {lot}"))["water_temperature"].clone();
    let kelvin = water["mixing_rise_k"].as_f64().unwrap();
    (kelvin, water["measured_doughs"].clone())
}

#[test]
fn handling_loss_counts_bakes_of_the_same_mixer_and_bake_loss_all() {
    let (kitchen, _) = two_mixers();
    rests_on(&kitchen, "bake_loss", (11, 0), 0.14);
    rests_on(&kitchen, "handling_loss", (5, 6), 0.02);
    let words = one_line(&kitchen.ok("formula propose \"small loaf\""));
    has(
        &words,
        "Mixer: spiral. Left out: 6 bakes for handling loss and 6 bakes for mixing heat, because their version of the formula \
         names another mixer or none. Bake loss counts bakes of every mixer.",
    );
    // Back on the first mixer its own bakes count. Capitals do not matter.
    add(&kitchen, "mixer = \"Fork\"");
    rests_on(&kitchen, "bake_loss", (11, 0), 0.14);
    // By hand: three pieces of four, mixed with 2 % on top.
    rests_on(
        &kitchen,
        "handling_loss",
        (6, 5),
        1.0 - 3.0 / 4.0 * (1.0 - 0.02),
    );
    let answer = kitchen.json("formula propose \"small loaf\"");
    assert_eq!(answer["mixer"], "Fork");
}

#[test]
fn mixing_heat_and_the_water_temperature_count_doughs_of_the_same_mixer() {
    let (kitchen, lot) = two_mixers();
    let (spiral, doughs) = rise(&kitchen, &lot);
    assert_eq!(doughs, 5);
    rests_on(&kitchen, "mixing_rise", (5, 6), spiral);
    add(&kitchen, "mixer = \"fork\"  # again");
    let (fork, _) = rise(&kitchen, &lot);
    rests_on(&kitchen, "mixing_rise", (6, 5), fork);
    // The same water, and doughs of 27 °C and of 24 °C.
    assert!((spiral - fork - 3.0).abs() < 0.002, "{spiral} and {fork}");
}

#[test]
fn no_mixer_named_is_a_mixer_of_its_own() {
    let (mut kitchen, lot) = two_mixers();
    add(&kitchen, "# no mixer");
    assert_eq!(rise(&kitchen, &lot), (6.0, json!(0)), "as it is stated");
    let handling = proposal(&kitchen, "handling_loss");
    assert_eq!(
        (
            &handling["bakes"],
            &handling["bakes_of_other_mixers"],
            &handling["found"]
        ),
        (&json!(0), &json!(11), &Value::Null)
    );
    let words = one_line(&kitchen.ok("formula propose \"small loaf\""));
    has(
        &words,
        "Mixer: not named. Left out: 11 bakes for handling loss and 11 bakes for mixing heat, because their version of the formula \
         names a mixer. Bake loss counts bakes of every mixer.",
    );
    let answer = kitchen.json("formula propose \"small loaf\"");
    assert_eq!(answer["mixer"], Value::Null);
    bakes(&mut kitchen, &lot, 23..24, "--pieces 4 --dough-temp 27C");
    assert_eq!(rise(&kitchen, &lot).1, 1);
    assert_eq!(proposal(&kitchen, "handling_loss")["bakes"], 1);
}

#[test]
fn a_formula_without_a_mixer_leaves_no_bake_out() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    bakes(
        &mut kitchen,
        &lot,
        11..13,
        "--pieces 4 --baked 2752g --dough-temp 24C",
    );
    let words = kitchen.ok("formula propose \"small loaf\"");
    has(&words, "\n\nMixer: not named.\n\n");
    assert_eq!(proposal(&kitchen, "handling_loss")["bakes"], 2);
}

#[test]
fn a_formula_shows_the_mixer_that_it_names() {
    let kitchen = Kitchen::new();
    add(&kitchen, "mixer = \"spiral, 60 kg\"");
    has(
        &one_line(&kitchen.ok("formula show \"small loaf\"")),
        "Mixer spiral, 60 kg",
    );
    has(
        &kitchen.ok("formula export \"small loaf\""),
        "mixer = \"spiral, 60 kg\"\n",
    );
    for (mixer, why) in [
        ("mixer = \" \"".to_owned(), "mixer is empty"),
        (
            format!("mixer = \"{}\"", "m".repeat(61)),
            "mixer has 61 characters: at most 60 are allowed",
        ),
    ] {
        kitchen.file("wrong.toml", mixed_in(&mixer));
        has(&kitchen.refused(1, "formula add wrong.toml"), why);
    }
}
