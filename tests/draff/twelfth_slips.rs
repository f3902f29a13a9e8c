//! What a careless baker found: warnings that were not so, remedies that did not fit, sums that did not agree.

use crate::env::{Kitchen, has, one_line};

#[test]
fn the_rest_of_a_past_lot_thrown_away_for_mould_is_not_said_to_be_good() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    let discard = format!("discard {lot} --wet 500g --reason mouldy");
    has(&kitchen.told(&discard), "still counts as good");
    kitchen.at("2026-11-25T10:00:00Z");
    has(&kitchen.told(&discard), "still counts as use-first");
    kitchen.at("2026-11-28T10:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let told = kitchen.told(&discard);
    has(
        &told,
        &format!("treat the rest of lot `{lot}` as mouldy too until you have shown otherwise"),
    );
    assert!(!told.contains("still counts as"), "{told}");
}

/// A formula that says how long it takes, and a lot of Friday that is good until Thursday.
fn kitchen_with_loaf() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("4kg");
    (kitchen, lot)
}

#[test]
fn a_bake_planned_too_late_for_a_good_lot_is_not_answered_with_throwing_it_away() {
    let (mut kitchen, lot) = kitchen_with_loaf();
    let add = format!("bake add \"small loaf\" --at \"fri 09:00\" mix --lot {lot}");
    let refused = kitchen.refused(1, &add);
    for part in [
        "by Fri 27 Nov 2026 09:00: lot",
        "take an earlier time or another lot: this one is good now, until Thu 26 Nov",
        "If you meant today, type \"today 09:00\"",
    ] {
        has(&refused, part);
    }
    for part in ["discard", "spoiled"] {
        assert!(!refused.contains(part), "{refused}");
    }
    let refused = kitchen.refused(1, &add.replace("fri", "2026-11-28"));
    assert!(!refused.contains("today"), "{refused}");
    // A lot that is past by now as well is thrown away.
    kitchen.at("2026-11-27T08:00:00Z");
    let refused = kitchen.refused(1, &add);
    has(&refused, "draff discard");
    has(&refused, "Baking does not make spoiled grain safe");
}
