//! Mouldy grain is no feed: how reasons are understood, what of the rest of the lot is said, and what animals got.

use crate::env::{Kitchen, SLIP, has, one_line};

#[test]
fn mould_names_what_went_to_animals_too() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("discard {lot} --wet 3kg --as feed --reason hens"));
    kitchen.at("2026-11-21T09:00:00Z");
    let said = kitchen.told(&format!("probe {lot} --spoiled mould"));
    has(&said, "3 kg of lot");
    has(&said, "feed, hens");
}

#[test]
fn a_corrected_reason_makes_no_feed_of_mouldy_grain() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("9kg");
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as feed --reason \"too much\""
    ));
    let entry = kitchen.last_entry("discard");
    let said = kitchen.refused(
        1,
        &format!("correct {entry} --note \"it was mouldy\" --reason x"),
    );
    has(&said, "feed");
    kitchen.refused(
        1,
        &format!("discard {lot} --wet 1kg --as feed --reason \"gone sour\""),
    );
}

#[test]
fn what_animals_got_is_put_right_as_it_was() {
    let (mut kitchen, cor, ald) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!(
        "discard {ald} --wet 1kg --as feed --reason \"for the hens\""
    ));
    let hens = kitchen.last_entry("discard");
    kitchen.ok(&format!(
        "discard {cor} --wet 500g --as feed --reason \"for the pigs\""
    ));
    let pigs = kitchen.last_entry("discard");
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("probe {cor} --spoiled mould"));
    kitchen.at("2026-11-10T11:00:00Z");
    kitchen.ok(&format!(
        "discard {ald} --wet 200g --as feed --reason \"for the goats\""
    ));
    let goats = kitchen.last_entry("discard");
    for (act, wet) in [
        (format!("correct {hens} --lot {cor} {SLIP}"), "1 kg of lot"),
        (format!("correct {pigs} --wet 600g {SLIP}"), "600 g of lot"),
        (
            format!(
                "discard {cor} --wet 300g --as feed --reason \"for the ducks\" --at \"2026-11-09 12:00\""
            ),
            "300 g of lot",
        ),
    ] {
        let told = kitchen.told(&act);
        has(&told, wet);
        has(&told, "had gone out by then");
    }
    // This one left after the mould was found.
    let told = kitchen.told(&format!("correct {goats} --lot {cor} {SLIP}"));
    has(&told, "200 g of lot");
    has(&told, "when it was past: found spoiled: mould");
    let trace = one_line(&kitchen.ok(&format!("trace {cor}")));
    for to in ["hens", "pigs", "ducks", "goats"] {
        has(&trace, &format!("for the {to}"));
    }
    // What is written anew is refused as ever, and nothing becomes feed that could not be written as feed.
    let said = kitchen.refused(1, &format!("discard {cor} --as feed --reason spare"));
    has(&said, "is no feed");
    kitchen.ok(&format!("discard {cor} --wet 100g --reason spare"));
    let thrown = kitchen.last_entry("discard");
    let said = kitchen.refused(1, &format!("correct {thrown} --as feed {SLIP}"));
    has(&said, "is no feed");
    assert_eq!(kitchen.on_shelf(&cor)["verdict"], "past");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn no_mould_is_no_mould() {
    let (kitchen, cor, _) = Kitchen::with_two_tubs();
    for reason in [
        "no mould, just old",
        "not mouldy",
        "dry, without mould",
        "too much, no smell",
    ] {
        kitchen.ok(&format!(
            "discard {cor} --wet 100g --as feed --reason \"{reason}\""
        ));
    }
    for reason in [
        "no, mouldy",
        "why not: mould on top",
        "no mould, but it smells",
        "not only mouldy",
        "not mouldy/rotten",
    ] {
        let said = kitchen.refused(
            1,
            &format!("discard {cor} --wet 100g --as feed --reason \"{reason}\""),
        );
        has(&said, "is no feed");
    }
}

#[test]
fn every_common_word_for_spoilage_is_understood() {
    let (kitchen, cor, _) = Kitchen::with_two_tubs();
    let feed = |reason: &str| format!("discard {cor} --wet 10g --as feed --reason \"{reason}\"");
    for reason in [
        "spoilt",
        "it has spoilt",
        "fungus",
        "a fungal bloom",
        "mildew",
        "mildewed",
        "Foul",
        "gone off",
        "it went off",
        "green spots",
        "blue patches",
        "white growth on top",
        "no spots, but white growth",
    ] {
        has(&kitchen.refused(1, &feed(reason)), "is no feed");
    }
    for reason in [
        "left over after mouldings",
        "not spoilt",
        "not gone off",
        "no green spots",
        "without fungus",
        "went to the hens, green bin off site",
        "spots left in the patch",
    ] {
        kitchen.ok(&feed(reason));
    }
}

#[test]
fn the_rest_of_a_lot_that_was_thrown_away_for_mould_is_no_feed() {
    let mut kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!(
        "discard {lot} --wet 100g --reason \"mould on top\""
    ));
    let thrown = kitchen.last_entry("discard");
    let feed = format!("discard {lot} --wet 1kg --as feed --reason spare");
    has(&kitchen.refused(1, &feed), "is no feed");
    // What went before that was found is written as it was.
    kitchen.ok(&format!("{feed} --at 10:30"));
    kitchen.ok(&format!("correct {thrown} --note \"flour on top\" {SLIP}"));
    kitchen.ok(&feed);
    // Words of another language are not understood, so that what animals must not get is said each time.
    let said = one_line(&kitchen.ok(&format!("discard {lot} --wet 1kg --as feed --reason moisi")));
    has(&said, "Feed nothing mouldy or foul");
}

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
