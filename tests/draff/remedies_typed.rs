//! What a refusal prints to be typed is typed in its order, and the book is right then.

use crate::env::{Kitchen, SLIP, commands_in, has};

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
    let cor = kitchen.tub("Corrow Weir", "--wet 50kg");
    let pickup = kitchen.last_entry("pickup");
    let ald = kitchen.tub("Alder Lane", "--wet 6kg");
    kitchen.at("2026-11-09T11:00:00Z");
    let joined = kitchen.json(&format!("join {cor} {ald}"))["lot"].clone();
    kitchen.at("2026-11-09T12:00:00Z");
    (pickup, joined.as_str().unwrap().to_owned())
}

#[test]
fn a_joined_tub_that_was_typed_too_heavy_is_put_right_by_a_count() {
    let mut kitchen = Kitchen::on_monday();
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
        let mut kitchen = Kitchen::on_monday();
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
        let mut kitchen = Kitchen::on_monday();
        let lot = kitchen.tub("Corrow Weir", "--wet 10kg");
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
    let kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 10kg");
    kitchen.ok(&format!("move {lot} --wet 1kg --to freezer"));
    let part = kitchen.last_entry("part");
    let said = kitchen.refused(1, &format!("correct {part} --place counter {SLIP}"));
    let commands = in_order(&said);
    kitchen.ok(&commands[0]);
    kitchen.ok(&commands[1].replace("1000g", "2kg"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 8000.0);
    has(&kitchen.ok("check"), "whole");
}

/// A place is one word for a shell in a command that is printed, whatever stands in its name.
#[test]
fn a_command_with_a_place_is_pasted_as_it_stands() {
    let mut kitchen = Kitchen::on_monday();
    kitchen.ok("place add 'cold $(x) room' --kind fridge --at 2026-11-01");
    let into = "--place 'cold $(x) room' --wet 6kg";
    let (cor, ald) = (
        kitchen.tub("Corrow Weir", into),
        kitchen.tub("Alder Lane", into),
    );
    let pickup = kitchen.last_entry("pickup");
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("join {cor} {ald}"));
    kitchen.at("2026-11-09T12:00:00Z");
    let told = kitchen.told(&format!("correct {pickup} --wet 8kg {SLIP}"));
    let join = commands_in(&told)
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
