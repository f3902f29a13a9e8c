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
fn the_rest_of_a_lot_that_was_thrown_away_for_mould_is_no_feed() {
    let mut kitchen = kitchen();
    let lot = tub(&kitchen, "Corrow Weir", "--wet 6kg");
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
    let said = one_line(&kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as feed --reason schimmlig"
    )));
    has(&said, "Feed nothing mouldy or foul");
}

#[test]
fn the_scald_caution_says_how_fast_hot_grain_burns() {
    let said = one_line(&kitchen().ok("cautions"));
    has(
        &said,
        "about 30 s at 54 °C, 3 to 5 s at 60 °C and about 1 s at 69 °C",
    );
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

/// The commands of a hint that begins with a strike and ends with a time, in the order in which they are printed.
fn in_order(said: &str) -> Vec<String> {
    let (_, after) = said.split_once("draff strike").unwrap();
    let mut parts: Vec<String> = after.split(", then draff ").map(str::to_owned).collect();
    parts[0].insert_str(0, "strike");
    let last = parts.last_mut().unwrap();
    let at = last.find("--at ").unwrap() + "--at ".len();
    let end = last[at..].find(' ').map_or(last.len(), |end| at + end);
    last.truncate(end);
    parts
        .iter()
        .map(|command| command.replace("TEXT", "slip"))
        .collect()
}

/// Two tubs joined at 11:00, of which the first was typed at 50 kg and weighs 5 kg; gives the entry of that pickup and the
/// joined lot.
fn joined_too_heavy(kitchen: &mut Kitchen) -> (i64, String) {
    let cor = tub(kitchen, "Corrow Weir", "--wet 50kg");
    let pickup = kitchen.last_entry("pickup");
    let ald = tub(kitchen, "Alder Lane", "--wet 6kg");
    kitchen.at("2026-11-09T11:00:00Z");
    let joined = kitchen.json(&format!("join {cor} {ald}"))["lot"].clone();
    kitchen.at("2026-11-09T12:00:00Z");
    (pickup, joined.as_str().unwrap().to_owned())
}

#[test]
fn a_joined_tub_that_was_typed_too_heavy_is_put_right_by_a_count() {
    let mut kitchen = kitchen();
    let (pickup, joined) = joined_too_heavy(&mut kitchen);
    kitchen.ok(&format!("use {joined} --wet 1kg --for bread"));
    let said = kitchen.refused(1, &format!("correct {pickup} --wet 5kg {SLIP}"));
    has(&said, "45 kg more would have gone out");
    has(&said, &format!("draff count {joined} --wet MASS"));
    kitchen.ok(&format!("count {joined} --wet 10kg"));
    assert_eq!(kitchen.on_shelf(&joined)["wet_g"], 10000.0);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_joined_tub_that_was_typed_too_heavy_is_put_right_in_the_printed_order() {
    for used in [false, true] {
        let mut kitchen = kitchen();
        let (pickup, joined) = joined_too_heavy(&mut kitchen);
        if used {
            kitchen.ok(&format!("use {joined} --wet 1kg --for bread"));
        }
        let said = kitchen.refused(1, &format!("correct {pickup} --wet 5kg {SLIP}"));
        let (_, after) = said.split_once("put the pickup right too: draff ").unwrap();
        let (join, pickup) = after.split_once(", then draff ").unwrap();
        for command in [join, pickup] {
            let end = command.find("TEXT").unwrap();
            kitchen.ok(&format!("{}slip", &command[..end]));
        }
        let shelf = kitchen.json("shelf");
        let lots = shelf["lots"].as_array().unwrap();
        assert_eq!(lots.len(), 1, "{shelf}");
        assert_eq!(lots[0]["lot"], joined.as_str(), "its code stays");
        let left = if used { 10000.0 } else { 11000.0 };
        assert_eq!(lots[0]["wet_g"], left, "{shelf}");
        has(&kitchen.ok("check"), "whole");
    }
}

/// What was done with the lot since, and moves of what was left, are struck with it.
#[test]
fn a_wrong_treatment_is_done_again_in_the_printed_order() {
    for (treated, out) in [
        ("--step press --wet-in 8kg --wet-out 5.1kg", 5100.0),
        (
            "--step dry --wet-in 8kg --wet-out 2kg --minutes 60 --temp 65C --place dry-store",
            2000.0,
        ),
        (
            "--step blend --wet-in 8kg --wet-out 8.3kg --water-added 500g --left-behind 200g",
            8300.0,
        ),
    ] {
        let mut kitchen = kitchen();
        let lot = tub(&kitchen, "Corrow Weir", "--wet 10kg");
        kitchen.at("2026-11-09T11:00:00Z");
        let product = kitchen.json(&format!("treat {lot} {treated}"))["lot"].clone();
        let product = product.as_str().unwrap();
        let entry = kitchen.last_entry("treat");
        kitchen.at("2026-11-09T11:30:00Z");
        kitchen.ok(&format!(
            "discard {product} --wet 100g --reason \"for a test\""
        ));
        kitchen.ok(&format!("move {product} --wet 500g --to freezer"));
        kitchen.ok(&format!("move {lot} --to freezer"));
        let said = kitchen.refused(1, &format!("correct {entry} --place counter {SLIP}"));
        has(&said, &format!("draff log {product} and draff log {lot}"));
        for command in in_order(&said) {
            kitchen.ok(&command);
        }
        let shelf = kitchen.json("shelf");
        let lots = shelf["lots"].as_array().unwrap();
        assert_eq!(lots.len(), 2, "{shelf}");
        assert!(lots.iter().any(|lot| lot["wet_g"] == out), "{shelf}");
        assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 2000.0);
        has(&kitchen.ok("check"), "whole");
    }
}

#[test]
fn a_wrong_portion_is_weighed_out_again_in_the_printed_order() {
    let kitchen = kitchen();
    let lot = tub(&kitchen, "Corrow Weir", "--wet 10kg");
    kitchen.ok(&format!("move {lot} --wet 1kg --to freezer"));
    let part = kitchen.last_entry("part");
    let said = kitchen.refused(1, &format!("correct {part} --place counter {SLIP}"));
    let commands = in_order(&said);
    kitchen.ok(&commands[0]);
    kitchen.ok(&commands[1].replace("1000g", "2kg"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 8000.0);
    has(&kitchen.ok("check"), "whole");
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
