//! A correction takes the options of the command that wrote the entry, and what it cannot correct it prints in the words of
//! that command.

use crate::env::{Kitchen, SLIP, has, one_line};

#[test]
fn a_part_that_was_moved_is_moved_again_and_one_of_several_portions_is_portioned_again() {
    for (typed, again) in [
        ("move LOT --wet 1kg --to freezer", "then draff move "),
        (
            "portion LOT --into 2x1kg --to freezer",
            "then draff portion ",
        ),
    ] {
        let (kitchen, corrow, alder) = Kitchen::with_two_tubs();
        kitchen.ok(&typed.replace("LOT", &corrow));
        let part = kitchen.last_entry("part");
        let said = kitchen.refused(1, &format!("correct {part} --lot {alder} {SLIP}"));
        has(&said, &format!("{again}{corrow}"));
    }
    let help = one_line(&Kitchen::bare().ok("help correct"));
    has(&help, "a part that was moved (move --wet)");
}

#[test]
fn who_got_a_gift_is_corrected_with_the_option_of_give() {
    let (kitchen, corrow, _) = Kitchen::with_two_tubs();
    kitchen.ok(&format!("give {corrow} --wet 1kg --to \"corner cafe\""));
    let gift = kitchen.last_entry("give");
    kitchen.ok(&format!("correct {gift} --to \"Corner Café\" {SLIP}"));
    has(
        &one_line(&kitchen.ok(&format!("trace {corrow}"))),
        "Corner Café",
    );
    // An entry that went to nobody has no receiver.
    kitchen.ok(&format!("use {corrow} --wet 1kg --for loaves"));
    let used = kitchen.last_entry("use");
    let said = kitchen.refused(1, &format!("correct {used} --to \"Corner Café\" {SLIP}"));
    has(&said, "--to: entry");
}

/// A kitchen with these settings and a bake of 6 small loaves that was mixed at 12:00; it is 15:00.
fn baked(settings: &[&str]) -> Kitchen {
    let (mut kitchen, lot) = Kitchen::with_bakes("10kg", &[]);
    for setting in settings {
        kitchen.ok(&format!("settings {setting}"));
    }
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --share 5% --lot {lot}"
    ));
    kitchen.at("2026-11-20 15:00");
    kitchen
}

fn rise(kitchen: &Kitchen) -> f64 {
    let bake = kitchen.json("bake show B-1S");
    bake["result"]["mixing_rise_k"].as_f64().unwrap()
}

#[test]
fn the_water_temperature_of_a_done_bake_is_corrected_with_the_option_of_bake_done() {
    let kitchen = baked(&["tap 20C", "room 21C"]);
    kitchen.ok("bake done B-1S --dough-temp 27C --water-temp 24C");
    let right = rise(&kitchen);
    let wrong = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {wrong} {SLIP}"));
    kitchen.ok("bake done B-1S --dough-temp 27C --water-temp 30C");
    assert!(rise(&kitchen) < right);
    let wrong = kitchen.last_entry("baked");
    let told = kitchen.told(&format!("correct {wrong} --water-temp 24C {SLIP}"));
    has(&told, "mixing warmed the dough");
    assert!((rise(&kitchen) - right).abs() < 0.002);
    let same = kitchen.last_entry("baked");
    let said = kitchen.refused(1, &format!("correct {same} --water-temp 24C {SLIP}"));
    has(&said, "says that already");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn temperatures_that_were_left_out_of_a_done_bake_are_added_as_printed() {
    let kitchen = baked(&[]);
    let told = kitchen.told("bake done B-1S --dough-temp 27C");
    let entry = kitchen.last_entry("baked");
    has(&told, &format!("`draff correct {entry} --tap 12C"));
    let said = kitchen.refused(2, &format!("correct {entry} --water-temp 24C {SLIP}"));
    has(
        &said,
        "--water-temp is given, and the water temperature needs that of the tap",
    );
    kitchen.ok(&format!(
        "correct {entry} --tap 12C --room 21C --grain-temp 4C --water-temp 24C {SLIP}"
    ));
    assert!(rise(&kitchen) > 0.0);
}

#[test]
fn a_water_temperature_without_that_of_the_dough_is_refused() {
    let kitchen = baked(&[]);
    kitchen.ok("bake done B-1S --pieces 6");
    let entry = kitchen.last_entry("baked");
    let said = kitchen.refused(2, &format!("correct {entry} --water-temp 24C {SLIP}"));
    has(&said, "does not say how warm the dough came out");
}
