//! `source`: near names are refused, sources are renamed and merged, and a recall finds all that may be meant.

use crate::env::{Kitchen, has};
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

#[test]
fn a_name_that_is_almost_another_is_told_when_it_comes_by_renaming() {
    let kitchen = Kitchen::new();
    for source in ["Tarn Fell", "Alder Lane"] {
        kitchen.pickup_from(source, "--brewed 2026-11-20 --mash-out 07:30 --wet 3kg");
    }
    let told = kitchen.told("source rename \"Alder Lane\" --to \"Tarn Fel\"");
    has(&told, "called almost like `Tarn Fell`");
    has(&told, "draff source merge 'Tarn Fel' --into 'Tarn Fell'");
}
