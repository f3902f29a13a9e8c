//! Spoiled grain that is found by a correction, or by a strike that brings an entry back: other lots on hand of the same grain are
//! named, as when it is written anew.

use crate::env::{Kitchen, SLIP, has, made};

/// Two tubs with a portion of each, at 11:00; gives the codes, and those of the portions.
fn tubs_with_portions() -> (Kitchen, [String; 2], [String; 2]) {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    let portion =
        |lot: &String| made(&kitchen.json(&format!("portion {lot} --into 1x500g"))).remove(0);
    let portions = [portion(&corrow), portion(&alder)];
    kitchen.at("2026-11-09T11:00:00Z");
    (kitchen, [corrow, alder], portions)
}

fn look_at(portion: &str, lot: &str) -> String {
    format!("look at {portion} too: it is of the same grain as {lot}")
}

#[track_caller]
fn names_nothing(told: &str) {
    assert!(!told.contains("look at"), "{told}");
}

fn strike(entry: i64) -> String {
    format!("strike {entry} {SLIP}")
}

#[test]
fn a_reason_that_is_corrected_to_mould_names_the_same_grain() {
    let (kitchen, [lot, other], [portion, of_other]) = tubs_with_portions();
    kitchen.ok(&format!(
        "discard {lot} --wet 100g --reason \"too much\" --as compost"
    ));
    let thrown = kitchen.last_entry("discard");
    let told = kitchen.told(&format!("correct {thrown} --note mouldy {SLIP}"));
    has(&told, &look_at(&portion, &lot));
    has(
        &told,
        &format!("the rest of lot `{lot}` still counts as good"),
    );
    // What was known before is told once.
    let mouldy = kitchen.last_entry("discard");
    names_nothing(&kitchen.told(&format!("correct {mouldy} --wet 200g {SLIP}")));
    let heavier = kitchen.last_entry("discard");
    names_nothing(&kitchen.told(&strike(heavier)));
    names_nothing(&kitchen.told(&strike(mouldy)));
    let struck = kitchen.last_entry("strike");
    has(&kitchen.told(&strike(struck)), &look_at(&portion, &lot));
    // It was of the other tub.
    let told = kitchen.told(&format!("correct {mouldy} --lot {other} {SLIP}"));
    has(&told, &look_at(&of_other, &other));
    assert!(!told.contains(&look_at(&portion, &lot)), "{told}");
}

#[test]
fn mould_that_counts_again_names_the_same_grain() {
    let (kitchen, [lot, _], [portion, _]) = tubs_with_portions();
    kitchen.ok(&format!(
        "discard {lot} --wet 100g --reason mouldy --as compost"
    ));
    let thrown = kitchen.last_entry("discard");
    names_nothing(&kitchen.told(&format!("correct {thrown} --note \"flour on top\" {SLIP}")));
    let flour = kitchen.last_entry("discard");
    has(&kitchen.told(&strike(flour)), &look_at(&portion, &lot));
    names_nothing(&kitchen.told(&strike(thrown)));
    let struck = kitchen.last_entry("strike");
    has(&kitchen.told(&strike(struck)), &look_at(&portion, &lot));
}

#[test]
fn a_finding_that_counts_of_another_lot_or_again_names_the_same_grain() {
    let (kitchen, [corrow, alder], [of_corrow, of_alder]) = tubs_with_portions();
    kitchen.ok(&format!("probe {corrow} --spoiled mould"));
    let wrong = kitchen.last_entry("spoiled");
    names_nothing(&kitchen.told(&format!("correct {wrong} --note \"green mould\" {SLIP}")));
    let green = kitchen.last_entry("spoiled");
    let told = kitchen.told(&format!("correct {green} --lot {alder} {SLIP}"));
    has(&told, &look_at(&of_alder, &alder));
    let right = kitchen.last_entry("spoiled");
    has(&kitchen.told(&strike(right)), &look_at(&of_corrow, &corrow));
    let struck = kitchen.last_entry("strike");
    has(&kitchen.told(&strike(struck)), &look_at(&of_alder, &alder));
}

#[test]
fn a_reading_that_is_corrected_to_one_of_past_grain_names_the_same_grain() {
    let (mut kitchen, [lot, _], [portion, _]) = tubs_with_portions();
    kitchen.at("2026-11-09T17:00:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    let read = kitchen.last_entry("reading");
    let told = kitchen.told(&format!("correct {read} --temp 12C {SLIP}"));
    has(&told, &look_at(&portion, &lot));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let warm = kitchen.last_entry("reading");
    names_nothing(&kitchen.told(&strike(warm)));
    let struck = kitchen.last_entry("strike");
    has(&kitchen.told(&strike(struck)), &look_at(&portion, &lot));
}
