//! What the report, traces and the log say: sums that add up, one unit, who wrote what, which file, which formula.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::Value;

/// 4 kg and 500 g of water come to 4.45 kg, of which a count finds 4.53 kg.
#[test]
fn the_balance_of_a_report_adds_up_with_added_water_and_a_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T13:00:00Z");
    let blended = kitchen.json(&format!(
        "treat {lot} --step blend --wet-out 4.45kg --water-added 500g"
    ));
    let blended = blended["lot"].as_str().unwrap();
    kitchen.ok(&format!("count {blended} --wet 4.53kg"));
    kitchen.ok(&format!("use {blended} --wet 1kg --for buns"));
    let report = kitchen.json("report");
    let balance = &report["balance"][0];
    for (key, grams) in [
        ("added_in_treatments_wet_g", 500.0),
        ("lost_in_treatments_wet_g", 50.0),
        ("treatment_loss_wet_g", -450.0),
        ("missing_wet_g", -80.0),
    ] {
        assert_eq!(balance[key], grams, "{key}");
    }
    let words = kitchen.ok("report");
    let words = one_line(&words);
    has(
        &words,
        "4 kg came in with 1 lot, 0.5 kg of water was added in treatments, 0.08 kg more was found in counts. \
         1 kg (21.8 %) went into bakes, 0.05 kg (1.1 %) was lost in treatments, 3.53 kg is on hand at the end. \
         Balance closes to the milligram.",
    );
    has(&words, "Water added in treatments 0.5 kg");
    has(&words, "Lost in treatments 0.05 kg");
    has(&words, "Found missing (− found more) −0.08 kg");
}

#[test]
fn a_table_of_a_report_has_one_unit() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.ok(&format!("use {lot} --wet 200g --for buns"));
    let words = kitchen.ok("--us report");
    has(&words, "0.44 lb");
    for part in words.split("\n\n") {
        let units = [" lb", " oz", " g)"].into_iter();
        let named = units.filter(|unit| part.contains(unit)).count();
        assert!(named <= 1, "{part}");
    }
}

#[test]
fn a_correction_names_who_recorded_and_who_corrected() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.ok(&format!(
        "--by Ann discard {lot} --wet 1kg --reason dropped"
    ));
    let wrong = kitchen.last_entry("discard");
    kitchen.ok(&format!(
        "--by Bob correct {wrong} --wet 900g --reason misread"
    ));
    let again = kitchen.last_entry("discard");
    kitchen.ok(&format!(
        "--by Cyd correct {again} --wet 950g --reason misread"
    ));
    let trace = kitchen.ok(&format!("trace {lot}"));
    let trace = one_line(&trace);
    has(&trace, "discard: dropped, by Ann, corrected by Cyd");
    has(&trace, "by Ann; corrected by Cyd");
    let traced = kitchen.json(&format!("trace {lot}"));
    let end = &traced["ends"][0];
    assert_eq!(
        (&end["by"], &end["corrector"]),
        (&"Ann".into(), &"Cyd".into())
    );
    assert!(traced["lots"][0]["corrector"].is_null(), "{traced}");
    assert_eq!(kitchen.json("usage")["usage"][0]["by"], "Ann");
    // Each entry has its own writer still.
    let log = kitchen.json("log --kind discard");
    for (row, by) in log["entries"]
        .as_array()
        .unwrap()
        .iter()
        .zip(["Ann", "Bob", "Cyd"])
    {
        assert_eq!(row["by"], by);
    }
}

#[test]
fn a_trace_names_the_logger_files_of_where_the_grain_lay() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T12:30:00Z");
    for (place, name, reading) in [
        ("fridge", "walk-in.csv", "4"),
        ("freezer", "chest.csv", "-20"),
    ] {
        kitchen.file(
            name,
            format!("time,temp C\n2026-11-20 10:30,{reading}\n2026-11-20 11:30,{reading}\n"),
        );
        kitchen.ok(&format!("readings {place} --csv {name}"));
    }
    let entry = kitchen.last_entry("readings") - 1;
    let trace = kitchen.ok(&format!("trace {lot}"));
    let words = one_line(&trace);
    has(&words, "fridge; 2 readings from walk-in.csv");
    assert!(!words.contains("chest.csv"), "{trace}");
    let entries = kitchen.json(&format!("trace {lot}"))["entries"].clone();
    assert!(
        entries.as_array().unwrap().contains(&entry.into()),
        "{entries}"
    );
    // What is read of a time after the grain was used up says nothing of it.
    kitchen.ok(&format!("use {lot} --wet 4kg --for buns"));
    kitchen.at("2026-11-21T12:00:00Z");
    kitchen.file(
        "later.csv",
        "time,temp C\n2026-11-21 10:30,4\n2026-11-21 11:30,4\n",
    );
    kitchen.ok("readings fridge --csv later.csv");
    let trace = kitchen.ok(&format!("trace {lot}"));
    assert!(
        trace.contains("walk-in.csv") && !trace.contains("later.csv"),
        "{trace}"
    );
}

/// A formula is no entry, and the whole log says when each version came and from whom.
#[test]
fn the_whole_log_ends_with_the_formulas() {
    let kitchen = Kitchen::new();
    let first = LOAF;
    kitchen.file("loaf.toml", first);
    kitchen.ok("--by Ann formula add loaf.toml");
    kitchen.file("loaf.toml", first.replace("68%", "70%"));
    kitchen.ok("--by Bob formula add loaf.toml");
    let log = kitchen.json("log");
    let formulas = log["formulas"].as_array().unwrap();
    let told: Vec<_> = formulas
        .iter()
        .map(|one| {
            (
                one["formula"].as_str(),
                one["version"].as_u64(),
                one["by"].as_str(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            (Some("small loaf"), Some(1), Some("Ann")),
            (Some("small loaf"), Some(2), Some("Bob")),
        ]
    );
    assert_eq!(
        log["entries"].as_array().unwrap().len() as i64,
        kitchen.entries()
    );
    has(&kitchen.ok("log"), "small loaf");
    for part in ["log --last 2", "log --kind place"] {
        assert_eq!(kitchen.json(part)["formulas"], serde_json::json!([]));
        assert!(!kitchen.ok(part).contains("small loaf"), "{part}");
    }
}

#[test]
fn a_bake_that_is_planned_twice_is_told() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let bake = "bake add \"small loaf\" --at \"2026-11-22 15:00\" mix --pieces";
    kitchen.ok(&format!("{bake} 4"));
    assert!(!kitchen.told(&format!("{bake} 8")).contains("typed twice"));
    let told = kitchen.told(&format!("{bake} 4"));
    has(&told, "B-1S is the same, at the same time");
    has(&told, "draff bake drop B-3");
}

/// 4 kg and 500 g of water come to 4.45 kg: 500 g were added and 50 g lost.
#[test]
fn a_trace_shows_added_water_and_what_was_lost() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step blend --wet-out 4.45kg --water-added 500g"
    ));
    let trace = kitchen.ok(&format!("trace {lot}"));
    let line = one_line(&trace);
    has(&line, "lost in treatments 50 g");
    has(&line, "water added in treatments 500 g");
    has(&line, "Balance closes to the milligram");
}

#[test]
fn a_dough_of_two_lots_is_one_bake_of_the_report() {
    let mut kitchen = Kitchen::new();
    let one = kitchen.lot_from("Alder Lane", "--wet 6kg");
    let other = kitchen.lot_from("Corrow Weir", "--wet 4kg");
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
    let alder = kitchen.lot_from("Alder Lane", "--wet 10kg");
    let corrow = kitchen.lot_from("Corrow Weir", "--wet 6kg");
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
fn dry_grain_in_a_report_that_was_fed_is_not_called_thrown_away_alone() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.ok(&format!("discard {lot} --wet 1kg --as feed --reason hens"));
    kitchen.ok(&format!(
        "discard {lot} --wet 200g --as waste --reason spilt"
    ));
    let words = one_line(&kitchen.ok("report"));
    has(&words, "Fed to animals 1 kg Into the bin 0.2 kg");
    has(&words, "Dry, thrown away, composted, fed 0.264 kg");
}

/// Several sources, so many columns that each source stands as a list.
#[test]
fn a_list_of_a_report_has_a_space_behind_its_longest_name_and_one_minus() {
    let mut kitchen = Kitchen::new();
    for source in [
        "Alder Lane upper brewhouse",
        "Corrow Weir old brewhouse",
        "Tarn Fell harbour brewhouse",
    ] {
        let lot = kitchen.json(&format!(
            "pickup --source \"{source}\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 4kg"
        ))["lot"]
            .as_str()
            .unwrap()
            .to_owned();
        kitchen.ok(&format!("count {lot} --wet 4010g"));
    }
    kitchen.at("2026-11-20T10:10:00Z");
    let report = kitchen.ok("report");
    assert!(!report.contains("more)0"), "{report}");
    assert!(!report.contains("more)−"), "{report}");
    has(&one_line(&report), "Found missing (− found more) −0.01 kg");
}
