//! What the program said and was not so: a caution that a rejected word hid, a clock that did not run, a remedy that did
//! not fit.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

/// The codes of the cautions beside an answer.
fn cautions(answer: &serde_json::Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().expect("cautions");
    let codes = cautions.iter().map(|caution| caution["code"].as_str());
    codes.map(|code| code.expect("a code")).collect()
}

/// No tub cools in 20 minutes (judgement), and grain an hour after its mash scalds.
#[test]
fn a_word_that_does_not_count_hides_no_caution() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    for (source, times) in [
        ("Alder Lane", "--mash-out 07:30 --cooled 07:50"),
        ("Birch Yard", "--mash-out 05:00 --cooled 05:20"),
    ] {
        let lot = kitchen.json(&format!(
            "pickup --source \"{source}\" --brewed today {times} --wet 5kg"
        ));
        assert!(cautions(&lot).contains(&"hot-grain"), "{lot}");
        let ticket = kitchen.ok(&format!("ticket {}", lot["lot"].as_str().unwrap()));
        has(&ticket, "Hot grain scalds");
    }
    has(&kitchen.ok("shelf"), "Hot grain scalds");
    let counts = kitchen.json(
        "pickup --source \"Tarn Fell\" --brewed today --mash-out 05:00 --cooled 08:00 --wet 5kg",
    );
    assert!(!cautions(&counts).contains(&"hot-grain"), "{counts}");
}

/// Grain that had cooled and came in warm: its warm time counts from the cooling, and no more from mash-out.
#[test]
fn only_the_time_to_cool_is_said_to_count_from_mash_out() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    let pickup = |source: &str, times: &str| {
        kitchen.run(&format!(
            "pickup --source \"{source}\" --brewed today {times} --temp 30C --wet 5kg"
        ))
    };
    let cooled = pickup("Alder Lane", "--mash-out 00:30 --cooled 05:00");
    has(&one_line(&cooled.out), "3 h 30 min warm so far");
    let told = cooled.told();
    assert!(!told.contains("from mash-out"), "{told}");
    // Neither no word nor one that the thermometer contradicts shows that it cooled.
    for (source, times) in [
        ("Birch Yard", "--mash-out 06:45"),
        ("Tarn Fell", "--mash-out 06:40 --cooled 08:00"),
    ] {
        let told = pickup(source, times).told();
        has(
            &told,
            "30 °C is below 60 °C: the time to cool counts from mash-out",
        );
        assert!(!told.contains("warm time"), "{told}");
    }
}

/// 15 °F is -9.4 °C: (15 - 32) / 1.8. Wet grain outside of a freezer is not below -2 °C.
#[test]
fn a_file_far_below_freezing_is_refused_for_a_place_that_is_no_freezer() {
    let rows =
        "time,temp,dew\n2026-11-20 10:00,15,-3\n2026-11-20 11:00,15,-3\n2026-11-20 12:00,15,-3\n";
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.file("u.csv", rows);
    for place in ["fridge", "counter"] {
        let said = kitchen.refused(1, &format!("readings {place} --csv u.csv --unit F"));
        has(
            &said,
            &format!(
                "more than half of these readings are -9.4 °C or colder, and {place} is no freezer"
            ),
        );
        has(&said, "if its figures are in °C: --unit C");
        has(
            &said,
            &format!("draff place change {place} --kind freezer --at WHEN"),
        );
    }
    let said = kitchen.refused(1, "readings fridge --csv u.csv --unit C --temp-column dew");
    has(&said, "--temp-column NAME");
    assert!(!said.contains("--unit"), "{said}");
    kitchen.ok("readings freezer --csv u.csv --unit F");
    kitchen.ok("readings fridge --csv u.csv --unit C");
    kitchen.at("2026-11-20T18:00:00Z");
    assert_ne!(kitchen.on_shelf(&lot)["verdict"], "good", "15 °C was warm");
    // One cold reading of three is no mistake.
    kitchen.file(
        "opened.csv",
        "time,temp C\n2026-11-20 13:00,-3\n2026-11-20 13:30,3\n2026-11-20 14:00,3\n",
    );
    kitchen.ok("readings fridge --csv opened.csv");

    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --kind freezer --at 2026-11-01");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.file("u.csv", rows);
    kitchen.ok("readings fridge --csv u.csv --unit F");
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

#[test]
fn rows_that_are_left_out_may_lie_after_now() {
    let mut kitchen = Kitchen::new();
    kitchen.file(
        "day.csv",
        "time,temp C\n2026-11-20 10:00,4\n2026-11-20 11:00,4\n2026-11-20 12:30,4\n2026-11-20 15:15,\n",
    );
    kitchen.at("2026-11-20T12:00:00Z");
    has(
        &kitchen.refused(1, "readings fridge --csv day.csv"),
        "lies after now",
    );
    has(
        &kitchen.refused(
            1,
            "readings fridge --csv day.csv --from \"2026-11-20 10:30\"",
        ),
        "lies after now",
    );
    let read = kitchen.json("readings fridge --csv day.csv --to \"2026-11-20 11:30\"");
    assert_eq!(
        (&read["added"], &read["rows_outside"]),
        (&json!(2), &json!(1))
    );
}

/// Of two tubs or two times nobody knows which one counts, and `trace` searched all days.
#[test]
fn an_option_of_two_words_is_given_once() {
    let mut kitchen = Kitchen::new();
    kitchen.lot("5kg");
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let point = "--at \"2026-11-23 06:00\" mix";
    let days = "--between 2026-11-20 2026-11-20";
    kitchen.at("2026-11-20T12:00:00Z");
    let bake = format!("bake add \"small loaf\" {point} --pieces 4");
    kitchen.ok(&bake);
    kitchen.ok(&format!("trace {days}"));
    for words in [
        "cool --depth 8cm --from 62C --fridge 3C --tub round 30cm --tub tray --under rack"
            .to_owned(),
        format!("trace {days} {days}"),
        format!("{bake} {point}"),
    ] {
        let said = kitchen.refused(2, &words);
        has(&said, "cannot be used multiple times");
    }
}
