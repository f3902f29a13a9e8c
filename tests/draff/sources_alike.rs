//! Sources whose names are alike but for case or blanks: one from the start, and in an older book joined by one command.

use crate::env::{Kitchen, SLIP, commands_in, has, one_line};

/// A book in which sources of these names are two.
fn older(names: [&str; 2]) -> (Kitchen, [String; 2]) {
    let (kitchen, one, other) = Kitchen::with_two_tubs();
    kitchen.past_the_triggers(|book| {
        for (name, was) in names.into_iter().zip(["Corrow Weir", "Alder Lane"]) {
            book.execute("UPDATE source SET name = ?1 WHERE name = ?2", [name, was])
                .unwrap();
        }
    });
    kitchen.chain_anew();
    // The upgrade joins them; told apart again they stay two.
    let joined = kitchen.last_entry("source");
    kitchen.ok(&format!("strike {joined} {SLIP}"));
    (kitchen, [one, other])
}

#[test]
fn the_command_that_is_named_makes_one_of_them() {
    for names in [
        ["Corrow\u{a0}Weir", "Corrow Weir"],
        ["BACHSTRASSE", "Bachstraße"],
    ] {
        let (kitchen, lots) = older(names);
        let told = kitchen.told("source");
        has(&told, "is called almost like");
        let merge = commands_in(&told).remove(0);
        kitchen.ok(&merge);
        assert!(!kitchen.told("source").contains("is called almost like"));
        let shown = lots.map(|lot| kitchen.on_shelf(&lot)["source"].clone());
        assert_eq!(shown[0], shown[1]);
        has(&kitchen.ok("check"), "whole");
        let said = kitchen.refused(1, &merge);
        has(&said, "are one source already");
    }
}

#[test]
fn the_name_of_the_second_one_is_kept() {
    let (kitchen, lots) = older(["BACHSTRASSE", "Bachstraße"]);
    kitchen.ok("source merge BACHSTRASSE --into Bachstraße");
    for lot in &lots {
        assert_eq!(kitchen.on_shelf(lot)["source"], "Bachstraße");
    }
}

#[test]
fn capitals_make_no_other_source() {
    let kitchen = Kitchen::on_monday();
    let one = kitchen.tub("Bachstraße", "--wet 6kg");
    let other = kitchen.tub("BACHSTRASSE", "--wet 6kg");
    let source = |lot: &str| kitchen.on_shelf(lot)["source"].clone();
    assert_eq!(source(&one), source(&other));
    has(&one_line(&kitchen.ok("source")), "Bachstraße");
    assert!(!kitchen.ok("source").contains("BACHSTRASSE"));
}
