//! Past grain: what is said of it and what to do with it, and who is named where grain is past that went out
//! or lies there still.

use crate::env::{Kitchen, has, one_line};

/// Past by its time on the counter, which counts from a word that it was cold. A reading above 5 °C sets that word aside, and
/// without it the book would only not know.
#[test]
fn a_reading_of_now_is_written_down_and_makes_no_past_grain_unknown() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T06:45:00Z");
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 06:00 --cooled 06:40 --wet 5kg --place counter");
    kitchen.at("2026-11-20T11:30:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    // Above the limit it sets the word aside, and takes off no warm time that it was past by.
    for reading in ["15C", "4C"] {
        kitchen.ok(&format!("probe {lot} {reading}"));
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past", "{reading}");
    }
}

/// A move that nobody wrote down makes grain past that somebody was given meanwhile.
#[test]
fn a_late_move_names_who_got_the_grain() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok(&format!("give {lot} --wet 1kg --to Nan"));
    kitchen.at("2026-11-21T13:00:00Z");
    let told = kitchen.told(&format!(
        "move {lot} --to counter --at \"2026-11-20 20:00\""
    ));
    has(&told, "1 kg");
    has(&told, "Nan");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

#[test]
fn a_place_that_was_warmer_names_lots_and_who_got_the_grain() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok(&format!("give {lot} --wet 1kg --to Nan"));
    kitchen.at("2026-11-21T13:00:00Z");
    let told = kitchen.told("place change fridge --temp 12C --at \"2026-11-20 20:00\"");
    has(&told, "Nan");
    has(&told, &format!("do not use `{lot}`, which is past"));
}

/// Eight bags are made of a tub: a correction of the tub's mash-out is one of all of them.
#[test]
fn a_correction_names_what_on_hand_may_not_be_used_any_more() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    let pickup = kitchen.last_entry("pickup");
    let cold = kitchen.last_entry("cooled");
    kitchen.at("2026-11-20T10:10:00Z");
    let bags = kitchen.json(&format!("portion {lot} --into 8x1kg"));
    let bags: Vec<&str> = bags["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|bag| bag["lot"].as_str().unwrap())
        .collect();
    kitchen.at("2026-11-20T10:20:00Z");
    let struck = kitchen.told(&format!("strike {cold} --reason \"another tub\""));
    for bag in &bags {
        has(&struck, &format!("do not use `{bag}`, which is unknown"));
    }
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason \"it was this one\""));
    let corrected = kitchen.told(&format!("correct {pickup} --mash-out 02:00 --reason sheet"));
    has(
        &corrected,
        &format!("do not use `{}`, which is unknown", bags[7]),
    );
}

/// The grain was eaten: the book says when and of which tub, and says aloud that it should not have been.
#[test]
fn what_people_ate_is_put_right_as_it_was() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let bread = kitchen.last_entry("use");
    kitchen.at("2026-11-20T15:00:00Z");
    let good = kitchen.lot("4kg");
    kitchen.ok(&format!("use {good} 1kg --for rolls"));
    let rolls = kitchen.last_entry("use");
    kitchen.ok(&format!("give {good} --wet 500g --to café"));
    let given = kitchen.last_entry("give");
    kitchen.ok(&format!("probe {lot} --spoiled sour --at 11:00"));
    for (right, what) in [
        (format!("{bread} --at 11:30"), "1 kg of lot"),
        (format!("{rolls} --lot {lot}"), "1 kg of lot"),
        (format!("{given} --lot {lot}"), "500 g of lot"),
    ] {
        let told = kitchen.told(&format!("correct {right} --reason \"as it was\""));
        has(&told, what);
        has(&told, "when it was past");
    }
    let trace = kitchen.json(&format!("trace {lot}"));
    for bake in trace["bakes"].as_array().unwrap() {
        assert_eq!(bake["unusable_lots"][0], lot, "{trace}");
    }
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    // What is written anew is refused as ever, unless it left before the book knew.
    let said = kitchen.refused(1, &format!("use {lot} 1kg --for bread --at 15:00"));
    has(&said, "may not be used as food");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn past_grain_says_what_to_do_with_it() {
    let mut kitchen = Kitchen::new();
    let kept = kitchen.lot("3kg");
    let said = one_line(&kitchen.ok(
        "pickup --source \"Tarn Fell\" --brewed 2026-11-20 --mash-out 05:30 --wet 20kg --temp 30C --collected 09:50",
    ));
    has(&said, "past, since Fri 20 Nov 07:30, before it was fetched");
    has(&said, "Next throw it away: draff discard TAR-261120-");
    assert!(!said.contains("was good until"), "{said}");
    kitchen.at("2026-11-29T10:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {kept} 4C")));
    has(&said, "was good until Thu 26 Nov, end of day");
    has(
        &said,
        &format!("Next throw it away: draff discard {kept} --reason past"),
    );
    // Once it is thrown away nothing is asked for.
    let said = kitchen.ok(&format!("discard {kept} --reason past --as waste"));
    assert!(!said.contains("Next"), "{said}");
}

#[test]
fn past_grain_that_was_unknown_before_was_not_good_until_then() {
    let mut kitchen = Kitchen::on_monday();
    let unknown = kitchen.pickup_from("Corrow Weir", "--brewed today --mash-out 07:00 --wet 6kg");
    let good = kitchen.tub("Alder Lane", "--wet 6kg");
    assert_eq!(kitchen.on_shelf(&unknown)["verdict"], "unknown");
    kitchen.at("2026-11-10T10:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {unknown} --spoiled mould")));
    has(&said, "past, was unknown before");
    assert!(!said.contains("good until"), "{said}");
    let said = one_line(&kitchen.ok(&format!("probe {good} --spoiled mould")));
    has(&said, "past, was good until Tue 10 Nov 09:59");
    let found = kitchen.on_shelf(&unknown);
    assert_eq!(found["verdict"], "past");
    // Files say when it became past.
    assert_eq!(found["keep_until"], "2026-11-10T09:59:59+00:00");
    let shelf = kitchen.ok("shelf");
    let line = shelf.lines().find(|line| line.contains(&unknown)).unwrap();
    assert!(line.contains("was unknown"), "{line}");
}

#[test]
fn a_discard_written_late_warns_that_the_rest_is_past_by_now() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let feed = |when: &str| format!("discard {lot} --wet 1kg --as feed --reason hens {when}");
    let by_now = format!("lot `{lot}` is past by now");
    assert!(!kitchen.told(&feed("")).contains(&by_now));
    kitchen.at("2026-11-28T10:00:00Z");
    let told = kitchen.told(&feed("--at \"2026-11-25 20:00\""));
    has(&told, &by_now);
    // What is thrown away since it is past says so already, and of nothing no more may be used.
    for when in ["", "--at \"2026-11-27 20:00\""] {
        let told = kitchen.told(&feed(when));
        assert!(!told.contains(&by_now), "{told}");
    }
    let told = kitchen.told(&format!(
        "discard {lot} --reason spilt --at \"2026-11-25 20:00\""
    ));
    assert!(!told.contains(&by_now), "{told}");
}

/// No lot is judged otherwise where the weight of a part or of a treatment is another: only how much is in which.
#[test]
fn past_grain_that_counts_to_a_good_lot_by_a_strike_or_a_correction_is_told() {
    const ON_THE_COUNTER: &[&str] = &["portion LOT --into 1x8kg --to counter"];
    const IN_THE_FREEZER: &[&str] = &[
        "portion LOT --into 1x1kg --to freezer",
        "treat LOT --step press --wet-in 1kg --wet-out 700g --minutes 2 --temp 20C --place freezer",
        "move LOT counter",
    ];
    for (done, act, told) in [
        (IN_THE_FREEZER, "correct 9 --wet 8.5kg", "7.5 kg"),
        (
            IN_THE_FREEZER,
            "correct 10 --wet 8.8kg --wet-out 6.5kg",
            "5.8 kg",
        ),
        (ON_THE_COUNTER, "correct 9 --wet 100g", "7.9 kg"),
        (ON_THE_COUNTER, "strike 9", "8 kg"),
    ] {
        let (mut kitchen, lot) = Kitchen::with_cooled_tub();
        kitchen.at("2026-11-09T11:40:00Z");
        for step in done {
            kitchen.ok(&step.replace("LOT", &lot));
        }
        kitchen.at("2026-11-09T16:41:00Z");
        let act = format!("{act} --reason slip");
        let said = kitchen.told(&act);
        has(&said, &format!("{told} counts to lot `"));
        has(&said, "now, which is good, and counted to lot `");
        has(&said, "which was past: check where this grain was");
        assert_eq!(said.matches("counts to lot").count(), 1, "{act}: {said}");
    }
}

/// Grain of another origin that comes back by the same act was never past.
#[test]
fn good_grain_that_comes_back_beside_past_grain_that_goes_is_not_told_as_that() {
    let (mut kitchen, cor, ald) = Kitchen::with_two_tubs();
    kitchen.ok(&format!("use {cor} 1kg --for buns"));
    let used = kitchen.last_entry("use");
    let part = kitchen.json(&format!("portion {ald} --into 1x1kg --to counter"));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    let parting = kitchen.last_entry("part");
    kitchen.at("2026-11-09T16:00:00Z");
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    let told = kitchen.told(&format!("strike {parting} {used} --reason slip"));
    has(&told, &format!("1 kg counts to lot `{ald}` now"));
    assert_eq!(told.matches("counts to lot").count(), 1, "{told}");
}
