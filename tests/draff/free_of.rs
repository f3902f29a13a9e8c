//! What a bake must be free of: which words are understood, and what is said where the grain may hold it after all.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::json;

pub const ADD: &str = "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4";

/// A kitchen with the small loaf and a lot of this grist.
pub fn with_grist(grist: &str) -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot_from("Alder Lane", &format!("--wet 6kg --grist \"{grist}\""));
    (kitchen, lot)
}

/// Regulation (EU) No 1169/2011, Annex II, point 1.
#[test]
fn free_of_gluten_takes_no_cereal_with_gluten() {
    for grist in [
        "pale barley malt 90%, wheat malt 10%",
        "rye malt 100%",
        "oats 100%",
        "rice 90%, kamut 10%",
        "maize, durum",
        "pale malt",
    ] {
        let (kitchen, lot) = with_grist(grist);
        for asked in ["gluten", "\"cereals with gluten\""] {
            let refused = kitchen.refused(1, &format!("{ADD} --free-of {asked} --lot {lot}"));
            has(&refused, "not known to be free of");
        }
    }
    let (kitchen, lot) = with_grist("rice 60%, maize 40%");
    kitchen.ok(&format!("{ADD} --free-of gluten --lot {lot}"));
}

#[test]
fn kamut_and_durum_are_one_allergen() {
    let (kitchen, lot) = with_grist("pale barley malt 90%, durum malt 10%");
    kitchen.refused(1, &format!("{ADD} --free-of kamut --lot {lot}"));
}

#[test]
fn a_word_that_is_no_cereal_or_allergen_is_refused_with_what_is_known() {
    let (kitchen, lot) = with_grist("pale barley malt 90%, wheat malt 10%");
    let before = kitchen.entries();
    for (asked, near) in [
        ("whaet", "`wheat`"),
        ("cereal", "gluten"),
        ("Weizen", "spelt"),
    ] {
        let refused = kitchen.refused(2, &format!("{ADD} --free-of {asked} --lot {lot}"));
        has(
            &refused,
            &format!("--free-of: `{asked}` is no known cereal"),
        );
        has(&refused, near);
    }
    assert_eq!(kitchen.entries(), before);
    kitchen.ok(ADD);
    kitchen.refused(2, "bake change B-1S --free-of whaet");
    kitchen.ok("bake change B-1S --free-of sesame");
}

#[test]
fn a_trace_of_gluten_finds_every_lot_that_holds_it() {
    let (kitchen, lot) = with_grist("rice 90%, spelt malt 10%");
    let rice = kitchen.lot_from("Tarn Fell", "--wet 4kg --grist \"rice 100%\"");
    let trace = kitchen.json("trace --grist gluten");
    let lots = trace["lots"].as_array().unwrap();
    assert!(lots.iter().any(|one| one["lot"] == lot), "{lots:?}");
    assert!(lots.iter().all(|one| one["lot"] != rice), "{lots:?}");
    has(
        &one_line(&kitchen.ok("trace --grist gluten")),
        "everything with gluten or wheat or spelt",
    );
}

#[test]
fn a_trace_takes_the_words_that_a_bake_takes() {
    let (kitchen, wheat) = with_grist("wheat malt 100%");
    let oats = kitchen.lot_from("Tarn Fell", "--wet 4kg --grist \"pale malt 50%, oats 50%\"");
    let pale = kitchen.lot_from("Bracken", "--wet 4kg --grist \"pale malt 100%\"");
    let rice = kitchen.lot_from("Corrie", "--wet 4kg --grist \"rice 100%\"");
    for (asked, named) in [
        ("wheat and oats", [true, true]),
        ("wheat, oats", [true, true]),
        ("oat malt", [false, true]),
        ("oats", [false, true]),
        ("wheat malt", [true, false]),
    ] {
        let trace = kitchen.json(&format!("trace --grist \"{asked}\""));
        let lots = trace["lots"].as_array().unwrap();
        let may_hold = trace["may_hold"].as_array().unwrap();
        let is_found = |lot: &String| lots.iter().any(|one| one["lot"] == *lot);
        let may = |lot: &String| may_hold.iter().any(|one| one == lot);
        for (lot, is_named) in [&wheat, &oats].into_iter().zip(named) {
            assert_eq!(is_found(lot) && !may(lot), is_named, "{asked}: {trace}");
        }
        assert!(is_found(&pale) && may(&pale), "{asked}: {trace}");
        assert!(!is_found(&rice), "{asked}: {trace}");
    }
}

#[test]
fn a_trace_of_a_mistyped_cereal_is_refused_and_the_name_of_a_malt_is_not() {
    let (kitchen, lot) = with_grist("wheat malt 90%, roasted barley 10%");
    for (asked, near) in [("whaet", "`wheat`"), ("cereal", "gluten")] {
        let refused = kitchen.refused(1, &format!("trace --grist {asked}"));
        has(&refused, &format!("--grist: `{asked}` is no known cereal"));
        has(&refused, near);
    }
    has(&kitchen.ok("trace --grist roasted"), &lot);
    has(
        &kitchen.refused(1, "trace --grist sugar"),
        "`sugar` is no known cereal",
    );
    // A word that a grist has is right.
    let odd = kitchen.lot_from("Tarn Fell", "--wet 4kg --grist \"whaet 100%\"");
    has(&kitchen.ok("trace --grist whaet"), &odd);
}

/// Only one thing is kept that a bake must be free of.
#[test]
fn what_a_change_drops_is_told() {
    let (kitchen, _) = with_grist("rice 100%");
    kitchen.ok(&format!("{ADD} --free-of wheat"));
    let told = kitchen.told("bake change B-1S --free-of oats");
    has(
        &told,
        "warning: B-1S is no longer free of wheat, only of oats",
    );
    has(&told, "draff bake change B-1S --free-of 'wheat and oats'");
    let told = kitchen.told("bake change B-1S --free-of 'wheat and oats'");
    assert!(!told.contains("no longer"), "{told}");
    let told = kitchen.told("bake change B-1S --free-of gluten");
    assert!(!told.contains("no longer"), "{told}");
    let told = kitchen.told("bake change B-1S --pieces 5");
    assert!(!told.contains("no longer"), "{told}");
}

/// The mark stands in every answer about the bake, and in a list with no other word of it.
#[track_caller]
fn is_marked(kitchen: &Kitchen, lot: &str, holds: &str) {
    let mark = format!("{holds} though it was to be free of it, as known now: {lot}");
    for ask in [
        "bake show B-1S",
        "trace B-1S",
        &format!("trace {lot}"),
        "report",
    ] {
        has(&one_line(&kitchen.ok(ask)), &mark);
    }
    has(
        &one_line(&kitchen.ok("bake list --all")),
        &format!("small loaf, done, {holds}"),
    );
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(shown["not_free_lots"], json!([lot]));
    let traced = kitchen.json("trace B-1S");
    assert_eq!(traced["bakes"][0]["not_free_of"], "wheat");
    assert_eq!(traced["bakes"][0]["not_free_lots"], json!([lot]));
    let report = kitchen.json("report");
    assert_eq!(report["bakes"][0]["not_free_of"], "wheat");
    let csv = kitchen.ok("trace B-1S --csv -");
    assert!(csv.lines().any(|row| row.ends_with(",wheat")), "{csv}");
}

/// A bake free of wheat, done with grain of barley. Gives its lot, the entry of its pickup and a lot of wheat.
fn baked_of_barley() -> (Kitchen, String, i64, String) {
    let (mut kitchen, lot) = with_grist("pale barley malt 100%");
    let pickup = kitchen.last_entry("pickup");
    let wheat = kitchen.lot_from("Tarn Fell", "--wet 6kg --grist \"wheat malt 100%\"");
    kitchen.ok(&format!("{ADD} --free-of wheat --lot {lot}"));
    kitchen.at("2026-11-20T12:10:00Z");
    kitchen.ok("bake done B-1S");
    let shown = kitchen.ok("bake show B-1S");
    assert!(!shown.contains("HOLD"), "{shown}");
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(shown["not_free_lots"], json!([]));
    (kitchen, lot, pickup, wheat)
}

#[test]
fn a_bake_stays_marked_once_its_grain_turns_out_to_be_another_lot() {
    let (kitchen, _, _, wheat) = baked_of_barley();
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {used} --lot {wheat} --reason slip"));
    is_marked(&kitchen, &wheat, "HOLDS WHEAT");
}

#[test]
fn a_bake_stays_marked_once_its_grist_is_corrected() {
    for (grist, holds) in [
        ("spelt malt 100%", "HOLDS WHEAT"),
        ("pale malt 100%", "MAY HOLD WHEAT"),
    ] {
        let (kitchen, lot, pickup, _) = baked_of_barley();
        kitchen.ok(&format!(
            "correct {pickup} --grist \"{grist}\" --reason slip"
        ));
        is_marked(&kitchen, &lot, holds);
    }
}

#[test]
fn an_open_bake_is_marked_too() {
    let (kitchen, lot) = with_grist("pale barley malt 100%");
    kitchen.ok(&format!("{ADD} --free-of wheat --lot {lot}"));
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --grist \"wheat malt 100%\" --reason slip"
    ));
    has(
        &one_line(&kitchen.ok("bake show B-1S")),
        "HOLDS WHEAT though it is to be free of it",
    );
    has(&one_line(&kitchen.ok("bake list")), "HOLDS WHEAT");
}
