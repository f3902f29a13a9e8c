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
    has(&said, "--source \"Alder Street\"");
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
        has(&said, "--source \"Corrow Weir\"");
        has(&said, &format!("--source \"{name}\" --new-source"));
    }
    came(&kitchen, "Hollow Ales", "--wet 4kg");
    came(&kitchen, "The Tarn Ales", "--wet 4kg");
    came(&kitchen, "Corrow 2", "--wet 4kg");
}
