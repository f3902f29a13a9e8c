//! A treatment, a portion or a join is put right in one act: what it made keeps its code, what follows is judged again,
//! and grain that was past stays past.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};

/// A kitchen on Friday at 12:00 with a lot of this morning.
fn tub(wet: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20 08:00");
    let lot = kitchen.pickup(&format!(
        "--brewed today --mash-out 05:00 --cooled 07:00 --wet {wet}"
    ));
    kitchen.at("2026-11-20 12:00");
    (kitchen, lot)
}

/// Treats a lot; gives the code of what came out and the entry.
#[track_caller]
fn treated(kitchen: &Kitchen, lot: &str, how: &str) -> (String, i64) {
    let made = kitchen.json(&format!("treat {lot} {how}"))["lot"].clone();
    (
        made.as_str().unwrap().to_owned(),
        kitchen.last_entry("treat"),
    )
}

/// One entry of the log.
#[track_caller]
fn entry(kitchen: &Kitchen, number: i64) -> Value {
    let log = kitchen.json("log");
    let entries = log["entries"].as_array().unwrap();
    let found = entries.iter().find(|entry| entry["entry"] == json!(number));
    found.expect("it is in the log").clone()
}

#[track_caller]
fn weighs(kitchen: &Kitchen, lot: &str, grams: f64) {
    assert_eq!(kitchen.on_shelf(lot)["wet_g"], json!(grams), "{lot}");
}

#[track_caller]
fn whole(kitchen: &Kitchen) {
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn weights_of_a_treatment_are_put_right_and_the_lot_keeps_its_code() {
    let (kitchen, lot) = tub("10kg");
    let (pressed, wrong) = treated(&kitchen, &lot, "--step press --wet-in 4kg --wet-out 2.6kg");
    kitchen.ok(&format!("use {pressed} 1kg --for bread"));
    let ran = kitchen.run(&format!(
        "correct {wrong} --wet-in 5kg --wet-out 3.2kg --reason \"read the wrong scale\""
    ));
    assert_eq!(ran.code, 0, "{}", ran.err);
    has(&one_line(&ran.out), &format!("becomes {pressed}"));
    has(&one_line(&ran.out), "pressed to 3.2 kg");
    weighs(&kitchen, &lot, 5000.0);
    weighs(&kitchen, &pressed, 2200.0);
    // Dry grain stays: 5 kg at 78 % hold 1.1 kg.
    assert_eq!(
        kitchen.on_shelf(&pressed)["moisture"]["wet_basis"],
        json!(0.65625)
    );
    let right = kitchen.last_entry("treat");
    let (old, new) = (entry(&kitchen, wrong), entry(&kitchen, right));
    assert_eq!(old["amended_by"], json!(right));
    assert_eq!(new["amends"], json!(wrong));
    assert_eq!(new["new_lot"], json!(pressed));
    assert_eq!(old["wet_out_g"], json!(2600.0), "what was written stays");
    let trace = kitchen.json(&format!("trace {lot}"));
    assert_eq!(trace["balance"]["difference_g"], json!(0.0));
    let usage = kitchen.json("usage");
    let lost = usage["usage"].as_array().unwrap().iter();
    assert_eq!(
        lost.filter(|one| one["wet_g"] == json!(1800.0)).count(),
        1,
        "once in every sum: {usage}"
    );
    whole(&kitchen);
    // A correction is corrected, and its strike brings the one before it back.
    kitchen.ok(&format!("correct {right} --wet 4.5kg --reason again"));
    weighs(&kitchen, &lot, 5500.0);
    let last = kitchen.last_entry("treat");
    kitchen.ok(&format!("strike {last} --reason no"));
    weighs(&kitchen, &lot, 5000.0);
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason \"it was right\""));
    weighs(&kitchen, &lot, 5500.0);
    whole(&kitchen);
    kitchen.ok(&format!(
        "strike {last} {right} --reason \"first was right\""
    ));
    weighs(&kitchen, &lot, 6000.0);
    weighs(&kitchen, &pressed, 1600.0);
    whole(&kitchen);
}

#[test]
fn weights_that_cannot_be_are_refused_with_figures() {
    let (kitchen, lot) = tub("10kg");
    let (pressed, wrong) = treated(&kitchen, &lot, "--step press --wet-in 5kg --wet-out 3.2kg");
    kitchen.ok(&format!("use {pressed} 2kg --for bread"));
    let refused = |options: &str| {
        one_line(&kitchen.refused(1, &format!("correct {wrong} {options} --reason x")))
    };
    let said = refused("--wet-out 1.8kg");
    has(
        &said,
        &format!("200 g more would have gone out of lot `{pressed}`"),
    );
    let said = refused("--wet 11kg");
    has(
        &said,
        &format!("1 kg more would have gone out of lot `{lot}`"),
    );
    has(
        &refused("--wet-out 6kg"),
        "more than the 5000 g that went in",
    );
    has(&refused("--water-added 1kg"), "no water is added");
    has(&refused("--minutes 30"), "add --temp TEMPERATURE");
    has(&refused("--wet-out 3.2kg"), "says that already");
    let said = refused(&format!("--lot {pressed}"));
    has(&said, "--lot");
    has(
        &said,
        &format!("draff strike {} {wrong}", kitchen.last_entry("use")),
    );
    has(&said, &format!("draff treat {lot} --step press"));
    has(&said, "can be corrected");
    whole(&kitchen);
}

#[test]
fn water_that_was_not_added_is_taken_out_of_a_treatment() {
    let (kitchen, lot) = tub("10kg");
    let (paste, wrong) = treated(
        &kitchen,
        &lot,
        "--step blend --wet-in 2kg --water-added 500g --wet-out 2.4kg",
    );
    kitchen.ok(&format!(
        "correct {wrong} --water-added 0 --wet-out 1.9kg --left-behind 100g --note \"no water\" --reason slip"
    ));
    let right = entry(&kitchen, kitchen.last_entry("treat"));
    assert_eq!(right["water_added_g"], json!(0.0));
    assert_eq!(right["words"], "no water");
    weighs(&kitchen, &paste, 1900.0);
    let trace = kitchen.json(&format!("trace {lot}"));
    assert_eq!(trace["balance"]["added_in_treatments_g"], json!(0.0));
    whole(&kitchen);
}

#[test]
fn the_time_of_a_treatment_is_put_right_within_what_else_happened() {
    let (mut kitchen, lot) = tub("10kg");
    kitchen.at("2026-11-20 10:20");
    kitchen.ok(&format!("move {lot} --to counter --at 08:30"));
    let (pressed, wrong) = treated(
        &kitchen,
        &lot,
        "--step press --wet-in 5kg --wet-out 3.2kg --place fridge --at 10:00",
    );
    kitchen.at("2026-11-20 10:30");
    kitchen.ok(&format!("move {pressed} --to freezer --at 10:10"));
    let correct = |at: &str| format!("correct {wrong} --at {at} --reason clock");
    // Not before the whole lot was moved, nor after what came out was, nor after it was written down.
    has(
        &kitchen.refused(1, &correct("08:15")),
        &format!("lot `{lot}` was moved"),
    );
    has(&kitchen.refused(1, &correct("10:15")), "is before that");
    kitchen.refused(1, &correct("10:25"));
    assert_eq!(kitchen.on_shelf(&pressed)["warm_minutes"], json!(90));
    kitchen.ok(&correct("09:30"));
    assert_eq!(kitchen.on_shelf(&pressed)["warm_minutes"], json!(60));
    assert_eq!(
        entry(&kitchen, kitchen.last_entry("treat"))["at"],
        "2026-11-20T09:30:00+00:00"
    );
    whole(&kitchen);
}

/// On the counter since 08:30, it was past when it was pressed at 12:00. Pressed at 09:30 it would not be.
#[test]
fn a_treatment_that_goes_to_an_earlier_time_makes_no_past_grain_usable() {
    let (kitchen, lot) = tub("10kg");
    kitchen.ok(&format!("move {lot} --to counter --at 08:30"));
    let (pressed, wrong) = treated(
        &kitchen,
        &lot,
        "--step press --wet-in 5kg --wet-out 3.2kg --place fridge",
    );
    assert_eq!(kitchen.on_shelf(&pressed)["verdict"], "past");
    let said = kitchen.refused(1, &format!("correct {wrong} --at 09:30 --reason clock"));
    has(&said, "usable again");
}

#[test]
fn how_long_and_how_warm_a_treatment_was_is_put_right_and_grain_that_was_eaten_past_is_told() {
    let (mut kitchen, lot) = tub("6kg");
    kitchen.at("2026-11-20 15:00");
    let (pressed, wrong) = treated(
        &kitchen,
        &lot,
        "--step press --wet-out 4kg --minutes 30 --temp 20C",
    );
    kitchen.at("2026-11-20 15:10");
    kitchen.ok(&format!("use {pressed} 1kg --for bread"));
    let told = kitchen.told(&format!(
        "correct {wrong} --minutes 360 --reason \"began at nine\""
    ));
    has(&told, "when it was past");
    assert_eq!(kitchen.on_shelf(&pressed)["verdict"], "past");
    assert_eq!(kitchen.on_shelf(&pressed)["warm_minutes"], json!(360));
    has(
        &one_line(&kitchen.ok(&format!("trace {pressed}"))),
        "NOT TO BE USED",
    );
    let said = kitchen.refused(
        1,
        &format!(
            "correct {} --minutes 600 --reason x",
            kitchen.last_entry("treat")
        ),
    );
    has(&said, "before that");
    kitchen.ok(&format!(
        "strike {} --reason \"it was half an hour\"",
        kitchen.last_entry("treat")
    ));
    assert_eq!(kitchen.on_shelf(&pressed)["verdict"], "good");
    whole(&kitchen);
}

/// Written late, a treatment takes no grain off the shelf that is past by now; corrected late, it does not either.
#[test]
fn a_corrected_treatment_makes_grain_usable_in_time_and_not_late() {
    for (now, is_late) in [("2026-11-21 09:00", false), ("2026-11-30 09:00", true)] {
        let (mut kitchen, lot) = tub("6kg");
        kitchen.at("2026-11-20 15:00");
        let (pressed, wrong) = treated(
            &kitchen,
            &lot,
            "--step press --wet-out 4kg --minutes 360 --temp 20C",
        );
        kitchen.at("2026-11-20 15:10");
        kitchen.ok(&format!("move {pressed} --to freezer"));
        kitchen.at(now);
        let correct = format!("correct {wrong} --minutes 30 --reason \"a nought too many\"");
        if is_late {
            has(&kitchen.refused(1, &correct), "usable again");
        } else {
            kitchen.ok(&correct);
        }
        let verdict = kitchen.on_shelf(&pressed)["verdict"].clone();
        assert_eq!(verdict == "past", is_late, "{now}: {verdict}");
        whole(&kitchen);
    }
}

/// Its lot is tested, so the weights are certain enough to contradict a test.
#[test]
fn a_test_that_shows_grain_dry_is_not_slipped_in_between_two_corrections() {
    let (kitchen, lot) = tub("6kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    let (dried, wrong) = treated(
        &kitchen,
        &lot,
        "--step dry --wet-in 4kg --wet-out 2kg --minutes 120 --temp 65C",
    );
    let test = format!("moisture {dried} --lab 8% --lab-sd 0.5%");
    has(&kitchen.refused(1, &test), "the weights of its drying");
    kitchen.ok(&format!("correct {wrong} --wet-out 1kg --reason x"));
    kitchen.ok(&test);
    let right = kitchen.last_entry("treat");
    // It was measured by now, so nobody is asked to.
    let told = kitchen.told(&format!("correct {right} --minutes 110 --reason x"));
    assert!(!told.contains("until it is shown dry"), "{told}");
    let right = kitchen.last_entry("treat");
    let said = kitchen.refused(1, &format!("correct {right} --wet-out 2kg --reason x"));
    has(&said, "the weights of its drying");
}

#[test]
fn the_weight_of_one_portion_is_put_right_and_all_codes_stay() {
    let (kitchen, lot) = tub("10kg");
    let parts = kitchen.json(&format!("portion {lot} --into 3x500g --thick 2cm"));
    let parts: Vec<String> = parts["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| part["lot"].as_str().unwrap().to_owned())
        .collect();
    let last = kitchen.last_entry("part");
    let second = last - 1;
    assert_eq!(entry(&kitchen, second)["new_lot"], json!(parts[1]));
    kitchen.ok(&format!(
        "correct {second} --wet 700g --reason \"read 500\""
    ));
    weighs(&kitchen, &lot, 8300.0);
    for (part, grams) in parts.iter().zip([500.0, 700.0, 500.0]) {
        weighs(&kitchen, part, grams);
    }
    let right = kitchen.last_entry("part");
    let thick = "SELECT depth_um FROM lot_depth WHERE entry_id = ?1";
    let thick = kitchen
        .sqlite()
        .query_row(thick, [right], |row| row.get::<_, i64>(0));
    assert_eq!(thick, Ok(20_000), "it lies as thick as it was stated");
    whole(&kitchen);
    // Less than was used of it since is not what it weighed.
    kitchen.ok(&format!("use {} 600g --for rolls", parts[1]));
    let said = kitchen.refused(1, &format!("correct {right} --wet 550g --reason x"));
    has(
        &said,
        &format!("50 g more would have gone out of lot `{}`", parts[1]),
    );
    let said = kitchen.refused(1, &format!("correct {right} --wet 9.5kg --reason x"));
    has(
        &said,
        &format!("500 g more would have gone out of lot `{lot}`"),
    );
    let said = kitchen.refused(1, &format!("strike {right} --reason x"));
    has(&said, "100 g more would have gone out");
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {used} {right} --reason \"it was 500\""));
    weighs(&kitchen, &parts[1], 500.0);
    weighs(&kitchen, &lot, 8500.0);
    whole(&kitchen);
}

/// What was parted off later was warm for longer, and what was found on it since stays after it.
#[test]
fn the_time_of_a_portion_is_put_right_and_what_it_is_judged_by_moves_with_it() {
    let (mut kitchen, lot) = tub("10kg");
    kitchen.at("2026-11-20 10:20");
    kitchen.ok(&format!("move {lot} --to counter --at 08:30"));
    kitchen.ok(&format!(
        "portion {lot} --into 1x1kg --to fridge --at 09:00"
    ));
    let wrong = kitchen.last_entry("part");
    let part = entry(&kitchen, wrong)["new_lot"].clone();
    let part = part.as_str().unwrap();
    assert_eq!(kitchen.on_shelf(part)["warm_minutes"], json!(30));
    kitchen.ok(&format!(
        "correct {wrong} --at 10:00 --note late --reason clock"
    ));
    assert_eq!(kitchen.on_shelf(part)["warm_minutes"], json!(90));
    let right = kitchen.last_entry("part");
    assert_eq!(entry(&kitchen, right)["words"], "late");
    kitchen.ok(&format!("probe {part} 4C --at 10:10"));
    let said = kitchen.refused(1, &format!("correct {right} --at 10:15 --reason x"));
    has(&said, "was parted off at");
    whole(&kitchen);
}

/// The entry of this kind about a lot that counts.
#[track_caller]
fn in_force(kitchen: &Kitchen, kind: &str, lot: &str) -> i64 {
    let log = kitchen.json(&format!("log {lot}"));
    let entries = log["entries"].as_array().unwrap().iter();
    let mut found = entries.filter(|one| {
        one["kind"] == kind
            && one["lot"] == lot
            && one["amended_by"].is_null()
            && one["struck_by"].is_null()
    });
    let entry = found.next().expect("one counts")["entry"].as_i64();
    assert!(found.next().is_none(), "one counts");
    entry.unwrap()
}

/// Lots of 3 kg and 4 kg, and what they were joined into.
fn joined(options: &str) -> (Kitchen, [String; 2], String) {
    let (mut kitchen, one) = tub("3kg");
    let other = kitchen
        .pickup("--brewed today --mash-out 05:00 --cooled 07:00 --collected 08:00 --wet 4kg");
    kitchen.ok(&format!("move {one} --to counter --at 11:00"));
    kitchen.at("2026-11-20 12:20");
    let made = kitchen.json(&format!("join {one} {other} --to fridge {options}"))["lot"].clone();
    let made = made.as_str().unwrap().to_owned();
    (kitchen, [one, other], made)
}

#[test]
fn what_went_into_a_join_is_put_right_and_the_joined_lot_keeps_its_code() {
    let (kitchen, [one, other], made) = joined("");
    kitchen.ok(&format!("use {made} 1kg --for bread"));
    let wrong = in_force(&kitchen, "join", &other);
    let said = kitchen.refused(1, &format!("correct {wrong} --wet 5kg --reason x"));
    has(
        &said,
        &format!("1 kg more would have gone out of lot `{other}`"),
    );
    let told = kitchen.told(&format!(
        "correct {wrong} --wet 3.5kg --reason \"half a kilo stayed\""
    ));
    has(&told, &other);
    weighs(&kitchen, &made, 5500.0);
    weighs(&kitchen, &other, 500.0);
    let trace = kitchen.json(&format!("trace {other}"));
    assert_eq!(trace["balance"]["difference_g"], json!(0.0));
    whole(&kitchen);
    // One act put them together, so any part takes the whole correction back, and its last strike brings it again.
    let part = in_force(&kitchen, "join", &one);
    let struck = kitchen.json(&format!("strike {part} --reason \"all of it\""));
    assert_eq!(
        struck["with_them"],
        json!([leader_of(&kitchen, part)]),
        "{struck}"
    );
    weighs(&kitchen, &made, 6000.0);
    assert_eq!(in_force(&kitchen, "join", &other), wrong);
    whole(&kitchen);
    let strike = kitchen.last_entry("strike");
    has(
        &kitchen.refused(1, &format!("strike {} --reason x", strike - 1)),
        &format!("entry {strike} the rest of it"),
    );
    kitchen.ok(&format!("strike {strike} --reason \"it was right\""));
    weighs(&kitchen, &made, 5500.0);
    whole(&kitchen);
    // With the corrections the join goes too, and its grain is as it came.
    let used = kitchen.last_entry("use");
    let right = in_force(&kitchen, "join", &one);
    kitchen.ok(&format!(
        "strike {used} {right} {wrong} --reason \"never joined\""
    ));
    weighs(&kitchen, &one, 3000.0);
    weighs(&kitchen, &other, 4000.0);
    whole(&kitchen);
}

/// The leading entry of the correction that an entry of a join was written with.
fn leader_of(kitchen: &Kitchen, part: i64) -> i64 {
    kitchen
        .sqlite()
        .query_row(
            "SELECT leader_id FROM goes_with WHERE entry_id = ?1",
            [part],
            |row| row.get(0),
        )
        .unwrap()
}

#[test]
fn the_time_of_a_join_is_put_right_for_all_its_parts() {
    let (kitchen, lots, made) = joined("--at 12:00");
    assert_eq!(kitchen.on_shelf(&made)["warm_minutes"], json!(60));
    let wrong = kitchen.last_entry("join");
    kitchen.ok(&format!("correct {wrong} --at 11:30 --reason clock"));
    assert_eq!(kitchen.on_shelf(&made)["warm_minutes"], json!(30));
    for lot in &lots {
        let part = entry(&kitchen, in_force(&kitchen, "join", lot));
        assert_eq!(part["at"], "2026-11-20T11:30:00+00:00");
    }
    whole(&kitchen);
    // Not before one of them was moved, nor after what was found on the joined lot.
    let right = in_force(&kitchen, "join", &lots[1]);
    let said = kitchen.refused(1, &format!("correct {right} --at 10:30 --reason x"));
    has(&said, &format!("lot `{}` was moved", lots[0]));
    kitchen.ok(&format!("probe {made} 4C --at 12:10"));
    let said = kitchen.refused(1, &format!("correct {right} --at 12:15 --reason x"));
    has(&said, &format!("lot `{made}` was made at"));
    kitchen.ok(&format!(
        "correct {right} --at 11:45 --note \"in the cold room\" --reason clock"
    ));
    assert_eq!(kitchen.on_shelf(&made)["warm_minutes"], json!(45));
    let again = in_force(&kitchen, "join", &lots[0]);
    kitchen.ok(&format!("strike {again} --reason \"it was half past\""));
    assert_eq!(kitchen.on_shelf(&made)["warm_minutes"], json!(30));
    whole(&kitchen);
}

#[test]
fn another_place_of_a_join_and_an_earlier_time_save_no_grain_that_was_past() {
    let (mut kitchen, one) = tub("3kg");
    kitchen.at("2026-11-20 10:20");
    let other = kitchen
        .pickup("--brewed today --mash-out 05:00 --cooled 07:00 --collected 08:00 --wet 4kg");
    kitchen.ok(&format!("move {one} --to counter --at 08:30"));
    let made = kitchen.json(&format!("join {one} {other} --to counter"))["lot"].clone();
    let made = made.as_str().unwrap().to_owned();
    let wrong = kitchen.last_entry("join");
    kitchen.at("2026-11-20 15:00");
    assert_eq!(kitchen.on_shelf(&made)["verdict"], "past");
    let said = kitchen.refused(1, &format!("correct {wrong} --place fridge --reason x"));
    has(&said, "would make it usable again");
    kitchen.ok(&format!("correct {wrong} --at 09:00 --reason clock"));
    assert_eq!(kitchen.on_shelf(&made)["verdict"], "past");
    whole(&kitchen);
}

#[test]
fn what_hinders_a_correction_is_named_with_what_to_type() {
    let (kitchen, lot) = tub("10kg");
    // What stands in the way of a time is named, and how it is put right.
    let before = |entry: i64, at: &str, way: i64| {
        let said = kitchen.refused(1, &format!("correct {entry} --at {at} --reason clock"));
        has(&said, &format!("is before that, as entry {way} says"));
        has(&said, &format!("draff correct {way} --at WHEN"));
    };
    let (pressed, wrong) = treated(
        &kitchen,
        &lot,
        "--step press --wet-in 4kg --wet-out 2.6kg --at 11:00",
    );
    kitchen.ok(&format!("use {pressed} 1kg --for bread --at 11:10"));
    before(wrong, "11:30", kitchen.last_entry("use"));
    // Of a part there is one mass.
    kitchen.ok(&format!("move {lot} --wet 500g --to freezer"));
    let part = kitchen.last_entry("part");
    let said = kitchen.refused(1, &format!("correct {part} --wet-out 400g --reason x"));
    has(
        &said,
        &format!("draff correct {part} --wet … --reason TEXT"),
    );
    // Water goes into a blend or a soak only.
    let said = kitchen.refused(
        1,
        &format!("treat {lot} --step press --wet-in 1kg --wet-out 1.2kg"),
    );
    assert!(!said.contains("--water-added"), "{said}");
    let said = kitchen.refused(
        1,
        &format!("treat {lot} --step blend --wet-in 1kg --wet-out 1.2kg"),
    );
    has(&said, "--water-added");
}

#[test]
fn a_time_that_was_stated_by_mistake_is_taken_away_where_none_is_needed() {
    let (kitchen, lot) = tub("10kg");
    let timed = "--minutes 90 --temp 20C";
    let (pressed, wrong) = treated(
        &kitchen,
        &lot,
        &format!("--step press --wet-in 2kg --wet-out 1.3kg {timed}"),
    );
    let warm = || kitchen.on_shelf(&pressed)["warm_minutes"].clone();
    let before = warm();
    kitchen.refused(
        1,
        &format!("correct {wrong} --minutes 0 --temp 10C --reason x"),
    );
    kitchen.ok(&format!(
        "correct {wrong} --minutes 0 --reason \"time of another tub\""
    ));
    assert_ne!(warm(), before);
    let right = kitchen.last_entry("treat");
    kitchen.refused(1, &format!("correct {right} --minutes 0 --reason x"));
    // A drying is never without its time.
    let (_, dried) = treated(
        &kitchen,
        &lot,
        "--step dry --wet-in 2kg --wet-out 500g --minutes 90 --temp 65C",
    );
    kitchen.refused(1, &format!("correct {dried} --minutes 0 --reason x"));
    whole(&kitchen);
}

#[test]
fn more_dry_grain_lost_than_went_in_is_doubted() {
    let (kitchen, lot) = tub("10kg");
    let (_, wrong) = treated(&kitchen, &lot, "--step press --wet-in 2kg --wet-out 1.4kg");
    let told = kitchen.told(&format!("correct {wrong} --dry-loss 500g --reason found"));
    has(
        &told,
        "500 g of dry grain is stated as lost, and only about 440 g went in",
    );
    let told = kitchen.told(&format!(
        "treat {lot} --step press --wet-in 2kg --wet-out 1.4kg --dry-loss 20g"
    ));
    assert!(!told.contains("stated as lost"), "{told}");
}
