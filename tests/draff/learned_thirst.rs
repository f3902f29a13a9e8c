//! What bakes with recorded water teach of the thirst of grain.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::Value;

/// Grams of water for each gram of dry grain beyond what flour takes, in the doughs of this file.
const TRUE_THIRST: f64 = 0.4;

fn grams(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} in {of}"))
}

/// Points of thirst, at least, likely and at most, and on how many bakes they rest.
fn thirst(kitchen: &Kitchen, lot: &str) -> ([f64; 3], u64) {
    let sum = kitchen.json(&format!(
        "hold-back {lot} --wet 100g --flour 900g --hydration 70%"
    ));
    let dry = grams(&sum, "flour_equivalent_g");
    let points = ["thirst_low_g", "thirst_g", "thirst_high_g"].map(|key| grams(&sum, key) / dry);
    (points, sum["thirst_bakes"].as_u64().unwrap())
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, expected {expected}"
    );
}

/// A kitchen on Friday with the small loaf.
fn kitchen() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

/// A lot of this mass, tested at 77 %.
fn tested(kitchen: &Kitchen, source: &str, wet: &str) -> String {
    let lot = kitchen.lot_from(source, &format!("--wet {wet}"));
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    lot
}

/// Bakes what the sheet says, with the water that the dough takes if its grain is as wet as `moisture`; gives the sheet.
fn bake(kitchen: &mut Kitchen, hour: usize, options: &str, moisture: f64) -> Value {
    let added = kitchen.json(&format!(
        "bake add \"small loaf\" --at \"today {hour}:00\" mix --pieces 8 {options}"
    ));
    let code = added["bake"].as_str().unwrap().to_owned();
    let sheet = kitchen.json(&format!("sheet {code} --thirst none"));
    let sum = &sheet["hold_back"];
    let elsewhere =
        grams(sum, "total_water_g") - grams(sum, "add_water_g") - grams(sum, "carried_water_g");
    let lots = sheet["draws"].as_array().unwrap();
    let wet: f64 = lots.iter().map(|lot| grams(lot, "wet_g")).sum();
    let dry = wet * (1.0 - moisture);
    let water = (grams(sum, "flour_g") + dry) * grams(sum, "hydration") - (wet - dry) - elsewhere
        + TRUE_THIRST * dry;
    let used: String = lots
        .iter()
        .map(|lot| {
            format!(
                " --used {}={}g",
                lot["lot"].as_str().unwrap(),
                grams(lot, "wet_g")
            )
        })
        .collect();
    kitchen.at(&format!("2026-11-20T{hour}:30:00Z"));
    kitchen.ok(&format!("bake done {code}{used} --water {water:.0}g"));
    sheet
}

/// Where a lot is short its sheet says more flour: the dough is that of a smaller share, and teaches the same.
#[test]
fn a_dough_of_a_short_lot_teaches_what_the_same_dough_of_a_smaller_share_does() {
    let (mut short, mut small) = (kitchen(), kitchen());
    let (large, other) = (
        tested(&short, "Alder Lane", "60kg"),
        tested(&small, "Alder Lane", "60kg"),
    );
    let mut hour = 11;
    for wet in ["900g", "1000g", "1200g", "1300g"] {
        bake(&mut short, hour, &format!("--lot {large}"), 0.77);
        bake(&mut small, hour, &format!("--lot {other}"), 0.77);
        hour += 1;
        let lot = tested(&short, "Alder Lane", wet);
        let sheet = bake(&mut short, hour, &format!("--lot {lot}"), 0.77);
        let share = grams(&sheet["hold_back"], "grain_share");
        assert!((0.05..0.09).contains(&share), "{share}");
        let options = format!("--lot {other} --share {:.3}%", share * 100.0);
        bake(&mut small, hour, &options, 0.77);
        hour += 1;
    }
    let ((found, bakes), (expected, _)) = (thirst(&short, &large), thirst(&small, &other));
    assert_eq!(bakes, 8);
    for (found, expected) in found.into_iter().zip(expected) {
        near(found, expected, 0.01);
    }
    let [low, likely, high] = found;
    near(likely, TRUE_THIRST, 0.02);
    assert!(low < TRUE_THIRST && TRUE_THIRST < high, "{found:?}");
    assert!(low > 0.11 && high < 1.0, "they narrow it: {found:?}");
}

/// The sheet counted the grain as wetter than it was found later: its flour was weighed by that.
#[test]
fn a_sample_that_was_weighed_after_the_bake_changes_no_flour_of_its_sheet() {
    let mut kitchen = kitchen();
    let mut untested = Vec::new();
    let mut hour = 11;
    for wet in ["900g", "1000g", "1200g", "1300g"] {
        let large = kitchen.lot_from("Alder Lane", "--wet 3kg");
        bake(
            &mut kitchen,
            hour,
            &format!("--share 8% --lot {large}"),
            0.77,
        );
        hour += 1;
        let lot = kitchen.lot_from("Alder Lane", &format!("--wet {wet}"));
        bake(&mut kitchen, hour, &format!("--share 8% --lot {lot}"), 0.77);
        hour += 1;
        untested.extend([large, lot]);
    }
    kitchen.at("2026-11-20T21:00:00Z");
    for lot in &untested {
        kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    }
    let ([low, likely, high], bakes) = thirst(&kitchen, &untested[0]);
    assert_eq!(bakes, 8);
    near(likely, TRUE_THIRST, 0.02);
    assert!(low < TRUE_THIRST && TRUE_THIRST < high, "{low} to {high}");
}

/// How much the grain of a brewery differs from that of another no source says.
#[test]
fn doughs_teach_of_the_grain_of_their_own_brewery() {
    let mut kitchen = kitchen();
    let alder = tested(&kitchen, "Alder Lane", "20kg");
    let corrow = tested(&kitchen, "Corrow Weir", "20kg");
    let published = thirst(&kitchen, &corrow);
    for (hour, share) in (11..).zip(["5", "10", "7"]) {
        let options = format!("--share {share}% --lot {alder}");
        bake(&mut kitchen, hour, &options, 0.77);
    }
    assert_eq!(thirst(&kitchen, &alder).1, 3);
    assert_eq!(thirst(&kitchen, &corrow), published);
    assert_eq!(published.1, 0);
}

#[test]
fn the_sheet_tells_the_range_of_thirst_and_on_how_many_bakes_it_rests() {
    let mut kitchen = kitchen();
    let alder = tested(&kitchen, "Alder Lane", "20kg");
    let open = kitchen.json(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 11:00\" mix --pieces 8 --lot {alder}"
    ));
    let open = open["bake"].as_str().unwrap().to_owned();
    let sheet = |kitchen: &Kitchen| one_line(&kitchen.ok(&format!("sheet {open}")));
    has(&sheet(&kitchen), " g for it to drink (published: 38 g to ");
    has(&sheet(&kitchen), " g more than flour)");
    for (hour, share) in (11..).zip(["5", "10", "7"]) {
        let options = format!("--share {share}% --lot {alder}");
        bake(&mut kitchen, hour, &options, 0.77);
    }
    has(&sheet(&kitchen), " g for it to drink (in 3 bakes: 38 g to ");
    has(&sheet(&kitchen), " g more than flour)");
}

/// What the sheet said then rests on what bakes taught then, one of which was of a short lot.
#[test]
fn a_bake_that_is_written_down_after_its_grain_was_tested_keeps_what_its_sheet_said() {
    let mut kitchen = kitchen();
    let large = kitchen.lot_from("Alder Lane", "--wet 5kg");
    let small = kitchen.lot_from("Alder Lane", "--wet 900g");
    for (hour, lot) in [(11, &large), (12, &small)] {
        let options = format!("--share 8% --lot {lot}");
        bake(&mut kitchen, hour, &options, 0.77);
    }
    let added = kitchen.json(&format!(
        "bake add \"small loaf\" --at \"today 20:00\" mix --pieces 8 --share 8% --lot {large}"
    ));
    let code = added["bake"].as_str().unwrap();
    let sheet = kitchen.json(&format!("sheet {code}"));
    kitchen.at("2026-11-20T21:00:00Z");
    for lot in [&large, &small] {
        kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    }
    let done = kitchen.json(&format!(
        "bake done {code} --used {large}=1400g --water 500g"
    ));
    for (said, key) in [
        ("said_pour_g", "pour_first_g"),
        ("said_hold_back_g", "keep_back_g"),
    ] {
        near(
            grams(&done["result"], said),
            grams(&sheet["hold_back"], key),
            0.51,
        );
    }
    assert_eq!(thirst(&kitchen, &large).1, 3);
}
