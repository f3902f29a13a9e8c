//! Mould that is found in a lot after parts of it were made: they lay in the same tub, so the parts carry the warning too.

use crate::env::{Kitchen, SLIP, has, made, one_line};

const WARNS: &str = "look at it, and throw it out if in doubt";
const FOUND_AT: &str = "2026-11-09T11:00:00+00:00";

fn feed(lot: &str) -> String {
    format!("discard {lot} --wet 50g --as feed --reason spare")
}

fn portion(kitchen: &Kitchen, of: &str, rest: &str) -> String {
    made(&kitchen.json(&format!("portion {of} {rest}"))).remove(0)
}

/// A tub of 6 kg, all that was made of it by 10:30, and how mould is found in the tub at 11:00.
fn parts_of_a_tub_found_mouldy(find: &str) -> (Kitchen, String, Vec<String>, i64) {
    let mut kitchen = Kitchen::on_monday();
    kitchen.ok("place add deep --kind freezer --temp -18C");
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    let bag = portion(&kitchen, &lot, "--into 1x500g");
    let frozen = portion(&kitchen, &lot, "--into 1x600g --to deep");
    let press = format!("treat {lot} --step press --wet-in 1kg --wet-out 700g");
    let pressed = kitchen.json(&press)["lot"].as_str().unwrap().to_owned();
    let of_pressed = portion(&kitchen, &pressed, "--into 1x200g");
    let mixed = portion(&kitchen, &lot, "--into 1x300g");
    let other = kitchen.tub("Corrow Weir", "--wet 1kg");
    kitchen.at("2026-11-09T10:30:00Z");
    let joined = kitchen.json(&format!("join {mixed} {other}"));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-09T11:00:00Z");
    let told = kitchen.told(&find.replace("LOT", &lot));
    has(&told, &bag);
    let found = kitchen.entries();
    kitchen.at("2026-11-09T12:00:00Z");
    (
        kitchen,
        lot,
        vec![bag, frozen, pressed, of_pressed, joined],
        found,
    )
}

const FINDS: [&str; 2] = [
    "probe LOT --spoiled mould",
    "discard LOT --wet 200g --reason \"mouldy on top\"",
];

#[test]
fn all_that_was_made_before_is_marked_no_feed_and_told_until_the_find_is_struck() {
    for find in FINDS {
        let (mut kitchen, lot, parts, found) = parts_of_a_tub_found_mouldy(find);
        for one in &parts {
            let on_shelf = kitchen.on_shelf(one);
            assert_eq!(on_shelf["part_spoiled_at"], FOUND_AT, "{find}: {one}");
            assert_ne!(on_shelf["verdict"], "past", "{find}: {one}");
            has(&kitchen.refused(1, &feed(one)), "is no feed");
            let said = one_line(&kitchen.told(&format!("give {one} --wet 50g --to Jo")));
            has(&said, &format!("{one} was made of {lot} before mould"));
            has(&said, WARNS);
        }
        let bag = &parts[0];
        has(
            &one_line(&kitchen.told(&format!("use {bag} --wet 50g --for bread"))),
            WARNS,
        );
        has(
            &one_line(&kitchen.ok(&format!("ticket {bag}"))),
            "Its tub found spoiled, Mon 9 Nov: look before use",
        );
        has(&one_line(&kitchen.ok("shelf")), WARNS);
        has(&one_line(&kitchen.ok(&format!("trace {bag}"))), WARNS);
        kitchen.at("2026-11-09T12:10:00Z");
        kitchen.ok(&format!("strike {found} {SLIP}"));
        for one in &parts {
            assert!(kitchen.on_shelf(one)["part_spoiled_at"].is_null());
            kitchen.ok(&feed(one));
        }
        has(&kitchen.ok("check"), "whole");
    }
}

#[test]
fn what_is_found_in_a_part_is_no_mark_of_the_tub() {
    let mut kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    let bag = portion(&kitchen, &lot, "--into 1x500g");
    let other = portion(&kitchen, &lot, "--into 1x500g");
    kitchen.at("2026-11-09T11:00:00Z");
    let told = kitchen.told(&format!("probe {bag} --spoiled mould"));
    has(&told, "look at");
    for one in [&lot, &other] {
        assert!(kitchen.on_shelf(one)["part_spoiled_at"].is_null());
        kitchen.ok(&feed(one));
    }
}

/// What went to animals before the mould was found can still be written down, and somebody is told to look at the rest.
#[test]
fn feed_that_is_dated_back_before_the_find_is_told() {
    let (kitchen, _, parts, _) = parts_of_a_tub_found_mouldy(FINDS[0]);
    let said = kitchen.told(&format!("{} --at 10:45", feed(&parts[0])));
    has(&one_line(&said), WARNS);
}
