//! `correct`: a right entry takes the place of a wrong one, all that follows is judged again, and both stay.

use crate::env::{Kitchen, has};
use serde_json::json;

/// Grain with the brewer's word that it was cold at 07:00, mashed out at 05:00 as written down.
fn fetched(kitchen: &Kitchen) -> (String, i64) {
    let lot = kitchen.pickup(
        "--brewed 2026-11-20 --mash-out 05:00 --cooled 07:00 --collected 08:00 --wet 6kg --temp 4C",
    );
    (lot, kitchen.last_entry("pickup"))
}

#[test]
fn a_wrong_mash_out_is_put_right_in_one_act_and_what_was_used_late_is_said() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-26T12:00:00Z");
    let lot = kitchen.pickup(
        "--brewed 2026-11-20 --mash-out \"2026-11-21 00:30\" --cooled \"2026-11-21 02:00\" --collected \"2026-11-21 06:00\" --wet 6kg",
    );
    let pickup = kitchen.last_entry("pickup");
    let part = kitchen.json(&format!("move {lot} --wet 2kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.at("2026-11-27T08:00:00Z");
    // Day 7 of grain mashed out after midnight; day 8 of grain mashed out before it.
    kitchen.ok(&format!("use {lot} --wet 1kg --for \"pan loaf\""));
    let ran = kitchen.run(&format!(
        "correct {pickup} --mash-out \"2026-11-20 23:30\" --reason \"the sheet says 23:30\" --by Ines"
    ));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("Corrected: pickup of 6 kg"), "{}", ran.out);
    assert!(
        ran.told().contains("pan loaf") && ran.told().contains("past"),
        "{}",
        ran.err
    );
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    assert_ne!(
        kitchen.on_shelf(&part)["verdict"],
        "good",
        "the part follows"
    );
    let log = kitchen.json(&format!("log {lot}"));
    let entries = log["entries"].as_array().unwrap();
    let old = entries
        .iter()
        .find(|one| one["entry"] == json!(pickup))
        .unwrap();
    let new = entries.last().unwrap();
    assert_eq!(old["amended_by"], new["entry"]);
    assert_eq!(new["amends"], json!(pickup));
    assert_eq!(new["reason"], "the sheet says 23:30");
    assert_eq!(new["by"], "Ines");
    assert_eq!(new["kind"], "pickup");
    let words = kitchen.ok(&format!("log {lot}"));
    assert!(words.contains("AMENDED by entry"), "{words}");
    let trace = kitchen.json(&format!("trace {lot}"));
    assert_eq!(trace["bakes"][0]["unusable_lots"], json!([lot]));
    let words = kitchen.ok(&format!("trace {lot}"));
    assert!(
        words.contains("NOT TO BE USED then, as known now"),
        "{words}"
    );
    let csv = kitchen.ok(&format!("trace {lot} --csv -"));
    assert!(
        csv.lines()
            .any(|line| line.contains("pan loaf") && line.ends_with(",yes,")),
        "{csv}"
    );
    assert!(kitchen.ok("check").contains("whole"));
    // The correction is struck: all is as it was.
    let correction = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {correction} --reason \"no, 00:30\""));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "use-first");
    assert_eq!(
        kitchen.json(&format!("trace {lot}"))["bakes"][0]["unusable_lots"],
        json!([])
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_corrected_history_may_make_past_grain_usable_and_says_so() {
    let mut kitchen = Kitchen::new();
    let (lot, pickup) = fetched(&kitchen);
    kitchen.at("2026-11-21T09:00:00Z");
    kitchen.ok(&format!("probe {lot} 14C --at 08:00"));
    kitchen.ok(&format!("probe {lot} 14C --at \"2026-11-20 12:00\""));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let reading = kitchen.last_entry("reading");
    let ran = kitchen.run(&format!(
        "correct {reading} --temp 4C --reason \"misread the dial\""
    ));
    assert!(ran.code == 0, "{}", ran.err);
    assert!(kitchen.ok("check").contains("whole"));
    let _ = pickup;
}

#[test]
fn every_fact_of_a_pickup_can_be_corrected_and_codes_stay() {
    let kitchen = Kitchen::new();
    let (lot, pickup) = fetched(&kitchen);
    let part = kitchen.json(&format!("move {lot} --wet 1kg --to freezer"))["lot"].clone();
    kitchen.ok(&format!(
        "correct {pickup} --wet 7.5kg --source \"Corrie Mill\" --grist \"wheat malt 100%\" --form pressed --temp 5C --note \"two tubs\" --at 07:30 --reason slips"
    ));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["wet_g"], json!(6500.0));
    assert_eq!(found["source"], "Corrie Mill");
    assert_eq!(found["form"], "pressed");
    assert_eq!(
        kitchen.on_shelf(part.as_str().unwrap())["source"],
        "Corrie Mill"
    );
    let trace = kitchen.json("trace --source \"Corrie Mill\"");
    assert_eq!(trace["lots"][0]["lot"], json!(lot));
    assert_eq!(
        trace["lots"][0]["came_g"],
        json!(7500.0),
        "not both pickups"
    );
    assert_eq!(trace["balance"]["difference_g"], json!(0.0));
    assert_eq!(
        kitchen.json("trace --grist wheat")["lots"]
            .as_array()
            .unwrap()
            .len(),
        2
    );
    let log = kitchen.json(&format!("log {lot}"));
    let readings: Vec<_> = log["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["kind"] == "reading" && entry["amended_by"].is_null())
        .collect();
    assert_eq!(readings.len(), 1);
    assert_eq!(readings[0]["temperature_c"], json!(5.0));
    assert_eq!(readings[0]["at"], "2026-11-20T07:30:00+00:00");
    assert!(kitchen.ok("check").contains("whole"));
    // A correction is corrected: the first entry stays out.
    let again = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {again} --wet 7kg --reason \"weighed again\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(6000.0));
    assert_eq!(kitchen.on_shelf(&lot)["source"], "Corrie Mill");
    let said = kitchen.refused(1, &format!("correct {pickup} --wet 1kg --reason x"));
    assert!(said.contains("stands in its place"), "{said}");
    let said = kitchen.refused(1, &format!("strike {again} --reason x"));
    assert!(said.contains("stands in its place"), "{said}");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_use_is_corrected_in_mass_lot_and_time_to_what_really_happened() {
    let mut kitchen = Kitchen::new();
    let (one, other) = (kitchen.lot("10kg"), kitchen.lot("4kg"));
    kitchen.ok(&format!("use {one} --wet 2kg --for bread"));
    let used = kitchen.last_entry("use");
    let said = kitchen.refused(1, &format!("correct {used} --wet 11kg --reason slip"));
    assert!(said.contains("more would have gone out"), "{said}");
    kitchen.ok(&format!(
        "correct {used} --wet 200g --reason \"grams, not kilos\""
    ));
    assert_eq!(kitchen.on_shelf(&one)["wet_g"], json!(9800.0));
    let usage = kitchen.json("usage");
    assert_eq!(
        usage["usage"].as_array().unwrap().len(),
        1,
        "once in every sum"
    );
    assert_eq!(usage["usage"][0]["wet_g"], json!(200.0));
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!(
        "correct {used} --lot {other} --reason \"other tub\""
    ));
    assert_eq!(kitchen.on_shelf(&one)["wet_g"], json!(10000.0));
    assert_eq!(kitchen.on_shelf(&other)["wet_g"], json!(3800.0));
    kitchen.at("2026-11-27T09:00:00Z");
    kitchen.ok(&format!(
        "use {other} 100g --for bread --at \"2026-11-26 12:00\""
    ));
    let used = kitchen.last_entry("use");
    // It was past by then: the bread was eaten all the same, and the book says so.
    let told = kitchen.told(&format!(
        "correct {used} --at \"2026-11-27 08:00\" --reason x"
    ));
    assert!(told.contains("when it was past"), "{told}");
    let words = kitchen.ok(&format!("trace {other}"));
    assert!(words.contains("NOT TO BE USED then"), "{words}");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn weighings_are_corrected() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,53.4g"));
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!(
        "correct {test} --weighing 12.0g,112.0g,35.4g --reason \"digits swapped\""
    ));
    let known = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(known["samples"].as_array().unwrap().len(), 1);
    assert_eq!(known["samples"][0]["wet_basis"], json!(0.766));
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn what_an_entry_does_not_hold_is_refused_with_what_to_type() {
    let kitchen = Kitchen::new();
    let (lot, pickup) = fetched(&kitchen);
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let used = kitchen.last_entry("use");
    let said = kitchen.refused(1, &format!("correct {used} --mash-out 06:00 --reason x"));
    assert!(
        said.contains("--mash-out") && said.contains(&format!("draff strike {used}")),
        "{said}"
    );
    let said = kitchen.refused(2, &format!("correct {used} --reason x"));
    assert!(said.contains("what is wrong in entry"), "{said}");
    kitchen.refused(2, &format!("correct {used} --wet 1kg"));
    kitchen.refused(1, "correct 999 --wet 1kg --reason x");
    let said = kitchen.refused(1, &format!("correct {pickup} --mash-out 08:30 --reason x"));
    assert!(said.contains("cannot have been mashed out"), "{said}");
    let said = kitchen.refused(1, &format!("correct {pickup} --at 11:00 --reason x"));
    assert!(
        said.contains("after now") || said.contains("before that"),
        "{said}"
    );
    kitchen.ok(&format!("move {lot} --wet 1kg --to freezer"));
    let parting = kitchen.last_entry("part");
    let said = kitchen.refused(1, &format!("correct {parting} --lot {lot} --reason x"));
    assert!(
        said.contains(&format!(
            "draff strike {parting} --reason TEXT, then draff move"
        )),
        "{said}"
    );
}

#[test]
fn water_activity_laboratory_figure_second_stage_and_count_are_corrected() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T12:00:00Z");
    // The laboratory's figure keeps its spread.
    kitchen.ok(&format!("moisture {lot} --lab 67% --lab-sd 0.3%"));
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!("correct {test} --lab 77% --reason \"digit\""));
    let known = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(known["wet_basis"], json!(0.77));
    assert_eq!(known["standard_uncertainty"], json!(0.003));
    let corrected = kitchen.last_entry("moisture");
    let said = kitchen.refused(
        1,
        &format!("correct {corrected} --weighing 12g,112g,35g --reason x"),
    );
    assert!(said.contains("--weighing"), "{said}");

    // 75 g of 100 g are lost first, 1 g of 20 g then: 1 − 0.25 × 0.95 (two stages multiply).
    let other = kitchen.lot("4kg");
    kitchen.ok(&format!(
        "moisture {other} --weighing 12g,112g,37g --stage2 10g,30g,20g"
    ));
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!(
        "correct {test} --stage2 10g,30g,29g --reason \"misread\""
    ));
    let found = |lot: &str| {
        kitchen.json(&format!("moisture {lot}"))["samples"][0]["wet_basis"]
            .as_f64()
            .unwrap()
    };
    assert!((found(&other) - (1.0 - 0.25 * 0.95)).abs() < 1e-9);
    // Other first weighings keep the second stage: 1 − 0.24 × 0.95.
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!(
        "correct {test} --weighing 12g,112g,36g --reason slip"
    ));
    assert!((found(&other) - (1.0 - 0.24 * 0.95)).abs() < 1e-9);
    let test = kitchen.last_entry("moisture");
    let said = kitchen.refused(
        1,
        &format!("correct {test} --weighing 12g,112g,36g --weighing 12g,112g,36g --reason x"),
    );
    assert!(said.contains("do not pair up"), "{said}");

    // The count found 9 kg, not 8 kg, of 10 kg; 2 kg were used since.
    kitchen.ok(&format!("count {lot} --wet 8kg"));
    let count = kitchen.last_entry("count");
    kitchen.ok(&format!("use {lot} --wet 2kg --for bread"));
    kitchen.ok(&format!(
        "correct {count} --wet 9kg --reason \"lid on the scale\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(7000.0));
    let said = kitchen.refused(
        1,
        &format!(
            "correct {} --wet 1kg --reason x",
            kitchen.last_entry("count")
        ),
    );
    assert!(said.contains("would"), "{said}");
    let said = kitchen.refused(
        1,
        &format!(
            "correct {} --wet 11kg --reason x",
            kitchen.last_entry("count")
        ),
    );
    assert!(said.contains("more"), "{said}");

    kitchen.at("2026-11-20T14:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 2kg --wet-out 480g --minutes 60 --temp 70C"
    ))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok(&format!("probe {dried} --aw 0.5"));
    let activity = kitchen.last_entry("activity");
    kitchen.ok(&format!(
        "correct {activity} --aw 0.9 --reason \"read upside down\""
    ));
    assert_eq!(
        kitchen.on_shelf(&dried)["verdict"],
        "unknown",
        "not dry by that"
    );
    assert!(kitchen.ok("check").contains("whole"));
}

/// The temperature of a pickup stands in the reading taken with it: that alone is corrected, and one strike undoes it.
#[test]
fn the_temperature_of_a_pickup_is_corrected_and_struck_as_one() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 12kg --temp 62C");
    let pickup = kitchen.last_entry("pickup");
    let hot = kitchen.on_shelf(&lot)["keep_until"].clone();
    kitchen.at("2026-11-20T10:10:00Z");
    let words = kitchen.ok(&format!(
        "correct {pickup} --temp 4C --reason \"the other thermometer\""
    ));
    assert!(words.contains("62 °C") && words.contains("4 °C"), "{words}");
    assert_ne!(kitchen.on_shelf(&lot)["keep_until"], hot);
    let newest = kitchen.json("log --last 1")["entries"][0]["entry"].clone();
    kitchen.ok(&format!("strike {newest} --reason \"it was 62\""));
    assert_eq!(kitchen.on_shelf(&lot)["keep_until"], hot);
}

/// A correction that is struck gives the entry before it back, and says so; both can be struck in one act.
#[test]
fn a_struck_correction_says_what_counts_again() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let wrong = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {wrong} --wet 2kg --reason misread"));
    let by = kitchen.last_entry("use");
    let ran = kitchen.run(&format!("strike {by} --reason \"not misread\""));
    assert!(
        ran.out
            .contains(&format!("Counts again: use of 1 kg, {lot}")),
        "{}",
        ran.out
    );
    let told = format!("entry {wrong} counts again");
    assert!(ran.told().contains(&told), "{ran:?}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 9000.0);

    kitchen.ok(&format!("correct {wrong} --wet 3kg --reason misread"));
    let by = kitchen.last_entry("use");
    let ran = kitchen.run(&format!("strike {by} {wrong} --reason \"never used\""));
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(!ran.told().contains("counts again"), "{ran:?}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 10_000.0);
    assert!(kitchen.ok("check").contains("whole"));
}

/// A bake whose draw was corrected: struck, it gives all its grain back, and struck again it takes the corrected mass.
#[test]
fn a_struck_bake_gives_back_a_draw_that_was_corrected() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("10kg");
    kitchen.ok("bake add \"Quern pan loaf\" --at \"2026-11-20 10:00\" mix --pieces 12");
    kitchen.ok(&format!("bake done B-1S --used {lot}=1kg"));
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {used} --wet 1.5kg --reason misread"));
    let done = kitchen.last_entry("baked");
    let ran = kitchen.run(&format!("strike {done} --reason \"23 pieces\""));
    assert!(!ran.out.contains("Counts again"), "{ran:?}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 10_000.0);
    assert!(kitchen.ok("check").contains("whole"));

    let strike = kitchen.last_entry("strike");
    let ran = kitchen.run(&format!("strike {strike} --reason \"it was baked\""));
    assert_eq!(ran.code, 0, "{ran:?}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 8500.0);
    assert!(kitchen.ok("check").contains("whole"));
}

/// No mash-out of another brew, and nothing that happened after it was written down.
#[test]
fn a_time_that_cannot_be_is_refused() {
    let mut kitchen = Kitchen::new();
    let (lot, pickup) = fetched(&kitchen);
    kitchen.at("2026-11-24T10:00:00Z");
    for mash_out in ["2026-11-14 08:00", "2026-11-18 23:00"] {
        let said = kitchen.refused(
            1,
            &format!("correct {pickup} --mash-out \"{mash_out}\" --reason wrong"),
        );
        assert!(said.contains("does not fit the brew day"), "{said}");
        assert!(said.contains("before 6:00"), "{said}");
    }
    let said = kitchen.refused(
        1,
        &format!("correct {pickup} --at \"2026-11-24 09:00\" --reason late"),
    );
    assert!(said.contains("was written at"), "{said}");
    kitchen.ok(&format!("move {lot} counter"));
    let entry = kitchen.last_entry("move");
    let shown = kitchen.ok(&format!(
        "correct {entry} --at \"2026-11-24 09:30\" --reason \"half an hour earlier\""
    ));
    assert!(shown.contains("Was         Tue 24 Nov 10:00"), "{shown}");
    assert!(shown.contains("Now         Tue 24 Nov 09:30"), "{shown}");
}

#[test]
fn a_temperature_that_was_never_taken_is_booked_and_not_corrected() {
    let kitchen = Kitchen::new();
    kitchen.lot("3kg");
    let pickup = kitchen.last_entry("pickup");
    let refused = kitchen.refused(1, &format!("correct {pickup} --temp 12C --reason forgot"));
    has(&refused, "draff probe LOT TEMPERATURE");
    assert!(!refused.contains("draff strike"), "{refused}");
}

#[test]
fn a_wrong_note_is_taken_away_and_words_that_are_needed_are_not() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    let pickup = kitchen.last_entry("pickup");
    let note = |entry: i64| {
        let log = kitchen.json("log");
        let entries = log["entries"].as_array().unwrap().iter();
        let mut of_it = entries.filter(|found| found["entry"] == entry);
        of_it.next().expect("it is in the log")["words"].clone()
    };
    kitchen.ok(&format!(
        "correct {pickup} --note \"of the other tub\" --reason forgotten"
    ));
    let noted = kitchen.last_entry("pickup");
    assert_eq!(note(noted), "of the other tub");
    kitchen.ok(&format!("correct {noted} --note \"\" --reason slip"));
    assert_eq!(note(kitchen.last_entry("pickup")), json!(null));
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls"));
    let used = kitchen.last_entry("use");
    let said = kitchen.refused(2, &format!("correct {used} --note \"\" --reason slip"));
    has(&said, "only a note can be taken away");
    // A count that should have found nothing.
    kitchen.ok(&format!("count {lot} --wet 2kg"));
    let count = kitchen.last_entry("count");
    kitchen.ok(&format!(
        "correct {count} --nothing --reason \"of another tub\""
    ));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    let said = kitchen.refused(1, &format!("correct {used} --nothing --reason slip"));
    has(&said, "--nothing");
    has(&kitchen.ok("check"), "whole");
}
