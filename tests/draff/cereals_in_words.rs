//! A recall and a bake find the known cereal in the words in which people name grain, such as malted wheat.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::json;

const ADD: &str = "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4";

/// What is typed, and the cereal as which it is read.
const READ: [(&str, &str); 13] = [
    ("malted wheat", "wheat"),
    ("whole wheat", "wheat"),
    ("wheats", "wheat"),
    ("wheat malts", "wheat"),
    ("wheat 50%", "wheat"),
    ("wheat flour", "wheat"),
    ("flaked oats", "oats"),
    ("oat flakes", "oats"),
    ("oatmeal", "oats"),
    ("barley flour", "barley"),
    ("roasted barley", "barley"),
    ("rye bread", "rye"),
    ("malted wheat and flaked oats", "wheat and oats"),
];

/// A kitchen with the small loaf, and a lot of each of these grists.
fn with_grists<const N: usize>(grists: [&str; N]) -> (Kitchen, [String; N]) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lots = grists
        .map(|grist| kitchen.lot_from("Alder Lane", &format!("--wet 2kg --grist \"{grist}\"")));
    (kitchen, lots)
}

#[test]
fn a_recall_finds_the_cereal_in_the_words() {
    let (kitchen, _) = with_grists([
        "durum 100%",
        "spelt 100%",
        "emmer malt 100%",
        "oat malt 100%",
        "barley malt 100%",
        "rye malt 100%",
        "malt 100%",
        "rice 100%",
    ]);
    for (asked, read) in READ {
        let trace = kitchen.json(&format!("trace --grist \"{asked}\""));
        let of_cereal = kitchen.json(&format!("trace --grist \"{read}\""));
        assert_eq!(trace["lots"], of_cereal["lots"], "{asked}");
        assert_eq!(trace["may_hold"], of_cereal["may_hold"], "{asked}");
        let told = one_line(&kitchen.told(&format!("trace --grist \"{asked}\"")));
        has(&told, &format!("`{asked}` is read as {read}"));
        assert!(!told.contains("no grist"), "{told}");
    }
}

#[test]
fn a_recall_of_malted_wheat_finds_all_its_kinds_and_what_may_hold_it() {
    let (kitchen, [durum, spelt, emmer, oats, pale]) = with_grists([
        "durum 100%",
        "spelt 100%",
        "emmer malt 100%",
        "oat malt 100%",
        "malt 100%",
    ]);
    let trace = kitchen.json("trace --grist \"malted wheat\"");
    let lots = trace["lots"].as_array().unwrap();
    let codes: Vec<&str> = lots.iter().filter_map(|one| one["lot"].as_str()).collect();
    assert_eq!(codes, [&durum, &spelt, &emmer, &pale].map(String::as_str));
    assert!(!codes.contains(&oats.as_str()), "{codes:?}");
    assert_eq!(trace["may_hold"], json!([pale]));
    // What is known as it stands is not told.
    let told = kitchen.told("trace --grist wheat");
    assert!(!told.contains("read as"), "{told}");
}

#[test]
fn a_bake_is_free_of_the_cereal_in_the_words() {
    for (asked, read) in READ {
        let (kitchen, [wheat, oats, barley, rye, rice]) = with_grists([
            "spelt 100%",
            "oat malt 100%",
            "barley malt 100%",
            "rye malt 100%",
            "rice 100%",
        ]);
        for (cereal, lot) in [
            ("wheat", wheat),
            ("oats", oats),
            ("barley", barley),
            ("rye", rye),
        ] {
            if read.contains(cereal) {
                let add = format!("{ADD} --free-of \"{asked}\" --lot {lot}");
                has(
                    &one_line(&kitchen.refused(1, &add)),
                    &format!("not known to be free of {read}"),
                );
            }
        }
        let add = format!("{ADD} --free-of \"{asked}\" --lot {rice}");
        has(
            &one_line(&kitchen.told(&add)),
            &format!("warning: `{asked}` is read as {read}"),
        );
        assert_eq!(kitchen.json("bake show B-1S")["free_of"], read, "{asked}");
    }
}

#[test]
fn a_changed_bake_is_free_of_the_cereal_in_the_words() {
    let (kitchen, _) = with_grists(["rice 100%"]);
    kitchen.ok(ADD);
    let told = kitchen.told("bake change B-1S --free-of oatmeal");
    has(&told, "`oatmeal` is read as oats");
    assert_eq!(kitchen.json("bake show B-1S")["free_of"], "oats");
    let told = kitchen.told("bake change B-1S --pieces 5");
    assert!(!told.contains("read as"), "{told}");
}

#[test]
fn words_with_no_known_cereal_are_refused_with_the_known_names_and_the_malts_of_the_book() {
    let (kitchen, [_, odd]) = with_grists(["pale malt 90%, oat malt 10%", "dextrin malt 100%"]);
    for asked in [
        "whaet",
        "Weizen",
        "sugar",
        "wheat and Weizen",
        "wheat and whaet",
        "wheat-free",
    ] {
        let told = one_line(&kitchen.refused(1, &format!("trace --grist \"{asked}\"")));
        has(&told, &format!("`{asked}` is no known cereal"));
        has(&told, "known are gluten, wheat (also spelt, ");
        has(
            &told,
            "grists in the book name dextrin malt, oat malt, pale malt",
        );
        kitchen.refused(2, &format!("{ADD} --free-of \"{asked}\""));
    }
    // Words of a grist are right, whichever lots are asked about.
    has(&kitchen.ok("trace --grist dextrin"), &odd);
    let none = "trace --grist dextrin --between 2026-01-01 2026-01-02";
    has(&kitchen.ok(none), "none");
}

#[test]
fn a_recall_is_refused_by_the_grists_as_they_are_known_by_now() {
    let (kitchen, _) = with_grists(["dextrin malt 100%"]);
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --grist \"rye malt 100%\" --reason slip"
    ));
    let told = one_line(&kitchen.refused(1, "trace --grist dextrin"));
    has(&told, "grists in the book name rye malt");
    assert!(!told.contains("dextrin malt"), "{told}");
}
