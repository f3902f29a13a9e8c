//! `bake`: planned, changed, dropped and done bakes.

use crate::env::{Kitchen, LOAF};
use crate::errors::transcript;
use serde_json::{Value, json};

/// A kitchen with a formula and a lot of 10 kg, Friday morning.
fn kitchen() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_loaf("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    (kitchen, lot)
}

fn of_lot(kitchen: &Kitchen, lot: &str) -> f64 {
    kitchen.on_shelf(lot)["wet_g"].as_f64().unwrap()
}

/// What a batch weighs of this kind in the stage of the grain, in grams.
fn beside_grain(batch: &Value, kind: &str) -> f64 {
    let stages = batch["stages"].as_array().unwrap().iter();
    let mut lines = stages.map(|stage| stage["lines"].as_array().unwrap());
    let of = |lines: &Vec<Value>, kind| lines.iter().find(|line| line["kind"] == kind).cloned();
    let stage = lines.find(|lines| of(lines, "grain").is_some()).unwrap();
    of(stage, kind).unwrap()["weigh_g"].as_f64().unwrap()
}

#[test]
fn a_bake_is_planned_changed_and_listed() {
    let (kitchen, lot) = kitchen();
    let added = kitchen.json(&format!(
        "bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6 --lot {lot} --optional"
    ));
    assert_eq!(added["bake"], "B-1S");
    assert_eq!(added["mix_at"], "2026-11-21T10:00:00+00:00");
    assert_eq!(added["state"], "planned");
    assert_eq!(added["firm"], false);
    assert_eq!(added["lots"][0]["lot"], lot.as_str());
    let changed =
        kitchen.json("bake change B-1S --pieces 8 --firm --any-lot --note \"for the market\"");
    assert_eq!(changed["pieces"], 8);
    assert_eq!(changed["firm"], true);
    assert_eq!(changed["lots"], json!([]));
    assert_eq!(changed["mix_at"], added["mix_at"], "what is left out stays");
    // Dry grain follows the pieces.
    let dry = |bake: &Value| bake["target_dry_g"].as_f64().unwrap();
    assert!((dry(&changed) / dry(&added) - 8.0 / 6.0).abs() < 1e-6);
    let listed = kitchen.json("bake list");
    let mut bare = changed;
    for of_the_act in ["cautions", "entry"] {
        bare.as_object_mut().unwrap().remove(of_the_act).unwrap();
    }
    assert_eq!(listed["bakes"], json!([bare]));
    kitchen.ok("bake drop B-1S --reason \"no market\"");
    assert_eq!(kitchen.json("bake list")["bakes"], json!([]));
    let all = kitchen.json("bake list --all");
    assert_eq!(all["bakes"][0]["state"], "dropped");
}

/// A bake keeps the version of its formula; a changed formula is another version.
#[test]
fn old_bakes_keep_their_version() {
    let (kitchen, _) = kitchen();
    kitchen.ok("bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6");
    let before = kitchen.json("bake show B-1S");
    kitchen.file(
        "loaf.toml",
        LOAF.replace("hydration = \"68%\"", "hydration = \"70%\""),
    );
    kitchen.ok("formula add loaf.toml");
    assert_eq!(kitchen.json("bake show B-1S"), before);
    kitchen.ok("bake add \"small loaf\" --at \"sat 11:00\" mix --pieces 6");
    assert_eq!(kitchen.json("bake show B-2Q")["version"], 2);
    let moved_on = kitchen.json("bake change B-1S --version 2");
    assert_eq!(moved_on["version"], 2);
}

#[test]
fn a_done_bake_draws_what_was_said_and_keeps_what_was_poured() {
    let (mut kitchen, lot) = kitchen();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --lot {lot}"
    ));
    kitchen.at("2026-11-20 15:00");
    let before = of_lot(&kitchen, &lot);
    let batch = kitchen.json(&format!("batch \"small loaf\" --pieces 6 --lot {lot}"));
    let weighed = |kind: &str| beside_grain(&batch, kind);
    let done = kitchen.json(
        "--by Ines bake done B-1S --water 700g --pieces 6 --baked 4.1kg --came-out well --note soft",
    );
    assert_eq!(done["state"], "done");
    let result = &done["result"];
    assert_eq!(result["mixed_at"], "2026-11-20T12:00:00+00:00");
    assert_eq!(
        result["draws"],
        json!([{"lot": lot, "wet_g": weighed("grain")}])
    );
    assert_eq!(result["said_pour_g"].as_f64(), Some(weighed("water")));
    assert_eq!(
        result["said_hold_back_g"].as_f64(),
        Some(weighed("held back"))
    );
    assert_eq!(result["water_g"], 700.0);
    assert_eq!(
        (&result["by"], &result["came_out"]),
        (&json!("Ines"), &json!("well"))
    );
    assert_eq!(of_lot(&kitchen, &lot), before - weighed("grain"));
    let usage = kitchen.json("usage");
    assert_eq!(usage["usage"][0]["bake"], "B-1S");
    assert_eq!(usage["usage"][0]["formula"], "small loaf");
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

/// A test and a scale that came after the grain was weighed out stood on no sheet: neither what it said nor what was taken
/// follows them. What was known then follows, whatever is typed later.
#[test]
fn a_sheet_said_what_was_known_when_the_grain_was_weighed_out() {
    let weighed = |late: &[&str]| -> Value {
        let (mut kitchen, lot) = kitchen();
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --lot {lot}"
        ));
        kitchen.at("2026-11-20 13:00");
        for act in late {
            let test = kitchen.last_entry("moisture").to_string();
            kitchen.ok(&act.replace("LOT", &lot).replace("TEST", &test));
        }
        kitchen.at("2026-11-20 15:00");
        let done = kitchen.json("bake done B-1S --water 700g");
        assert!(kitchen.ok("check").starts_with("The book is whole"));
        let result = &done["result"];
        let said = ["draws", "said_pour_g", "said_hold_back_g"];
        Value::from(said.map(|key| result[key].clone()).to_vec())
            .to_string()
            .replace(&lot, "LOT")
            .into()
    };
    let known = weighed(&[]);
    let later = [
        "strike TEST --reason \"of another tub\"",
        "moisture LOT --lab 70%",
        "settings scale 20g",
        "pickup --source \"Tarn Fell\" --brewed 2026-11-20 --mash-out 08:00 --cooled 09:30 --wet 5kg",
    ];
    for act in later {
        assert_eq!(weighed(&[act]), known, "{act}");
    }
    assert_eq!(weighed(&later), known);
    // Somebody who writes everything down in the evening is answered by what the book knows then.
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6");
    kitchen.at("2026-11-20 20:00");
    let lot = kitchen.pickup(
        "--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 10kg --collected \"2026-11-20 10:00\"",
    );
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    let done = kitchen.json(&format!("bake done B-1S --used {lot}=1200g"));
    let known = kitchen.json(&format!("batch \"small loaf\" --pieces 6 --lot {lot}"));
    assert_eq!(done["result"]["said_pour_g"], beside_grain(&known, "water"));
}

/// `use` and then `bake done` would take a dough off twice: it is told, with what to strike.
#[test]
fn grain_that_was_used_for_the_bake_already_is_told() {
    let (mut kitchen, lot) = kitchen();
    kitchen.ok("bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6");
    kitchen.at("2026-11-20 12:30");
    kitchen.ok(&format!("use {lot} --wet 900g --for \"Small loaf\""));
    let entry = kitchen.last_entry("use");
    kitchen.at("2026-11-20 15:00");
    let told = format!(
        "900 g of {lot} on Fri 20 Nov 12:30 went by `draff use` into bread of this name. If it was B-1S, it is not to be taken off twice: `draff strike {entry} --reason \"it was B-1S\"`"
    );
    let refused = kitchen.refused(1, "bake done B-1S");
    assert!(refused.contains(&told), "{refused}");
    let warned = kitchen.told(&format!("bake done B-1S --used {lot}=900g"));
    assert!(warned.contains(&told), "{warned}");
    // Of another day, or for other bread, it is nothing to do with it.
    let (mut kitchen, lot) = self::kitchen();
    kitchen.ok("bake add \"small loaf\" --at \"sat 12:00\" mix --pieces 6");
    kitchen.ok(&format!("use {lot} --wet 900g --for \"small loaf\""));
    kitchen.at("2026-11-21 15:00");
    kitchen.ok(&format!("use {lot} --wet 900g --for rolls"));
    let warned = kitchen.told(&format!("bake done B-1S --used {lot}=900g"));
    assert!(!warned.contains("draff use"), "{warned}");
}

/// What really went in counts, of several lots in one act: all of it is drawn or nothing.
#[test]
fn what_was_used_is_drawn_in_one_act() {
    let (mut kitchen, lot) = kitchen();
    let other = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:00 --cooled 09:00 --wet 300g");
    kitchen.ok("bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6");
    kitchen.at("2026-11-20 15:00");
    let refused = kitchen.refused(
        1,
        &format!("bake done B-1S --used {lot}=200g --used {other}=301g"),
    );
    assert!(refused.contains("has 300 g left"), "{refused}");
    kitchen.ok(&format!(
        "bake done B-1S --used {lot}=200g --used {other}=300g"
    ));
    assert_eq!(of_lot(&kitchen, &lot), 9800.0);
    let again = kitchen.refused(1, &format!("bake done B-1S --used {lot}=1g"));
    assert!(again.contains("is done already"), "{again}");
}

/// Striking what a bake came to takes its draws back, and then it may be written down again.
#[test]
fn a_done_bake_is_corrected_by_a_strike() {
    let (mut kitchen, lot) = kitchen();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --lot {lot}"
    ));
    kitchen.at("2026-11-20 15:00");
    kitchen.ok("bake done B-1S");
    let draw = kitchen.last_entry("use");
    let refused = kitchen.refused(1, &format!("strike {draw} --reason wrong"));
    assert!(refused.contains("grain of bake `B-1S`"), "{refused}");
    let setting = kitchen.last_entry("bake");
    kitchen.refused(1, &format!("strike {setting} --reason wrong"));
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason \"it was 500 g\""));
    assert_eq!(of_lot(&kitchen, &lot), 10_000.0);
    assert_eq!(kitchen.json("bake show B-1S")["state"], "overdue");
    kitchen.ok(&format!("bake done B-1S --used {lot}=500g"));
    assert_eq!(of_lot(&kitchen, &lot), 9_500.0);
    assert!(kitchen.ok("check").starts_with("The book is whole"));
    let log = kitchen.ok("log B-1S");
    assert!(log.contains("STRUCK by entry"), "{log}");
}

/// A dropped bake comes back when that is struck; what a bake is to be goes back to what it was before.
#[test]
fn other_entries_about_a_bake_are_struck_too() {
    let (kitchen, _) = kitchen();
    kitchen.ok("bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6");
    let first = kitchen.last_entry("bake");
    let refused = kitchen.refused(1, &format!("strike {first} --reason wrong"));
    assert!(refused.contains("draff bake drop B-1S"), "{refused}");
    kitchen.ok("bake change B-1S --pieces 9");
    let second = kitchen.last_entry("bake");
    kitchen.ok(&format!("strike {second} --reason wrong"));
    assert_eq!(kitchen.json("bake show B-1S")["pieces"], 6);
    kitchen.ok("bake drop B-1S");
    let dropped = kitchen.last_entry("drop");
    kitchen.ok(&format!("strike {dropped} --reason wrong"));
    assert_eq!(kitchen.json("bake list")["bakes"][0]["bake"], "B-1S");
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

/// The measured dough counts for the next one. The book has told of tap and room, and the grain is as cold as
/// the fridge is stated to be.
#[test]
fn a_measured_dough_corrects_the_mixing_heat() {
    let (mut kitchen, lot) = kitchen();
    kitchen.ok("settings tap 20C");
    kitchen.ok("settings room 21C");
    let water = |kitchen: &Kitchen| {
        let batch = kitchen.json(&format!(
            "batch \"small loaf\" --pieces 6 --share 5% --lot {lot}"
        ));
        let water = batch["water_temperature"].clone();
        (
            water["water_c"].as_f64().unwrap(),
            water["mixing_rise_k"].as_f64().unwrap(),
        )
    };
    let (before, stated) = water(&kitchen);
    assert_eq!(stated, 6.0);
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --share 5% --lot {lot}"
    ));
    kitchen.at("2026-11-20 15:00");
    let done = kitchen.json("bake done B-1S --dough-temp 27C");
    // The water was as warm as said, for a dough of 26 °C: a degree more came from mixing.
    let rise = done["result"]["mixing_rise_k"].as_f64().unwrap();
    assert!((rise - 7.0).abs() < 0.05, "{rise}");
    let (after, learned) = water(&kitchen);
    assert!((learned - rise).abs() < 1e-3);
    assert!(after < before, "{after} is colder than {before}");
    // And it is forgotten with the entry that it came from.
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason \"read it wrong\""));
    assert_eq!(water(&kitchen), (before, stated));
}

/// Without the other temperatures nothing is learned, and that is said.
#[test]
fn a_dough_measured_alone_teaches_nothing() {
    let (mut kitchen, lot) = kitchen();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --lot {lot}"
    ));
    kitchen.at("2026-11-20 15:00");
    let ran = kitchen.run("--json bake done B-1S --dough-temp 27C");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("is not learned from it"), "{}", ran.err);
    let done: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(done["result"]["measured_dough_c"], 27.0);
    assert_eq!(done["result"]["mixing_rise_k"], json!(null));
}

/// Grain that is good today may be past by the time of mixing, and the other way round grain that was in
/// order then may be written down late.
#[test]
fn the_clock_is_asked_for_the_time_of_mixing() {
    let (mut kitchen, lot) = kitchen();
    let refused = kitchen.refused(
        1,
        &format!("bake add \"small loaf\" --at \"2026-11-27 10:00\" mix --lot {lot} --pieces 6"),
    );
    assert!(
        refused.contains("is past, so it may not be used as food"),
        "{refused}"
    );
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-26 10:00\" mix --lot {lot} --pieces 6"
    ));
    kitchen.at("2026-11-28 08:00");
    let refused = kitchen.refused(1, "bake done B-1S --at now");
    assert!(refused.contains("is past"), "{refused}");
    let ran = kitchen.run("bake done B-1S");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.err
            .contains("When this grain left it, it might still be used; no more"),
        "{}",
        ran.err
    );
}

#[test]
fn a_lot_not_yet_shown_cold_is_pointed_out() {
    let (kitchen, _) = kitchen();
    let hot = kitchen.pickup("--brewed 2026-11-20 --mash-out 08:30 --temp 63C --wet 5kg");
    let ran = kitchen.run(&format!(
        "bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6 --lot {hot}"
    ));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("as things stand"), "{}", ran.err);
}

#[test]
fn bakes_that_cannot_be_are_refused() {
    let (kitchen, lot) = kitchen();
    let spent = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:00 --cooled 09:00 --wet 1kg");
    kitchen.ok(&format!("discard {spent} --reason spilt"));
    kitchen.ok("bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6");
    let add = |rest: &str| format!("bake add \"small loaf\" {rest}");
    let lines: Vec<(i32, String)> = vec![
        (2, add("--pieces 6")),
        (2, add("--at \"sat 10:00\" --pieces 6")),
        (2, add("--at \"sat 10:00\" soon --pieces 6")),
        (2, add("--at sat mix --pieces 6")),
        (2, add("--at \"sat 10:00\" mix --pieces 0")),
        (2, add("--at \"sat 10:00\" mix --pieces 6 --piece 4")),
        (
            2,
            add("--at \"sat 10:00\" mix --pieces 6 --firm --optional"),
        ),
        (
            2,
            add(&format!(
                "--at \"sat 10:00\" mix --pieces 6 --lot {lot} --lot {lot}"
            )),
        ),
        (2, add("--at \"2026-10-25 01:30\" mix --pieces 6")),
        (1, add("--at \"sat 10:00\" mix --pieces 6 --share 45%")),
        (1, add("--at \"sat 10:00\" mix --pieces 1 --piece 1g")),
        (
            1,
            add("--at \"sat 10:00\" mix --pieces 6 --lot ALD-261120-9X"),
        ),
        (
            1,
            add(&format!("--at \"sat 10:00\" mix --pieces 6 --lot {spent}")),
        ),
        (
            1,
            add(&format!(
                "--at \"2026-11-20 08:00\" mix --pieces 6 --lot {lot}"
            )),
        ),
        (
            1,
            add(&format!(
                "--at \"sat 10:00\" mix --pieces 6 --lot {lot} --free-of wheat"
            )),
        ),
        (1, "bake add \"no loaf\" --at \"sat 10:00\" mix".to_owned()),
        (1, "bake show B-17".to_owned()),
        (1, "bake show B-2Q".to_owned()),
        (1, "bake change B-1S --version 7".to_owned()),
        (
            2,
            "bake change B-1S --any-lot --lot ALD-261120-1T".to_owned(),
        ),
        (1, "bake done B-1S".to_owned()),
        (2, format!("bake done B-1S --used {lot}")),
        (2, format!("bake done B-1S --used {lot}=500")),
        (
            2,
            format!("bake done B-1S --used {lot}=500g --used {lot}=1g"),
        ),
        (
            2,
            format!("bake done B-1S --used {lot}=500g --came-out splendid"),
        ),
        (2, format!("bake done B-1S --used {lot}=500g --tap 12C")),
        (
            1,
            format!("bake done B-1S --used {lot}=500g --at \"2026-11-21 10:00\""),
        ),
        (1, format!("bake done B-1S --used {lot}=11kg")),
    ];
    let lines: Vec<(i32, &str)> = lines
        .iter()
        .map(|(code, line)| (*code, line.as_str()))
        .collect();
    transcript(&kitchen, "bakes", &lines);
}

/// A bake free of wheat gets no spelt, which is wheat (Regulation (EU) No 1169/2011, Annex II), and no grain of
/// which not all is told; neither when a lot is named nor when the sheet looks for one.
#[test]
fn what_may_hold_a_cereal_goes_into_no_bake_free_of_it() {
    let (kitchen, _) = kitchen();
    let of = |grist: &str| {
        kitchen.pickup(&format!(
            "--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 10kg --grist \"{grist}\""
        ))
    };
    let doubtful = [
        of("barley malt 90%, spelt malt 10%"),
        of("pale malt 100%"),
        of("barley malt 80%"),
    ];
    let add = "bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6 --free-of wheat";
    for lot in &doubtful {
        let refused = kitchen.refused(1, &format!("{add} --lot {lot}"));
        assert!(
            refused.contains("not known to be free of wheat"),
            "{refused}"
        );
    }
    kitchen.ok(add);
    let none = kitchen.ok("sheet B-1S");
    assert!(doubtful.iter().all(|lot| !none.contains(lot)), "{none}");
    let barley = of("barley malt 100%");
    assert!(kitchen.ok("sheet B-1S").contains(&barley));
    kitchen.ok(&format!("{add} --lot {barley}"));
}
