//! What a refusal prints to be typed is typed in its order, and the book is right then.

use crate::env::{Kitchen, SLIP, has};

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
        let said = kitchen.refused(1, &format!("correct {entry} --lot {product} {SLIP}"));
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
    let said = kitchen.refused(1, &format!("correct {part} --lot {lot} {SLIP}"));
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
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("join {cor} {ald}"));
    kitchen.at("2026-11-09T12:00:00Z");
    let join = kitchen.last_entry("join");
    let said = kitchen.refused(1, &format!("correct {join} --lot {cor} {SLIP}"));
    let commands = in_order(&said);
    let again = commands.last().unwrap();
    assert!(again.starts_with("join "), "{said}");
    assert!(
        again.contains("'cold $(x) room'"),
        "a shell runs what stands in it: {again}"
    );
    for command in &commands {
        kitchen.ok(command);
    }
    has(&kitchen.ok("check"), "whole");
}

/// The corrections that a refusal prints after these words, in their order.
#[track_caller]
fn corrections_after(said: &str, words: &str) -> Vec<String> {
    let (_, after) = said
        .split_once(words)
        .unwrap_or_else(|| panic!("{words} is not in {said}"));
    let parts = after.split("draff correct ").skip(1);
    let commands = parts.filter_map(|part| part.split_once(" --reason TEXT"));
    commands
        .map(|(command, _)| format!("correct {command} --reason slip"))
        .collect()
}

#[test]
fn a_pickup_whose_grain_was_joined_twice_is_put_right_in_the_printed_order() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    let tarn = kitchen.tub("Tarn Fell", "--wet 4kg");
    kitchen.at("2026-11-09T11:00:00Z");
    let first = kitchen.json(&format!("join {corrow} {alder}"))["lot"].clone();
    let first = first.as_str().unwrap();
    let both = kitchen.json(&format!("join {first} {tarn}"))["lot"].clone();
    let said = kitchen.refused(1, &format!("correct 5 --wet 5kg {SLIP}"));
    let typed = corrections_after(&said, "put the pickup right too:");
    assert_eq!(typed.len(), 3, "{said}");
    for command in typed {
        kitchen.ok(&command);
    }
    assert_eq!(kitchen.on_shelf(both.as_str().unwrap())["wet_g"], 15000.0);
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_pickup_that_went_whole_into_a_treatment_or_portions_is_put_right_in_the_printed_order() {
    for (made, left) in [
        ("treat LOT --step press --wet-out 4.2kg", 4200.0),
        ("portion LOT --into 2x3kg", 5000.0),
    ] {
        let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
        kitchen.at("2026-11-09T11:00:00Z");
        kitchen.ok(&made.replace("LOT", &corrow));
        let said = kitchen.refused(1, &format!("correct 5 --wet 5kg {SLIP}"));
        for command in corrections_after(&said, "put the pickup right too:") {
            kitchen.ok(&command);
        }
        let shelf = kitchen.json("shelf");
        let lots = shelf["lots"].as_array().unwrap().iter();
        let others = lots.filter(|lot| lot["lot"] != alder.as_str());
        let on_hand: f64 = others.map(|lot| lot["wet_g"].as_f64().unwrap()).sum();
        assert_eq!(on_hand, left, "{shelf}");
        // Several lots are counted one by one.
        assert_eq!(
            said.contains("once for each of"),
            made.contains("portion"),
            "{said}"
        );
        has(&kitchen.ok("check"), "whole");
    }
}

#[test]
fn what_came_out_of_a_treatment_and_went_on_is_put_right_in_the_printed_order() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    let blended = |lot: &str| {
        let made = kitchen.json(&format!("treat {lot} --step blend --wet-out 6kg"))["lot"].clone();
        (
            made.as_str().unwrap().to_owned(),
            kitchen.last_entry("treat"),
        )
    };
    let ((one, treat), (other, _)) = (blended(&corrow), blended(&alder));
    let joined = kitchen.json(&format!("join {one} {other}"))["lot"].clone();
    let said = kitchen.refused(1, &format!("correct {treat} --wet-out 5.9kg {SLIP}"));
    let typed = corrections_after(&said, "put what took of it right first:");
    assert_eq!(typed.len(), 2, "{said}");
    for command in typed {
        kitchen.ok(&command);
    }
    assert_eq!(kitchen.on_shelf(joined.as_str().unwrap())["wet_g"], 11900.0);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_use_that_was_forgotten_before_a_join_is_written_down_in_the_printed_order() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T12:00:00Z");
    let joined = kitchen.json(&format!("join {corrow} {alder}"))["lot"].clone();
    kitchen.at("2026-11-09T13:00:00Z");
    let forgotten = format!("use {corrow} --wet 1kg --for rolls --at 11:00");
    let said = kitchen.refused(1, &forgotten);
    has(&said, "nothing is left of lot");
    let typed = corrections_after(&said, "if less of it went into the other lot:");
    assert_eq!(typed.len(), 1, "{said}");
    kitchen.ok(&typed[0]);
    kitchen.ok(&forgotten);
    assert_eq!(kitchen.on_shelf(joined.as_str().unwrap())["wet_g"], 11000.0);
    has(&kitchen.ok("check"), "whole");
    // What was taken after the join was taken of the joined lot.
    let later = kitchen.refused(1, &format!("use {corrow} --wet 1kg --for rolls --at 12:30"));
    assert!(!later.contains("draff correct"), "{later}");
}

/// The entry in force by which a lot came.
fn arrival(kitchen: &Kitchen, lot: &str) -> i64 {
    let log = kitchen.json(&format!("log {lot}"));
    let entries = log["entries"].as_array().unwrap().iter();
    let mut pickups = entries.filter(|one| one["kind"] == "pickup" && one["amended_by"].is_null());
    pickups.next().expect("a pickup")["entry"].as_i64().unwrap()
}

#[test]
fn grain_that_is_on_hand_again_after_all_of_it_was_treated_or_parted_is_told() {
    for (made, took) in [
        ("treat LOT --step press --wet-out 4.2kg", "treated"),
        ("portion LOT --into 2x3kg", "parted off"),
    ] {
        let (mut kitchen, corrow, _) = Kitchen::with_two_tubs();
        kitchen.at("2026-11-09T11:00:00Z");
        kitchen.ok(&made.replace("LOT", &corrow));
        let entry = kitchen.last_entry(if took == "treated" { "treat" } else { "part" });
        let told = kitchen.told(&format!("correct 5 --wet 7kg {SLIP}"));
        has(
            &told,
            &format!(
                "1 kg of lot `{corrow}` stand on the shelf by this; all of it had been {took}"
            ),
        );
        has(&told, &format!("draff correct {entry} --wet"));
        let again = arrival(&kitchen, &corrow);
        let told = kitchen.told(&format!("correct {again} --wet 6kg {SLIP}"));
        assert!(!told.contains("stand on the shelf"), "{told}");
        // Less went in: the lot is named that has it now, and nothing that undoes this.
        let less = if took == "treated" { "5kg" } else { "2kg" };
        let told = kitchen.told(&format!("correct {entry} --wet {less} {SLIP}"));
        has(&told, &format!("1 kg of lot `{corrow}` stand on the shelf"));
        assert!(!told.contains("draff correct"), "{told}");
    }
}
