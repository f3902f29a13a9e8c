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
