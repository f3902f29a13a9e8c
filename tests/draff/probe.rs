//! `probe`: what was measured, told or found.

use crate::env::Kitchen;
use serde_json::json;

#[test]
fn a_cold_reading_in_time_shows_that_the_grain_was_cooled() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:00 --temp 40C --wet 5kg");
    kitchen.at("2026-11-20T10:50:00Z");
    kitchen.ok(&format!("probe {lot} 20.5C"));
    kitchen.at("2026-11-20T14:30:00Z");
    kitchen.ok(&format!("probe {lot} 4.8C"));
    kitchen.at("2026-11-20T20:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn a_warm_reading_after_the_limit_makes_the_grain_past() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:00 --temp 55C --wet 5kg");
    kitchen.at("2026-11-20T15:30:00Z");
    let answer = kitchen.json(&format!("probe {lot} 30C"));
    assert_eq!(answer["verdict"], "past");
    let said = kitchen.on_shelf(&lot)["binding"]["source"].to_string();
    assert!(said.contains("FSANZ Standard 3.2.2 clause 7(3)"), "{said}");
}

#[test]
fn the_brewers_word_is_kept_with_who_said_it() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 01:00 --wet 5kg");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    kitchen.ok(&format!(
        "probe {lot} --cooled \"today 03:00\" --said-by \"the brewer\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let log = kitchen.json(&format!("log {lot} --last 1"));
    assert_eq!(log["entries"][0]["kind"], "cooled");
    assert_eq!(log["entries"][0]["words"], "the brewer");
    assert_eq!(log["entries"][0]["at"], "2026-11-20T03:00:00+00:00");
}

#[test]
fn spoiled_grain_is_past_whatever_the_clock_says() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let answer = kitchen.json(&format!("probe {lot} --spoiled \"sour smell\""));
    assert_eq!(answer["verdict"], "past");
    let limit = kitchen.on_shelf(&lot)["binding"]["limit"].to_string();
    assert!(limit.contains("sour smell"), "{limit}");
    // Only a strike with a reason takes it back.
    let entry = kitchen.last_entry("spoiled");
    kitchen.ok(&format!("strike {entry} --reason \"it was the bucket\""));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

/// Growth of pathogens needs a water activity of 0.85 (21 CFR 113 and 114, from memory). Grain that is not
/// dry enough is counted as wet grain: 4 h at 20 °C and it is past.
#[test]
fn dried_grain_keeps_by_its_water_activity() {
    for (activity, verdict) in [
        ("0.55", "good"),
        ("0.849", "good"),
        ("0.85", "past"),
        ("0.90", "past"),
    ] {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.pickup(
            "--brewed 2026-11-18 --mash-out \"2026-11-18 09:00\" --cooled \"2026-11-18 10:00\" \
             --form dried --wet 2kg",
        );
        assert_eq!(
            kitchen.on_shelf(&lot)["verdict"],
            "unknown",
            "nothing was measured"
        );
        kitchen.ok(&format!("probe {lot} --aw {activity}"));
        let log = kitchen.json("log --last 1");
        let wanted = json!(activity.parse::<f64>().unwrap());
        assert_eq!(log["entries"][0]["water_activity"], wanted);
        kitchen.at("2026-11-20T14:00:00Z");
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], verdict, "{activity}");
    }
}

#[test]
fn fahrenheit_is_understood() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("probe {lot} 41F"));
    assert_eq!(
        kitchen.json("log --last 1")["entries"][0]["temperature_c"],
        json!(5.0)
    );
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn exactly_one_thing_is_recorded_at_a_time() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.refused(2, &format!("probe {lot}"));
    kitchen.refused(2, &format!("probe {lot} 4C --aw 0.5"));
}

#[test]
fn whose_word_it_is_belongs_to_a_word() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.refused(2, &format!("probe {lot} 4C --said-by Ines"));
}

/// Mould found too late: who has the grain matters more than what is left of it.
#[test]
fn what_went_out_of_spoiled_grain_is_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-20T16:30:00Z");
    kitchen.ok(&format!("use {lot} 2kg --for rye"));
    kitchen.ok(&format!("give {lot} --wet 1kg --to Ann"));
    kitchen.at("2026-11-20T18:00:00Z");
    let ran = kitchen.run(&format!(
        "probe {lot} --spoiled \"blue mould\" --at \"2026-11-20 15:00\""
    ));
    assert_eq!(ran.code, 0, "{}", ran.err);
    for told in ["2 kg", "rye", "1 kg", "Ann"] {
        assert!(ran.err.contains(told), "{told} is not told: {}", ran.err);
    }
}

/// Water boils at 100 °C: a hotter tub is a slip of the point.
#[test]
fn grain_is_never_hotter_than_boiling_water() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    let told = kitchen.refused(1, &format!("probe {lot} 240C"));
    assert!(told.contains("allowed is -60 °C to 100 °C"), "{told}");
    kitchen.refused(
        2,
        "pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 2kg --temp 190C",
    );
    kitchen.ok(&format!("probe {lot} 100C"));
}

/// 18 °C and 4 °C in one minute, whichever is written first: the warmer counts, and the tub is still to be shown cold.
#[test]
fn of_two_temperatures_at_one_minute_the_warmer_counts() {
    for [first, second] in [["18C", "4C"], ["4C", "18C"]] {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:00 --temp 40C --wet 5kg");
        kitchen.at("2026-11-20T10:30:00Z");
        kitchen.ok(&format!("probe {lot} {first}"));
        let told = kitchen.run(&format!("probe {lot} {second}"));
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "good", "{found}");
        let limit = found["binding"]["limit"].as_str().unwrap();
        assert!(limit.contains("5 °C within a further 4 h"), "{found}");
        let warns = told.told().contains("the warmer one counts");
        assert_eq!(warns, second == "4C", "{told:?}");
    }
}

#[test]
fn a_water_activity_is_one_of_dried_grain() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let said = kitchen.refused(1, &format!("probe {lot} --aw 0.9"));
    assert!(said.contains("is whole grain, not dried"), "{said}");
}

#[test]
fn frozen_grain_that_was_measured_above_the_limit_is_said_to_count_as_thawed() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("move {lot} freezer"));
    let told = kitchen.run(&format!("probe {lot} 3C"));
    assert!(told.told().contains("it counts as thawed"), "{told:?}");
    let told = kitchen.run(&format!("probe {lot} -- -18C"));
    assert!(!told.told().contains("thawed"), "{told:?}");
}

/// Mould that is found after grain was used and parted: what went out before, and what is of the same grain.
#[test]
fn spoiled_grain_points_to_what_went_out_and_to_its_kin() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("portion {lot} --into 2x2kg"));
    kitchen.at("2026-11-21T08:00:00Z");
    kitchen.ok(&format!("use {lot} 2kg --for \"Saturday rye\""));
    kitchen.ok(&format!("give {lot} --wet 1kg --to \"Hill Kitchen\""));
    kitchen.at("2026-11-21T10:00:00Z");
    let told = kitchen
        .run(&format!("probe {lot} --spoiled \"black mould\""))
        .told();
    for said in [
        "2 kg",
        "Saturday rye",
        "1 kg",
        "Hill Kitchen",
        "may be older",
    ] {
        assert!(told.contains(said), "{said}: {told}");
    }
    assert!(
        told.contains("look at ALD-261120-2R, ALD-261120-3P too"),
        "{told}"
    );
}

#[test]
fn grain_that_really_is_frozen_may_be_as_cold_as_ice() {
    let mut kitchen = Kitchen::new();
    kitchen.ok(
        "pickup --source \"Alder Lane\" --brewed 2026-11-18 --temp=-18C --wet 5kg --place freezer",
    );
    kitchen.ok("place add box --kind fridge");
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("move {lot} box"));
    kitchen.at("2026-11-20T12:40:00Z");
    kitchen.ok("place change box --kind freezer --temp=-18C");
    kitchen.at("2026-11-21T12:40:00Z");
    kitchen.ok(&format!("probe {lot} -- -9C"));
    // Before it went in it was no ice, and a correction makes none of it.
    kitchen.refused(1, &format!("probe {lot} --at \"2026-11-20 12:00\" -- -8C"));
    let other = kitchen.lot("5kg");
    kitchen.ok(&format!("probe {other} 4C"));
    let entry = kitchen.last_entry("reading");
    kitchen.refused(1, &format!("correct {entry} --temp=-10C --reason typo"));
}
