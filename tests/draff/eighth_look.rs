//! What an inspector found in the names of sources, in sums of the report, in ounces and in what an act says.

use crate::env::{Kitchen, has, one_line};
use serde_json::Value;

/// Books in grain of this morning from a source; gives the lot's code.
#[track_caller]
fn came(kitchen: &Kitchen, source: &str, more: &str) -> String {
    let lot = kitchen.json(&format!(
        "pickup --source \"{source}\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 {more}"
    ));
    lot["lot"].as_str().expect("a code").to_owned()
}

/// How many grams came from a source, by a recall of it.
#[track_caller]
fn came_from(kitchen: &Kitchen, source: &str) -> f64 {
    let trace = kitchen.json(&format!("trace --source \"{source}\""));
    trace["balance"]["came_g"].as_f64().unwrap()
}

#[test]
fn grain_goes_with_the_source_that_was_named_where_a_merge_is_taken_back() {
    let kitchen = Kitchen::new();
    came(&kitchen, "Alder Lane", "--wet 6kg");
    let of_corrow = came(&kitchen, "Corrow Weir", "--wet 4kg");
    kitchen.ok("source merge \"Alder Lane\" --into \"Corrow Weir\"");
    let merge = kitchen.last_entry("source");
    let lot = came(&kitchen, "Alder Lane", "--wet 3kg");
    assert_eq!(lot[..3], of_corrow[..3], "the letters of the one name");
    assert_eq!(kitchen.on_shelf(&lot)["source"], "Corrow Weir");
    assert_eq!(came_from(&kitchen, "Corrow Weir"), 13_000.0);
    has(&kitchen.ok("check"), "whole");
    // A correction keeps what was named, and its strike too.
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --mash-out 07:20 --reason \"brewer's sheet\""
    ));
    let said = kitchen.ok(&format!("strike {merge} --reason \"two houses\""));
    has(
        &one_line(&said),
        "Struck: merge of `Alder Lane` into `Corrow Weir`, Fri 20 Nov 10:00",
    );
    assert_eq!(kitchen.on_shelf(&lot)["source"], "Alder Lane");
    assert_eq!(came_from(&kitchen, "Alder Lane"), 9_000.0);
    assert_eq!(came_from(&kitchen, "Corrow Weir"), 4_000.0);
    has(&kitchen.ok("check"), "whole");
    let strike = kitchen.last_entry("strike");
    let corrected = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {corrected} --reason \"it was 07:30\""));
    assert_eq!(kitchen.on_shelf(&lot)["source"], "Alder Lane");
    let said = kitchen.ok(&format!("strike {strike} --reason \"one house\""));
    has(
        &one_line(&said),
        "Counts again: merge of `Alder Lane` into `Corrow Weir`",
    );
    assert_eq!(kitchen.on_shelf(&lot)["source"], "Corrow Weir");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn every_name_that_a_source_had_finds_it() {
    let kitchen = Kitchen::new();
    let lot = came(&kitchen, "Alder Lane", "--wet 6kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok("source rename \"Alder Lane\" --to \"Alder Street\"");
    kitchen.ok("source rename \"Alder Street\" --to \"Old Mill\"");
    let second = kitchen.last_entry("source");
    for name in ["Alder Lane", "alder street", "Old Mill"] {
        assert_eq!(came_from(&kitchen, name), 6_000.0, "{name}");
        let usage = kitchen.json(&format!("usage --source \"{name}\""));
        assert_eq!(usage["usage"].as_array().unwrap().len(), 1, "{name}");
    }
    let again = came(&kitchen, "Alder Street", "--wet 2kg");
    assert_eq!(kitchen.on_shelf(&again)["source"], "Old Mill");
    // A slip in a name that it had is asked back too.
    let said = kitchen.refused(
        1,
        "pickup --source \"Alder Stret\" --brewed 2026-11-20 --wet 1kg",
    );
    has(&said, "--source 'Alder Street'");
    kitchen.ok(&format!("strike {second} --reason \"still that\""));
    assert_eq!(kitchen.on_shelf(&lot)["source"], "Alder Street");
    kitchen.refused(1, "trace --source \"Old Mill\"");
}

/// What a source is called now goes before what another one was called.
#[test]
fn a_name_means_the_source_that_is_called_so_now() {
    let kitchen = Kitchen::new();
    let old = came(&kitchen, "Alder Lane", "--wet 6kg");
    came(&kitchen, "Corrow Weir", "--wet 4kg");
    kitchen.ok("source rename \"Alder Lane\" --to \"Old Mill\"");
    kitchen.ok("source rename \"Corrow Weir\" --to \"Alder Lane\"");
    kitchen.ok("source rename \"Alder Lane\" --to \"Quern House\"");
    assert_eq!(kitchen.on_shelf(&old)["source"], "Old Mill");
    assert_eq!(came_from(&kitchen, "Quern House"), 4_000.0);
}

#[test]
fn a_part_of_a_name_is_asked_back_and_a_word_of_every_house_is_not() {
    let kitchen = Kitchen::new();
    came(&kitchen, "Corrow Weir", "--wet 4kg");
    for name in ["Corrow", "Weir Corrow", "The Weir Brewery"] {
        let said = kitchen.refused(
            1,
            &format!("pickup --source \"{name}\" --brewed 2026-11-20 --wet 1kg"),
        );
        has(&said, "--source 'Corrow Weir'");
        has(&said, "--new-source");
    }
    came(&kitchen, "Hollow Ales", "--wet 4kg");
    came(&kitchen, "The Tarn Ales", "--wet 4kg");
    came(&kitchen, "Corrow 2", "--wet 4kg");
}

#[test]
fn a_dough_of_two_lots_is_one_bake_of_the_report() {
    let mut kitchen = Kitchen::new();
    let one = came(&kitchen, "Alder Lane", "--wet 6kg");
    let other = came(&kitchen, "Corrow Weir", "--wet 4kg");
    let dough = format!("use {one} 500g {other} 500g --for \"one dough\"");
    let bakes = |kitchen: &Kitchen| {
        let report = kitchen.json("report");
        let breads = report["breads"].as_array().unwrap().clone();
        let bread = breads.iter().find(|bread| bread["formula"] == "one dough");
        bread.unwrap()["bakes"].as_i64().unwrap()
    };
    kitchen.ok(&dough);
    kitchen.ok(&format!("use {one} --wet 500g --for rolls"));
    assert_eq!(bakes(&kitchen), 1);
    // A lot goes into a dough once, and another moment is another dough.
    kitchen.ok(&dough);
    assert_eq!(bakes(&kitchen), 2);
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&dough);
    assert_eq!(bakes(&kitchen), 3);
}

/// What dry grain there was and came is what went and is there, by source and in all.
#[track_caller]
fn dry_adds_up(report: &Value) {
    for row in report["balance"].as_array().unwrap() {
        let dry = |key: &str| row[&format!("{key}_dry_g")].as_f64().unwrap();
        let there = dry("opening") + dry("came_in") + dry("from_other_sources");
        let gone = dry("baked") + dry("given") + dry("thrown_away");
        let lost = dry("lost_in_treatments") + dry("missing");
        let rest = there - gone - lost + dry("known_better") - dry("closing");
        assert!(rest.abs() < 1e-3, "{rest} in {row}");
    }
}

#[test]
fn the_dry_columns_of_the_report_add_up() {
    let mut kitchen = Kitchen::new();
    let alder = came(&kitchen, "Alder Lane", "--wet 10kg");
    let corrow = came(&kitchen, "Corrow Weir", "--wet 6kg");
    kitchen.ok(&format!("moisture {alder} --lab 76%"));
    kitchen.at("2026-11-20T11:00:00Z");
    let pressed = kitchen.json(&format!(
        "treat {alder} --step press --wet-in 4kg --wet-out 3kg --dry-loss 30g"
    ));
    let pressed = pressed["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("join {alder} {corrow} --to fridge"));
    let shelf = kitchen.json("shelf");
    let lots = shelf["lots"].as_array().unwrap().iter();
    let mut codes = lots.map(|lot| lot["lot"].as_str().unwrap());
    let joined = codes.find(|code| **code != pressed).unwrap().to_owned();
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!("count {joined} --wet 11.9kg"));
    kitchen.ok(&format!("use {joined} --wet 2kg --for bread"));
    kitchen.ok(&format!("give {pressed} --wet 500g --to café"));
    kitchen.ok(&format!("discard {joined} --wet 1kg --reason spilt"));
    let report = kitchen.json("report");
    dry_adds_up(&report);
    let all = report["balance"]
        .as_array()
        .unwrap()
        .last()
        .unwrap()
        .clone();
    assert_eq!(all["source"], "all sources");
    let of = |key: &str| all[key].as_f64().unwrap();
    let usage = kitchen.json("usage");
    let lost = usage["usage"].as_array().unwrap().iter();
    let mut lost = lost.filter(|line| line["kind"] == "treatment-loss");
    let lost = lost.next().unwrap()["dry_g"].as_f64().unwrap();
    assert!((of("lost_in_treatments_dry_g") - lost).abs() < 1e-3);
    assert!(of("missing_dry_g") > 1.0);
    assert!(of("known_better_dry_g").abs() < 0.01, "{all}");
    let alder = &report["balance"][0];
    assert!(alder["from_other_sources_dry_g"].as_f64().unwrap() > 1000.0);
    assert!(!kitchen.ok("report").contains("better known"));
    // A test of what came out says that more grain is in it than the weights had it.
    kitchen.ok(&format!("moisture {pressed} --lab 60%"));
    let report = kitchen.json("report");
    dry_adds_up(&report);
    let better = report["balance"][2]["known_better_dry_g"].as_f64().unwrap();
    assert!(better > 100.0, "{report}");
    has(&kitchen.ok("report"), "Dry, better known since (− less)");
    for part in ["--to 2026-11-19", "--from 2026-11-20 --to 2026-11-20"] {
        dry_adds_up(&kitchen.json(&format!("report {part}")));
    }
}

#[test]
fn a_limit_and_its_source_are_told_in_fahrenheit_alike() {
    let kitchen = Kitchen::new();
    let said = kitchen.ok(
        "--us pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 5kg --temp 150F",
    );
    let said = one_line(&said);
    has(&said, "69.8 °F within 2 h");
    has(&said, "140 to 69.8 °F within 2 h");
    assert!(!said.contains("°C"), "{said}");
}

#[test]
fn usage_in_pounds_has_one_unit_and_a_trace_adds_up_in_grams() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("18.4kg");
    kitchen.ok(&format!("use {lot} --wet 6080g --for bread"));
    let trace = one_line(&kitchen.ok(&format!("trace {lot} --us")));
    has(
        &trace,
        "came in 40.57 lb 18400 g into bakes 13.4 lb 6080 g on hand 27.16 lb 12320 g",
    );
    kitchen.ok(&format!("use {lot} --wet 1lb --for rolls"));
    kitchen.ok(&format!("use {lot} --wet 5g --for crackers"));
    let usage = one_line(&kitchen.ok("--us usage"));
    has(&usage, "bake 1 lb 0.2");
    has(&usage, "bake 0.01 lb");
    assert!(!usage.contains(" oz"), "{usage}");
    has(&one_line(&kitchen.ok("usage")), "6.08 kg");
}

#[test]
fn the_grist_of_joined_grain_is_rounded_and_an_older_one_stays() {
    let mut kitchen = Kitchen::new();
    let one = came(
        &kitchen,
        "Alder Lane",
        "--wet 16kg --grist \"barley malt 100%\"",
    );
    let pickup = kitchen.last_entry("pickup");
    let other = came(
        &kitchen,
        "Alder Lane",
        "--wet 5kg --grist \"barley malt 70%, wheat malt 30%\"",
    );
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("join {one} {other} --to fridge"));
    let grist = |kitchen: &Kitchen| -> String {
        let newest = "SELECT coalesce(lot_now.grist, lot.grist) FROM lot
            LEFT JOIN lot_now ON lot_now.lot_id = lot.id ORDER BY lot.id DESC LIMIT 1";
        let book = kitchen.sqlite();
        book.query_row(newest, [], |row| row.get(0)).unwrap()
    };
    assert_eq!(grist(&kitchen), "barley malt 92.86%, wheat malt 7.14%");
    // Books hold grists whose shares were cut: they are whole, and stay as they are.
    let cut = "barley malt 92.85%, wheat malt 7.14%";
    kitchen.past_the_triggers(|book| {
        let joined = "UPDATE lot SET grist = ?1 WHERE id = (SELECT max(id) FROM lot)";
        book.execute(joined, [cut]).unwrap();
    });
    kitchen.chain_anew();
    kitchen.ok(&format!(
        "correct {pickup} --mash-out 07:20 --reason \"brewer's sheet\""
    ));
    assert_eq!(grist(&kitchen), cut);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn what_is_thrown_away_is_said_and_quiet_leaves_out_reasons() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let said = kitchen.told(&format!(
        "discard {lot} --wet 1kg --as feed --reason \"more than we bake\""
    ));
    has(
        &said,
        "discarded 1 kg as feed: more than we bake, Fri 20 Nov 10:00",
    );
    let entry = kitchen.last_entry("discard");
    let said = kitchen.told(&format!("discard {lot} --reason spilt --wet 500g -q"));
    assert!(!said.contains("discarded"), "{said}");
    for act in [
        format!("correct {entry} --wet 900g --reason misread"),
        format!("count {lot} --wet 8.6kg"),
    ] {
        let loud = kitchen.run(&act);
        assert_eq!(loud.code, 0, "{}", loud.err);
        has(&loud.out, "Because");
        has(&loud.out, "Dry grain");
        let entry = kitchen.entries();
        kitchen.ok(&format!("strike {entry} --reason again"));
        let quiet = kitchen.ok(&format!("-q {act}"));
        has(&quiet, "Verdict");
        assert!(
            !quiet.contains("Because") && !quiet.contains("Dry grain"),
            "{quiet}"
        );
    }
}
