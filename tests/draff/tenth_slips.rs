//! Slips and how they are put right: what is printed to be typed succeeds when it is typed, and nothing moves in silence.

use crate::env::{Kitchen, has, one_line};

const SLIP: &str = "--reason slip";

/// A kitchen of Monday at 10:00.
fn kitchen() -> Kitchen {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T10:00:00Z");
    kitchen
}

/// A tub of this morning, cold since 09:00; gives its lot's code.
fn tub(kitchen: &Kitchen, source: &str, options: &str) -> String {
    let booked = kitchen.json(&format!(
        "pickup --source \"{source}\" --brewed today --mash-out 07:00 --cooled 09:00 {options}"
    ));
    booked["lot"].as_str().unwrap().to_owned()
}

/// The commands that are told in backticks, without the name of the program.
fn commands(told: &str) -> Vec<String> {
    told.split("`draff ")
        .skip(1)
        .filter_map(|rest| rest.split_once('`'))
        .map(|(command, _)| command.to_owned())
        .collect()
}

#[test]
fn one_lot_lies_in_a_place_and_two_lie_in_it() {
    let kitchen = kitchen();
    let cor = tub(&kitchen, "Corrow Weir", "--wet 6kg");
    let said = kitchen.refused(1, "place close fridge");
    has(&said, &format!("{cor} lies there"));
    let ald = tub(&kitchen, "Alder Lane", "--wet 6kg");
    let said = kitchen.refused(1, "place close fridge");
    has(&said, &format!("{cor}, {ald} lie there"));
}

/// A tub of 10 kg, counted on Tuesday and on Wednesday, of which 1 kg was used after that; gives its lot's code and the
/// entries of the counts.
fn counted_twice(kitchen: &mut Kitchen) -> (String, i64, i64) {
    let lot = tub(kitchen, "Corrow Weir", "--wet 10kg");
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("count {lot} --wet 9kg"));
    let first = kitchen.last_entry("count");
    kitchen.at("2026-11-11T10:00:00Z");
    kitchen.ok(&format!("count {lot} --wet 8.5kg"));
    let second = kitchen.last_entry("count");
    kitchen.at("2026-11-11T12:00:00Z");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    (lot, first, second)
}

/// The later count measured what was there: an earlier one takes nothing off twice, and puts nothing back.
#[test]
fn a_later_count_stands_where_an_earlier_one_is_corrected() {
    let mut kitchen = kitchen();
    let (lot, first, _) = counted_twice(&mut kitchen);
    let told = kitchen.told(&format!("correct {first} --wet 9.2kg {SLIP}"));
    has(&told, "the later count stands");
    has(&told, "it found 8.5 kg, Wed 11 Nov 2026 10:00");
    has(
        &told,
        "700 g less than the book said by now, and was 500 g less",
    );
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    // What the first found is less than before, and the lot never holds less than was used of it.
    let first = kitchen.last_entry("count") - 1;
    kitchen.ok(&format!("correct {first} --wet 8.6kg {SLIP}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    let missing = |kitchen: &Kitchen| -> f64 {
        let usage = kitchen.json("usage");
        let lines = usage["usage"].as_array().unwrap().iter();
        lines
            .filter(|line| line["kind"] == "count-correction")
            .map(|line| line["wet_g"].as_f64().unwrap())
            .sum()
    };
    assert!((missing(&kitchen) - 1500.0).abs() < 1e-9);
    let first = kitchen.last_entry("count") - 1;
    let told = one_line(&kitchen.ok(&format!("strike {first} {SLIP}")));
    has(&told, "Struck with it: count");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    assert!((missing(&kitchen) - 1500.0).abs() < 1e-9);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_struck_count_names_the_later_one() {
    let mut kitchen = kitchen();
    let (lot, first, second) = counted_twice(&mut kitchen);
    let told = kitchen.told(&format!("strike {first} {SLIP}"));
    has(&told, &format!("entry {second} counted 8.5 kg"));
    let again = &commands(&told)[0];
    has(again, &format!("correct {second} --wet 8.5kg"));
    kitchen.ok(again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    has(&kitchen.ok("check"), "whole");
}

/// The first count after a late entry is the one that has to know of it.
#[test]
fn a_late_use_before_two_counts_leaves_what_was_counted() {
    let mut kitchen = kitchen();
    let (lot, first, _) = counted_twice(&mut kitchen);
    let told = kitchen.told(&format!(
        "use {lot} --wet 400g --for forgotten --at \"2026-11-09 18:00\""
    ));
    let again = commands(&told);
    let again = again.iter().find(|command| command.starts_with("correct "));
    let again = again.unwrap_or_else(|| panic!("no command in {told}"));
    has(again, &format!("correct {first} --wet 9kg"));
    kitchen.ok(again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn what_moves_with_a_brew_day_is_told() {
    let kitchen = kitchen();
    tub(&kitchen, "Corrow Weir", "--wet 6kg");
    let mash_out =
        "mash-out moved with the brew day, from Mon 9 Nov 2026 07:00 to Sun 8 Nov 2026 07:00";
    let cold = "the statement that it was cold moved with the brew day, from";
    let brewed = |on: &str| {
        let pickup = kitchen.last_entry("pickup");
        kitchen.told(&format!("--quiet correct {pickup} --brewed {on} {SLIP}"))
    };
    let told = brewed("2026-11-08");
    has(&told, mash_out);
    has(
        &told,
        &format!("{cold} Mon 9 Nov 2026 09:00 to Sun 8 Nov 2026 09:00"),
    );
    for command in commands(&told).iter().filter(|one| one.contains("WHEN")) {
        let when = if command.contains("--mash-out") {
            "06:30"
        } else {
            "10:00"
        };
        kitchen.ok(&command.replace("WHEN", when).replace("TEXT", "slip"));
    }
    // What is said does not move by itself.
    let told = brewed("2026-11-09 --mash-out 07:00");
    assert!(!told.contains("mash-out moved"), "{told}");
    has(
        &told,
        &format!("{cold} Sun 8 Nov 2026 10:00 to Mon 9 Nov 2026 10:00"),
    );
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn an_empty_lot_has_no_ticket() {
    let kitchen = kitchen();
    let (empty, full) = (
        tub(&kitchen, "Corrow Weir", "--wet 6kg"),
        tub(&kitchen, "Alder Lane", "--wet 6kg"),
    );
    kitchen.ok(&format!("use {empty} --wet 6kg --for bread"));
    for lots in [empty.clone(), format!("{full} {empty}")] {
        let said = kitchen.refused(1, &format!("ticket {lots}"));
        has(&said, &format!("nothing is left of lot `{empty}`"));
        for command in commands(&said) {
            assert_eq!(command, format!("trace {empty}"));
            has(&kitchen.ok(&command), "bread");
        }
    }
    kitchen.ok(&format!("ticket {full}"));
}

/// A place is one word for a shell in a command that is printed, whatever stands in its name.
#[test]
fn a_command_with_a_place_is_pasted_as_it_stands() {
    let mut kitchen = kitchen();
    kitchen.ok("place add 'cold $(x) room' --kind fridge --at 2026-11-01");
    let into = "--place 'cold $(x) room' --wet 6kg";
    let (cor, ald) = (
        tub(&kitchen, "Corrow Weir", into),
        tub(&kitchen, "Alder Lane", into),
    );
    let pickup = kitchen.last_entry("pickup");
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("join {cor} {ald}"));
    kitchen.at("2026-11-09T12:00:00Z");
    let told = kitchen.told(&format!("correct {pickup} --wet 8kg {SLIP}"));
    let join = commands(&told)
        .into_iter()
        .find(|command| command.starts_with("join "));
    let join = join.unwrap_or_else(|| panic!("no join in {told}"));
    assert!(
        !join.contains("\"cold"),
        "a shell runs what stands in it: {join}"
    );
    kitchen.ok(&join);
    has(&kitchen.ok("check"), "whole");
}
