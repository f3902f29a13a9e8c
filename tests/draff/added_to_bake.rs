//! Grain that is booked with `use` for a bake of the book counts to that bake, or is not booked.

use crate::env::{Kitchen, has, one_line};

/// A bake that took 800 g of one tub on Friday at noon; 4 kg of another one. Gives both lots, the one of the bake first.
fn done() -> (Kitchen, String, String) {
    let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
    let other = kitchen.tub("Bracken", "--wet 4kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
    ));
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=800g"));
    (kitchen, lot, other)
}

#[test]
fn grain_that_is_used_for_a_done_bake_is_grain_of_that_bake() {
    for code in [
        "B-1S",
        "b-1s",
        "B1S",
        "\" b1s \"",
        "\"b 1s\"",
        "\"B 1S\"",
        "\"bake B-1S\"",
    ] {
        let (kitchen, lot, other) = done();
        let said = kitchen.run(&format!("use {other} --wet 100g --for {code}"));
        assert_eq!(said.code, 0, "{}", said.told());
        has(&said.told(), "added to B-1S, which is done");
        let trace = kitchen.ok("trace B-1S");
        has(&trace, &lot);
        has(&trace, &other);
        let shown = kitchen.ok("bake show B-1S");
        has(&shown, &lot);
        has(&shown, &other);
        has(&kitchen.ok(&format!("trace {other}")), "B-1S");
        kitchen.ok("check");
    }
}

/// As a mere text, no trace of the bake would find the grain.
#[test]
fn a_mistyped_code_of_a_bake_is_refused() {
    let (kitchen, _, other) = done();
    let before = kitchen.entries();
    for (code, instead) in [
        ("B-1R", "nearest in the book: B-1S"),
        ("B 1R", "nearest in the book: B-1S"),
        ("bake B-1R", "nearest in the book: B-1S"),
        ("b-1", "nearest in the book: B-1S"),
        ("B-77A", "draff bake list --all"),
        ("bake b 2q", "there is no bake `B-2Q` in the book"),
    ] {
        let said = kitchen.refused(1, &format!("use {other} --wet 100g --for \"{code}\""));
        has(&said, instead);
    }
    assert_eq!(kitchen.entries(), before);
    kitchen.ok(&format!("use {other} --wet 100g --for rolls"));
    let used = kitchen.last_entry("use");
    kitchen.refused(
        1,
        &format!("correct {used} --note B-1R --reason \"other bread\""),
    );
    // More than a code is a text.
    kitchen.ok(&format!("use {other} --wet 100g --for \"rolls like B-1R\""));
}

/// It went in when the dough was mixed, whenever it is written down.
#[test]
fn added_grain_goes_to_another_time_with_its_bake() {
    let (kitchen, _, other) = done();
    kitchen.ok(&format!("use {other} --wet 100g --for B-1S"));
    let used = kitchen.last_entry("use");
    has(&kitchen.ok("log"), "12:00");
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("correct {baked} --at 12:30 --reason slip"));
    assert!(kitchen.last_entry("use") > used);
    kitchen.ok("check");
}

#[test]
fn added_grain_is_struck_by_itself_and_with_its_bake() {
    let (kitchen, lot, other) = done();
    let left = |lot: &str| kitchen.on_shelf(lot)["wet_g"].as_f64().unwrap();
    let add = format!("use {other} --wet 100g --for B-1S");
    kitchen.ok(&add);
    kitchen.ok(&format!(
        "strike {} --reason \"typed twice\"",
        kitchen.last_entry("use")
    ));
    assert_eq!((left(&lot), left(&other)), (3200.0, 4000.0));
    kitchen.ok(&add);
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason \"other bake\""));
    assert_eq!((left(&lot), left(&other)), (4000.0, 4000.0));
    kitchen.ok("check");
}

/// Grain that was taken out of a bake by itself stays out of it when the bake is struck and comes back.
#[test]
fn struck_added_grain_comes_back_by_itself_alone_and_never_without_its_bake() {
    let (mut kitchen, _, other) = done();
    kitchen.ok(&format!("use {other} --wet 100g --for B-1S"));
    kitchen.ok(&format!(
        "strike {} --reason slip",
        kitchen.last_entry("use")
    ));
    let of_grain = kitchen.last_entry("strike");
    kitchen.at("2026-11-20T15:10:00Z");
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason slip"));
    let of_bake = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {of_grain} --reason right"));
    has(&said, &format!("strike {of_bake} first"));
    kitchen.ok(&format!("strike {of_bake} --reason right"));
    assert_eq!(kitchen.on_shelf(&other)["wet_g"], 4000.0);
    kitchen.ok(&format!("strike {of_grain} --reason right"));
    assert_eq!(kitchen.on_shelf(&other)["wet_g"], 3900.0);
    kitchen.ok("check");
}

#[test]
fn grain_for_a_bake_that_is_not_done_is_not_booked_beside_it() {
    let (kitchen, lot) = Kitchen::with_loaf("4kg");
    kitchen.ok("bake add \"small loaf\" --at \"sat 12:00\" mix");
    let before = kitchen.entries();
    let said = kitchen.refused(1, &format!("use {lot} --wet 500g --for b-1s"));
    has(
        &said,
        &format!(
            "name all that went in, once for each lot, not only this: draff bake done B-1S --used {lot}=500g"
        ),
    );
    kitchen.ok("bake drop B-1S");
    kitchen.refused(1, &format!("use {lot} --wet 500g --for B-1S"));
    assert_eq!(kitchen.entries(), before + 1);
    // What is no code of a bake is a text.
    kitchen.ok(&format!("use {lot} --wet 500g --for \"B-1S rolls\""));
}

#[test]
fn grain_that_holds_what_a_done_bake_is_free_of_is_booked_and_marked() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", crate::env::LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.tub("Alder", "--wet 4kg --grist barley");
    let wheat = kitchen.tub("Bracken", "--wet 4kg --grist wheat");
    kitchen.ok("bake add \"small loaf\" --at \"fri 12:00\" mix --free-of wheat");
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=800g"));
    let told = kitchen.told(&format!("use {wheat} --wet 100g --for B-1S"));
    has(&told, "B-1S was to be free of wheat");
    let shown = one_line(&kitchen.ok("bake show B-1S"));
    has(&shown, "HOLDS WHEAT though it was to be free of it");
}

/// Grain goes into a dough when that is mixed, so a later time would hide what it was by then.
#[test]
fn a_time_that_is_not_that_of_the_mixing_is_refused() {
    let (kitchen, _, other) = done();
    let said = kitchen.refused(
        2,
        &format!("use {other} --wet 100g --for B-1S --at \"2026-11-20 09:00\""),
    );
    has(&said, "went in when its dough was mixed");
}

#[test]
fn a_note_makes_no_grain_of_a_bake() {
    let (kitchen, _, other) = done();
    kitchen.ok(&format!("use {other} --wet 100g --for rolls"));
    let used = kitchen.last_entry("use");
    let said = kitchen.refused(
        1,
        &format!("correct {used} --note B-1S --reason \"other bread\""),
    );
    has(&said, &format!("draff strike {used}"));
}
