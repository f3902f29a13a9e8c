//! A refusal names a lot that the book has, and says of it what is so.

use crate::env::{Kitchen, has};

fn two_tubs() -> (Kitchen, String, String) {
    let kitchen = Kitchen::new();
    let one = kitchen.lot_from("Alder Lane", "--wet 4kg");
    let other = kitchen.lot_from("Tarn Fell", "--wet 4kg");
    (kitchen, one, other)
}

#[test]
fn a_treatment_into_another_lot_names_the_past_lot_that_goes_in() {
    let (kitchen, one, other) = two_tubs();
    kitchen.ok(&format!("probe {one} --spoiled mould"));
    let said = kitchen.refused(
        1,
        &format!("treat {one} --step press --wet-in 1kg --wet-out 800g --into {other}"),
    );
    has(&said, &format!("lot `{one}` is past"));
    has(&said, &format!("draff discard {one}"));
}

/// Wet grain of a good lot is unknown once it is dried, until it is shown dry.
#[test]
fn dried_grain_that_is_put_to_another_lot_at_once_is_told_by_what_went_in() {
    let (mut kitchen, one, other) = two_tubs();
    kitchen.at("2026-11-20T14:00:00Z");
    let dry = "--step dry --wet-in 1kg --wet-out 250g --minutes 60 --temp 65C";
    let dried = kitchen.json(&format!("treat {other} {dry} --place dry-store"));
    let dried = dried["lot"].as_str().unwrap();
    kitchen.ok(&format!("probe {dried} --aw 0.5"));
    let said = kitchen.refused(1, &format!("treat {one} {dry} --into {dried}"));
    has(&said, &format!("what comes out of lot `{one}` is unknown"));
    has(&said, &format!("draff join LOT {dried}"));
}

#[test]
fn used_up_lots_are_not_asked_where_they_lie_once_joined() {
    let (mut kitchen, one, other) = two_tubs();
    kitchen.at("2026-11-20T15:00:00Z");
    for lot in [&one, &other] {
        kitchen.ok(&format!("use {lot} 4kg --for buns"));
    }
    for at in ["", " --at \"2026-11-20 13:00\""] {
        let said = kitchen.refused(1, &format!("join {one} {other}{at}"));
        has(&said, &format!("nothing is left of lot `{one}`"));
    }
}
