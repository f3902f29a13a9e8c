//! `source`: near names are refused, sources are renamed and merged, and a recall finds all that may be meant.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

const FELL: &str =
    "pickup --brewed 2026-11-19 --mash-out 08:00 --cooled 10:00 --collected \"2026-11-19 11:00\"";

#[test]
fn a_near_name_is_refused_with_both_commands() {
    let kitchen = Kitchen::new();
    kitchen.ok(&format!("{FELL} --source \"Tarn Fell\" --wet 4kg"));
    let before = kitchen.entries();
    let said = kitchen.refused(1, &format!("{FELL} --source \"Tarn Fel\" --wet 4kg"));
    assert!(said.contains("--source 'Tarn Fell'"), "{said}");
    assert!(said.contains("--source 'Tarn Fel' --new-source"), "{said}");
    assert_eq!(kitchen.entries(), before);
    kitchen.file(
        "p.csv",
        "source,brewed,wet\nTarn Fell,2026-11-19,4kg\nTarn Fel,2026-11-19,5kg\n",
    );
    kitchen.refused(1, "pickup --csv p.csv");
    kitchen.ok(&format!("{FELL} --source \"tarn  FELL\" --wet 4kg"));
    kitchen.ok(&format!("{FELL} --source \"Corrie Mill\" --wet 4kg"));
    kitchen.ok(&format!(
        "{FELL} --source \"Tarn Fel\" --new-source --wet 4kg"
    ));
    assert_eq!(
        kitchen.json("source")["sources"].as_array().unwrap().len(),
        3
    );
}

#[test]
fn a_mistyped_source_that_was_corrected_is_no_other_one() {
    let kitchen = Kitchen::new();
    kitchen.ok(&format!("{FELL} --source \"Tarn Fell\" --wet 4kg"));
    kitchen.ok(&format!(
        "{FELL} --source \"Tarn Fel\" --new-source --wet 5kg"
    ));
    let wrong = kitchen.last_entry("pickup");
    let near = || kitchen.json("trace --source \"Tarn Fell\"")["near_sources"].clone();
    assert_eq!(near(), json!(["Tarn Fel"]));
    kitchen.ok(&format!(
        "correct {wrong} --source \"Tarn Fell\" --reason typo"
    ));
    assert_eq!(near(), json!([]));
    assert!(kitchen.ok("trace --source \"Tarn Fell\"").contains("100 %"));
    // The correction was wrong: the other source has a lot again.
    let corrected = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {corrected} --reason \"it was that one\""));
    assert_eq!(near(), json!(["Tarn Fel"]));
}

#[test]
fn merged_sources_are_one_in_recall_usage_and_moisture_and_codes_stay() {
    let kitchen = Kitchen::new();
    let right = kitchen.json(&format!("{FELL} --source \"Tarn Fell\" --wet 4kg"))["lot"].clone();
    let wrong = kitchen.json(&format!(
        "{FELL} --source \"Tarn Fel\" --new-source --wet 5kg"
    ))["lot"]
        .clone();
    let words = kitchen.ok("trace --source \"Tarn Fell\"");
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains(wrong.as_str().unwrap()),
        "a recall takes both: {words}"
    );
    assert!(
        !words.contains("100 %") && words.contains("draff source merge"),
        "{words}"
    );
    let found = kitchen.json("trace --source \"Tarn Fel\"");
    assert_eq!(found["near_sources"], json!(["Tarn Fell"]));
    assert_eq!(found["balance"]["enough"], json!(false));
    kitchen.ok(&format!("moisture {} --lab 74%", wrong.as_str().unwrap()));
    for percent in [73, 74, 75, 76] {
        let lot =
            kitchen.json(&format!("{FELL} --source \"Tarn Fel\" --wet {percent}g"))["lot"].clone();
        kitchen.ok(&format!(
            "moisture {} --lab {percent}%",
            lot.as_str().unwrap()
        ));
    }
    let ran = kitchen.run("source merge \"Tarn Fel\" --into \"Tarn Fell\"");
    assert_eq!(ran.code, 0, "{}", ran.err);
    let found = kitchen.on_shelf(wrong.as_str().unwrap());
    assert_eq!(found["source"], "Tarn Fell");
    assert_eq!(found["lot"], wrong, "the code stays");
    let found = kitchen.json("trace --source \"Tarn Fel\"");
    assert_eq!(found["near_sources"], json!([]));
    assert_eq!(found["lots"].as_array().unwrap().len(), 6);
    assert!(kitchen.ok("trace --source \"Tarn Fell\"").contains("100 %"));
    // What was tested of one says what to expect of the other.
    let expected = kitchen.json(&format!("moisture {}", right.as_str().unwrap()));
    assert!(
        expected["from"].to_string().contains("earlier"),
        "{expected}"
    );
    let next = kitchen.json(&format!("{FELL} --source \"Tarn Fel\" --wet 1kg"));
    assert_eq!(
        next["lot"].as_str().unwrap()[..3],
        right.as_str().unwrap()[..3]
    );
    assert!(kitchen.ok("check").contains("whole"));
    let merge = kitchen.last_entry("source");
    kitchen.ok(&format!("strike {merge} --reason \"two houses\""));
    assert_eq!(
        kitchen.on_shelf(wrong.as_str().unwrap())["source"],
        "Tarn Fel"
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_source_is_renamed_and_found_by_both_names() {
    let kitchen = Kitchen::new();
    let lot = kitchen.json(&format!("{FELL} --source \"Tarn Fell\" --wet 4kg"))["lot"].clone();
    kitchen.ok("source rename \"Tarn Fell\" --to \"Old Tarn\"");
    assert_eq!(
        kitchen.on_shelf(lot.as_str().unwrap())["source"],
        "Old Tarn"
    );
    for name in ["Tarn Fell", "Old Tarn"] {
        assert_eq!(
            kitchen.json(&format!("trace --source \"{name}\""))["lots"]
                .as_array()
                .unwrap()
                .len(),
            1
        );
    }
    kitchen.ok(&format!("{FELL} --source \"Corrie Mill\" --wet 4kg"));
    let said = kitchen.refused(1, "source rename \"Corrie Mill\" --to \"old tarn\"");
    assert!(said.contains("draff source merge"), "{said}");
    let said = kitchen.refused(1, "source merge \"Tarn Fell\" --into \"Old Tarn\"");
    assert!(said.contains("one source already"), "{said}");
    kitchen.refused(1, "source rename Nobody --to Somebody");
    assert!(kitchen.ok("check").contains("whole"));
    assert!(kitchen.ok("log").contains("is called `Old Tarn`"));
}

#[test]
fn one_source_shows_its_lots_and_what_the_next_one_is_taken_to_be() {
    let kitchen = Kitchen::new();
    let nobody = kitchen.refused(1, "source show Nowhere");
    assert!(nobody.contains("Nowhere"), "{nobody}");
    let mut lots = Vec::new();
    for percent in [76, 77, 76, 78] {
        let lot = kitchen.json(&format!("{FELL} --source \"Tarn Fell\" --wet 4kg"))["lot"].clone();
        let code = lot.as_str().unwrap().to_owned();
        kitchen.ok(&format!("moisture {code} --lab {percent}%"));
        lots.insert(0, code);
    }
    kitchen.ok(&format!("{FELL} --source \"Corrie Mill\" --wet 4kg"));
    kitchen.ok(&format!("use {} 1kg --for rolls", lots[0]));
    let shown = kitchen.json("source show \"tarn fell\"");
    assert_eq!(shown["source"], "Tarn Fell");
    let listed: Vec<&str> = shown["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| lot["lot"].as_str().unwrap())
        .collect();
    assert_eq!(listed, lots);
    assert_eq!(shown["lots"][0]["wet_g"], json!(3000.0));
    let next = &shown["next_lots"][0];
    assert_eq!(
        (&next["form"], &next["source_lots"]),
        (&json!("whole"), &json!(4))
    );
    // A lot that comes in now is taken to be just that, with the same limits.
    let came = kitchen.json(&format!("{FELL} --source \"Tarn Fell\" --wet 4kg"));
    assert_eq!(came["moisture"], next["moisture"]);
    let why = kitchen.json(&format!("moisture {} --why", came["lot"].as_str().unwrap()));
    for key in [
        "source_lots",
        "limit_low_wet_basis",
        "limit_high_wet_basis",
        "odd_lots",
        "drift",
    ] {
        assert_eq!(why["why"][key], next[key], "{key}");
    }
    let words = kitchen.ok("source show \"Tarn Fell\"");
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("Next lot whole: ") && words.contains("ON HAND"),
        "{words}"
    );
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
    kitchen.lot_from("Alder Lane", "--wet 6kg");
    let of_corrow = kitchen.lot_from("Corrow Weir", "--wet 4kg");
    kitchen.ok("source merge \"Alder Lane\" --into \"Corrow Weir\"");
    let merge = kitchen.last_entry("source");
    let lot = kitchen.lot_from("Alder Lane", "--wet 3kg");
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
    let lot = kitchen.lot_from("Alder Lane", "--wet 6kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok("source rename \"Alder Lane\" --to \"Alder Street\"");
    kitchen.ok("source rename \"Alder Street\" --to \"Old Mill\"");
    let second = kitchen.last_entry("source");
    for name in ["Alder Lane", "alder street", "Old Mill"] {
        assert_eq!(came_from(&kitchen, name), 6_000.0, "{name}");
        let usage = kitchen.json(&format!("usage --source \"{name}\""));
        assert_eq!(usage["usage"].as_array().unwrap().len(), 1, "{name}");
    }
    let again = kitchen.lot_from("Alder Street", "--wet 2kg");
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
    let old = kitchen.lot_from("Alder Lane", "--wet 6kg");
    let new = kitchen.lot_from("Corrow Weir", "--wet 4kg");
    kitchen.ok("source rename \"Alder Lane\" --to \"Old Mill\"");
    kitchen.ok("source rename \"Corrow Weir\" --to \"Alder Lane\" --new-source");
    kitchen.ok("source rename \"Alder Lane\" --to \"Quern House\"");
    assert_eq!(kitchen.on_shelf(&old)["source"], "Old Mill");
    // A recall asks for what was ever called so too.
    assert_eq!(came_from(&kitchen, "Quern House"), 10_000.0);
    let trace = kitchen.json("trace --source \"Quern House\"");
    assert_eq!(trace["near_sources"], json!(["Alder Lane"]));
    assert_eq!(kitchen.on_shelf(&new)["source"], "Quern House");
}

#[test]
fn a_part_of_a_name_is_asked_back_and_a_word_of_every_house_is_not() {
    let kitchen = Kitchen::new();
    kitchen.lot_from("Corrow Weir", "--wet 4kg");
    for name in ["Corrow", "Weir Corrow", "The Weir Brewery"] {
        let said = kitchen.refused(
            1,
            &format!("pickup --source \"{name}\" --brewed 2026-11-20 --wet 1kg"),
        );
        has(&said, "--source 'Corrow Weir'");
        has(&said, "--new-source");
    }
    kitchen.lot_from("Hollow Ales", "--wet 4kg");
    kitchen.lot_from("The Tarn Ales", "--wet 4kg");
    kitchen.lot_from("Corrow 2", "--wet 4kg");
}

#[test]
fn a_recall_names_both_sources_that_may_be_one() {
    let kitchen = Kitchen::new();
    kitchen.lot("4kg");
    kitchen.ok(
        "pickup --source \"Alder Lanes\" --new-source --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 2kg",
    );
    let trace = one_line(&kitchen.ok("trace --source \"Alder Lane\""));
    let merge = "source merge 'Alder Lanes' --into 'Alder Lane'";
    has(&trace, &format!("If both are one: `draff {merge}`"));
    kitchen.ok(merge);
}
