//! Older books hold grain of a bake under its code as a text: a trace of the bake, a recall, a report, usage and the log of
//! the bake take it in.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::{Value, json};

/// A book of an earlier version: B-1S, free of wheat, was done with 400 g of barley at 12:00, and B-2Q is still open. Wheat
/// was used at 12:30 for each of these texts, a kilogram each. Gives the lots of barley and wheat.
fn older(texts: &[&str]) -> (Kitchen, String, String) {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let barley = kitchen.lot_from("Alder Lane", "--wet 6kg --grist \"barley malt 100%\"");
    let wheat = kitchen.lot_from("Corrow Weir", "--wet 6kg --grist \"wheat malt 100%\"");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4 --lot {barley} --free-of wheat"
    ));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 16:00\" mix --pieces 4");
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("bake done B-1S --used {barley}=400g"));
    let mut entries = Vec::new();
    for _ in texts {
        kitchen.ok(&format!("use {wheat} 1kg --for rolls"));
        entries.push(kitchen.last_entry("use"));
    }
    kitchen.past_the_triggers(|book| {
        for (text, entry) in texts.iter().zip(&entries) {
            let changed = book.execute(
                "UPDATE entry SET words = ?1 WHERE id = ?2",
                rusqlite::params![text, entry],
            );
            assert_eq!(changed.unwrap(), 1);
        }
    });
    kitchen.chain_anew();
    (kitchen, barley, wheat)
}

#[track_caller]
fn bake<'a>(trace: &'a Value, code: &str) -> &'a Value {
    let bakes = trace["bakes"].as_array().unwrap();
    let mut found = bakes.iter().filter(|bake| bake["bake"] == code);
    let one = found.next().unwrap_or_else(|| panic!("{code}: {trace}"));
    assert!(found.next().is_none(), "{code} once: {trace}");
    one
}

#[test]
fn a_trace_of_the_bake_finds_grain_under_its_code_however_that_is_written() {
    for text in ["B-1S", " b-1s ", "b1s", "bake B-1S"] {
        let (kitchen, barley, wheat) = older(&[text]);
        for asked in ["B-1S", "b1s", "\"bake B-1S\""] {
            let trace = kitchen.json(&format!("trace {asked}"));
            let found = bake(&trace, "B-1S");
            assert_eq!(found["wet_g"], 1400.0, "{text}, {asked}");
            assert_eq!(found["of_lots"], json!([barley, wheat]), "{text}, {asked}");
            assert_eq!(found["formula"], "small loaf");
            assert_eq!(found["not_free_of"], "wheat");
            assert_eq!(found["not_free_lots"], json!([wheat]));
            assert_eq!(trace["bakes"].as_array().unwrap().len(), 1);
        }
        has(&one_line(&kitchen.ok("trace B-1S")), &wheat);
    }
}

#[test]
fn a_recall_names_the_bake_with_all_its_grain() {
    let (kitchen, _, wheat) = older(&["B-1S", "b1s", "rolls"]);
    for asked in [
        "trace --grist wheat".to_owned(),
        "trace --source \"Corrow Weir\"".to_owned(),
        format!("trace {wheat}"),
    ] {
        let trace = kitchen.json(&asked);
        let found = bake(&trace, "B-1S");
        assert_eq!(found["wet_g"], 2000.0, "{asked}");
        assert_eq!(found["not_free_of"], "wheat", "{asked}");
        assert_eq!(bake(&trace, "rolls")["wet_g"], 1000.0, "{asked}");
        assert_eq!(trace["balance"]["used_g"], 3000.0, "{asked}");
        assert_eq!(trace["balance"]["difference_g"], 0.0, "{asked}");
    }
    let csv = kitchen.ok(&format!("trace {wheat} --csv -"));
    assert_eq!(csv.matches(",B-1S,small loaf,").count(), 2, "{csv}");
}

#[test]
fn a_report_counts_it_to_the_bake() {
    let (kitchen, _, _) = older(&["b1s"]);
    let report = kitchen.json("report");
    let words = report.to_string();
    assert!(!words.contains("\"b1s\""), "{words}");
    let breads = report["breads"].as_array().unwrap();
    assert_eq!(breads.len(), 1, "{breads:?}");
    assert_eq!(breads[0]["formula"], "small loaf");
    assert_eq!(breads[0]["wet_g"], 1400.0);
    assert_eq!(breads[0]["bakes"], 1);
    has(&one_line(&kitchen.ok("report")), "B-1S");
}

#[test]
fn a_bake_that_is_not_done_is_traced_where_grain_was_used_for_it() {
    let (kitchen, _, wheat) = older(&["B-2Q"]);
    let trace = kitchen.json("trace B-2Q");
    assert_eq!(bake(&trace, "B-2Q")["of_lots"], json!([wheat]));
    let (kitchen, _, _) = older(&[]);
    has(&kitchen.refused(1, "trace B-2Q"), "is not done");
}

#[test]
fn a_text_that_holds_more_or_is_the_code_of_no_bake_is_only_a_name() {
    for text in ["B-1S rolls", "rolls for B-1S", "B-2R", "B-3O"] {
        let (kitchen, barley, wheat) = older(&[text]);
        let trace = kitchen.json("trace B-1S");
        assert_eq!(bake(&trace, "B-1S")["of_lots"], json!([barley]), "{text}");
        let trace = kitchen.json(&format!("trace {wheat}"));
        assert_eq!(bake(&trace, text)["formula"], Value::Null, "{text}");
    }
}

#[test]
fn usage_names_the_bake_and_its_formula() {
    let (kitchen, _, wheat) = older(&[" b1s ", "rolls"]);
    let usage = kitchen.json(&format!("usage --lot {wheat}"));
    let lines = usage["usage"].as_array().unwrap();
    assert_eq!(lines[0]["bake"], "B-1S", "{usage}");
    assert_eq!(lines[0]["formula"], "small loaf", "{usage}");
    assert_eq!(lines[1]["bake"], "rolls", "{usage}");
    has(&kitchen.ok("usage"), "B-1S, small loaf");
}

#[test]
fn the_log_of_the_bake_has_the_use() {
    let (kitchen, _, _) = older(&["bake B-1S", "rolls"]);
    let log = kitchen.json("log B-1S");
    let kinds: Vec<&str> = log["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|entry| entry["kind"].as_str())
        .collect();
    assert_eq!(kinds, ["bake", "use", "baked", "use"]);
    let last = kitchen.json("log B-1S --kind use --last 1");
    assert_eq!(last["entries"][0]["entry"], log["entries"][3]["entry"]);
    assert_eq!(
        kitchen.json("log B-2Q")["entries"]
            .as_array()
            .unwrap()
            .len(),
        1
    );
}

#[test]
fn a_bake_that_is_struck_tells_of_the_use_that_still_counts_for_it() {
    let (kitchen, _, wheat) = older(&["b1s"]);
    let used = kitchen.last_entry("use");
    let done = kitchen.last_entry("baked");
    let told = kitchen.told(&format!("strike {done} --reason slip"));
    has(&told, &format!("1 kg of {wheat} on "));
    has(
        &told,
        &format!("`draff strike {used} --reason \"it was B-1S\"`"),
    );
    kitchen.ok(&format!("strike {used} --reason \"it was B-1S\""));
    has(&kitchen.refused(1, "trace B-1S"), "is not done");
}
