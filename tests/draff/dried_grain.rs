//! Dried grain: what its weights, samples and water activity show of it, and since when.

use crate::env::{Kitchen, has, one_line};

/// Of 10 kg that come out at 9.9 kg no sample has the water activity of dry grain, and of a drying whose weights leave
/// 42 % none is at 5 %, by whatever way it is typed.
#[test]
fn weights_of_a_drying_bind_every_measurement_after_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("20kg");
    kitchen.ok(&format!("moisture {lot} --weighing 10g,110g,32g"));
    kitchen.at("2026-11-20T12:00:00Z");
    let dry = |wet_in: &str, wet_out: &str| {
        let made = kitchen.json(&format!(
            "treat {lot} --step dry --wet-in {wet_in} --wet-out {wet_out} --minutes 60 --temp 90C"
        ));
        made["lot"].as_str().unwrap().to_owned()
    };
    let (wet, damp) = (dry("10kg", "9.9kg"), dry("10kg", "4kg"));
    kitchen.at("2026-11-20T12:30:00Z");
    for (lot, activity) in [(&wet, "0.5"), (&damp, "0.4")] {
        let said = kitchen.refused(1, &format!("probe {lot} --aw {activity}"));
        has(&said, "is that of dry grain, and the weights of the drying");
    }
    kitchen.ok(&format!("probe {damp} --aw 0.93"));
    kitchen.refused(1, &format!("moisture {damp} 10 30 29 g"));
    kitchen.ok(&format!("moisture {damp} --weighing 10g,30g"));
    kitchen.at("2026-11-20T13:00:00Z");
    // Of an opened sample one weight says at least; a second that agrees says 5 %.
    kitchen.refused(1, &format!("moisture {damp} 10 30 29 29 g"));
    kitchen.ok(&format!("moisture {damp} 10 30 21 21 g"));
    let test = kitchen.last_entry("moisture");
    kitchen.refused(
        1,
        &format!("correct {test} --weighing 10g,30g,29g --reason typo"),
    );
    kitchen.refused(1, &format!("moisture {damp} 10 30 29 g --new-dish"));
}

#[test]
fn grain_is_soaked_in_the_minute_in_which_it_was_shown_dry() {
    let kitchen = Kitchen::on_monday();
    let dried = kitchen.tub("Corrow Weir", "--form dried --wet 1kg");
    kitchen.ok(&format!("probe {dried} --aw 0.5"));
    let soak = || {
        let done = kitchen.json(&format!(
            "treat {dried} --step soak --wet-in 200g --wet-out 700g --water-added 500g --place fridge"
        ));
        done["lot"].as_str().unwrap().to_owned()
    };
    assert_eq!(kitchen.on_shelf(&soak())["verdict"], "good");
}

/// 10 kg at 78 % are 2391 g at 8 %: 2.2 kg dry.
#[test]
fn grain_that_was_dried_as_planned_holds_what_went_in() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let dry = |kitchen: &Kitchen, lot: &str| kitchen.on_shelf(lot)["dry_g"].as_f64().unwrap();
    let before = dry(&kitchen, &lot);
    kitchen.at("2026-11-20T12:00:00Z");
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 10kg --wet-out 2391g --minutes 60 --temp 65C"
    ));
    let after = dry(&kitchen, made["lot"].as_str().unwrap());
    assert!((after - before).abs() < 1.0, "{before} g and {after} g");
}

#[test]
fn grain_that_is_found_not_dry_stays_unknown() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T12:00:00Z");
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-out 2391g --minutes 60 --temp 65C"
    ));
    let dried = made["lot"].as_str().unwrap();
    assert_eq!(kitchen.on_shelf(dried)["verdict"], "unknown");
    kitchen.at("2026-11-20T12:10:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {dried} --aw 0.85")));
    has(&said, "water activity below 0.85, and it is 0.85");
    assert_eq!(kitchen.on_shelf(dried)["verdict"], "unknown");
    kitchen.refused(1, &format!("use {dried} 200g --for buns"));
    kitchen.at("2026-11-21T12:10:00Z");
    assert_eq!(kitchen.on_shelf(dried)["verdict"], "past");
}

/// From its drying on nobody knew that it was dry.
#[test]
fn grain_shown_dry_only_after_it_was_past_was_never_good_till_then() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 02:00 --cooled 04:00 --wet 5kg");
    kitchen.at("2026-11-22T10:00:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step dry --wet-out 1.1kg --minutes 60 --temp 70C"
    ));
    let dried = kitchen.json("shelf")["lots"][0]["lot"].clone();
    let dried = dried.as_str().expect("a code");
    kitchen.at("2026-11-22T17:00:00Z");
    has(&kitchen.ok("shelf"), "was unknown");
    kitchen.at("2026-11-23T10:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {dried} --aw 0.5")));
    has(&said, "past, was unknown before");
    has(&said, "it was shown dry only after its time was over");
    has(&kitchen.ok("shelf"), "was unknown");
}

/// Grain that was dried at noon and is past by three, with a sample in the oven since ten past twelve.
fn dried_with_a_sample_in_the_oven() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T12:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 5kg --wet-out 1.2kg --minutes 60 --temp 65C --place dry-store"
    ));
    let dried = dried["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-20T12:10:00Z");
    kitchen.ok(&format!("moisture {dried} 0 50 48 47 g"));
    (kitchen, dried)
}

/// Nobody said that it was weighed earlier: its moment is that of the weighing, and the grain stays past.
#[test]
fn the_dried_weight_of_a_sample_of_past_grain_is_booked_as_of_now() {
    let (mut kitchen, dried) = dried_with_a_sample_in_the_oven();
    kitchen.at("2026-11-20T15:20:00Z");
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
    let late = format!("moisture {dried} 0 50 46.9 46.9 g");
    kitchen.refused(1, &format!("{late} --at \"2026-11-20 12:10\""));
    let said = one_line(&kitchen.ok(&late));
    has(&said, "Fri 20 Nov 15:20, oven, 1 sample");
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
    // In time it is of the moment at which the sample was taken.
    let (mut kitchen, dried) = dried_with_a_sample_in_the_oven();
    kitchen.at("2026-11-20T14:00:00Z");
    let said = one_line(&kitchen.ok(&format!("moisture {dried} 0 50 46.9 46.9 g")));
    has(&said, "Fri 20 Nov 12:10, oven, 1 sample");
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "use-first");
}

/// The sample is of the lot that it was taken of, whichever part of it is named.
#[test]
fn a_sample_that_is_finished_through_a_part_makes_no_past_lot_usable() {
    let (mut kitchen, dried) = dried_with_a_sample_in_the_oven();
    kitchen.at("2026-11-20T12:30:00Z");
    let parts = kitchen.json(&format!("portion {dried} --into 1x400g"));
    let part = parts["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!("probe {part} --aw 0.4"));
    kitchen.at("2026-11-20T15:20:00Z");
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
    let late = format!("moisture {part} 0 50 46.9 46.9 g");
    let said = kitchen.refused(1, &format!("{late} --at \"2026-11-20 12:10\""));
    has(&said, &format!("lot `{dried}` is past"));
    kitchen.ok(&late);
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "good");
}
