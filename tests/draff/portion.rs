//! `portion` and `join`: lots parted and put together.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

#[test]
fn portions_have_the_same_history_and_codes_of_their_own() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let answer = kitchen.json(&format!("portion {lot} --into 8x500g --to freezer"));
    let codes: Vec<&str> = answer["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| lot["lot"].as_str().unwrap())
        .collect();
    assert_eq!(codes.len(), 8);
    for code in &codes {
        let shelf = kitchen.on_shelf(code);
        assert_eq!(
            (&shelf["wet_g"], &shelf["place"]),
            (&json!(500.0), &json!("freezer"))
        );
        assert_eq!(shelf["day"], json!(1));
    }
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(1000.0));
    // What is all portioned out is used up.
    kitchen.ok(&format!("portion {lot} --into 1x600g --into 2x200g"));
    assert!(
        kitchen
            .refused(1, &format!("portion {lot} --into 1x1g"))
            .contains("nothing is left")
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn portions_that_cannot_be_are_refused_whole() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    for (code, words, said) in [
        (1, "--into 11x500g", "has 5 kg left: 11 portions of 5.5 kg"),
        (2, "--into 500g", "no x between"),
        (2, "--into 0x500g", "allowed is 1 to 200"),
        (2, "--into 8x500", "no unit"),
        (1, "--into 8x500g --to attic", "attic"),
        (1, "--into 200x1g --into 200x1g", "400 portions"),
        (2, "", "--into"),
    ] {
        let found = kitchen.refused(code, &format!("portion {lot} {words}"));
        assert!(found.contains(said), "{words}: {found}");
    }
}

/// Monday's lot and Wednesday's: the earliest date, all sources, the moisture by weight.
#[test]
fn joined_grain_keeps_the_earliest_date() {
    let kitchen = Kitchen::new();
    let monday = kitchen.pickup(
        "--brewed 2026-11-16 --mash-out '2026-11-16 07:30' --cooled '2026-11-16 10:00' --wet 2kg --grist 'barley malt 100%' --collected '2026-11-16 11:00'",
    );
    let wednesday = kitchen.json(
        "pickup --source 'Mill Brook' --brewed 2026-11-18 --mash-out '2026-11-18 07:30' --cooled '2026-11-18 10:00' --wet 6kg --grist 'barley malt 60%, wheat malt 40%' --collected '2026-11-18 11:00'",
    )["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok(&format!("moisture {monday} --lab 80% --lab-sd 1%"));
    kitchen.ok(&format!("moisture {wednesday} --lab 76% --lab-sd 1%"));
    let joined = kitchen.json(&format!("join {wednesday} {monday}"));
    let code = joined["lot"].as_str().unwrap();
    assert!(code.starts_with("ALD-261116-2"), "{code}");
    assert_eq!(joined["wet_g"], json!(8000.0));
    let moisture = &joined["moisture"];
    assert_eq!(moisture["from"], "joined lots");
    assert!((moisture["wet_basis"].as_f64().unwrap() - 0.77).abs() < 1e-9);
    // Two laboratories share nothing: √(2² + 6²) ÷ 8 of a point (GUM 5.1.2, arithmetic).
    let standard = 0.01 * 40f64.sqrt() / 8.0;
    assert!((moisture["standard_uncertainty"].as_f64().unwrap() - standard).abs() < 1e-9);
    // Food Code 3-501.17(C): Sunday, as Monday's lot had it.
    assert_eq!(joined["keep_until"], "2026-11-22T23:59:59+00:00");
    assert!(kitchen.ok("check").contains("whole"));
    let refused = kitchen.refused(1, &format!("use {monday} --wet 1kg --for bread"));
    assert!(refused.contains("nothing is left"), "{refused}");
    // Striking one of its entries takes the whole act back.
    let entry = kitchen.last_entry("join");
    kitchen.ok(&format!("strike {} --reason 'other tub'", entry - 1));
    assert_eq!(kitchen.on_shelf(&monday)["wet_g"], json!(2000.0));
    assert_eq!(kitchen.on_shelf(&wednesday)["wet_g"], json!(6000.0));
    assert!(
        kitchen
            .refused(1, &format!("moisture {code}"))
            .contains("struck")
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn warm_time_of_the_warmer_one_counts_for_all() {
    let mut kitchen = Kitchen::new();
    let one = kitchen.lot("2kg");
    let other = kitchen.lot("2kg");
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("move {one} --to counter --at 11:00"));
    kitchen.ok(&format!("move {one} --to fridge --at 12:30"));
    let joined = kitchen.json(&format!("join {one} {other}"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(kitchen.on_shelf(&joined)["warm_minutes"], json!(90));
    kitchen.at("2026-11-20T13:30:00Z");
    kitchen.ok(&format!("move {joined} --to counter --at 12:40"));
    assert_eq!(kitchen.on_shelf(&joined)["warm_minutes"], json!(140));
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "use-first");
    // A finding about one of them, made later about the time before, is about the joined grain too.
    kitchen.ok(&format!("probe {other} --spoiled mould --at 12:00"));
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "past");
}

#[test]
fn what_cannot_be_one_lot_is_refused() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let other = kitchen.lot("5kg");
    let unknown = kitchen.pickup("--brewed 2026-11-20 --wet 1kg");
    let steeped = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 1kg --kind steeped");
    let pressed = kitchen.json(&format!(
        "treat {other} --step press --wet-in 2kg --wet-out 1.5kg"
    ));
    let pressed = pressed["lot"].as_str().unwrap();
    let frozen = kitchen.json(&format!("move {other} --wet 1kg --to freezer"));
    let frozen = frozen["lot"].as_str().unwrap();
    for (code, words, said) in [
        (1, format!("{lot} {unknown}"), "is unknown"),
        (2, format!("{lot} {lot}"), "name each lot once"),
        (1, lot.clone(), "two lots or more"),
        (1, format!("{lot} {pressed}"), "one lot has one form"),
        (1, format!("{lot} {steeped}"), "kept apart"),
        (1, format!("{lot} {frozen}"), "lie in fridge, freezer"),
        (1, format!("{lot} {other} --to attic"), "attic"),
        (
            1,
            format!("{lot} {other} --at 'tomorrow 09:00'"),
            "after now",
        ),
        (2, String::new(), "LOT"),
    ] {
        let found = kitchen.refused(code, &format!("join {words}"));
        assert!(found.contains(said), "{words}: {found}");
    }
}

#[test]
fn portions_and_waste_that_were_typed_twice_are_told() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    for line in [
        format!("portion {lot} --into 2x500g"),
        format!("discard {lot} --wet 200g --reason spilt"),
    ] {
        let first = kitchen.run(&line);
        assert!(!first.told().contains("says the same"), "{first:?}");
        let second = kitchen.run(&line);
        assert!(second.told().contains("says the same"), "{second:?}");
    }
}

#[test]
fn joined_grain_names_all_its_breweries() {
    let mut kitchen = Kitchen::new();
    let lots = ["Alder Lane", "Tarn Fell"].map(|source| kitchen.lot_from(source, "--wet 3kg"));
    kitchen.at("2026-11-20T13:00:00Z");
    let joined = kitchen.json(&format!("join {} {}", lots[0], lots[1]));
    let joined = joined["lot"].as_str().unwrap();
    let both = "Alder Lane + Tarn Fell";
    let said = kitchen.ok(&format!("probe {joined} 4C"));
    has(&one_line(&said), both);
    has(&kitchen.ok(&format!("ticket {joined}")), both);
    assert_eq!(kitchen.on_shelf(joined)["source"], both);
    kitchen.ok(&format!("use {joined} --wet 1kg --for buns"));
    for source in ["Alder Lane", "Tarn Fell"] {
        let usage = kitchen.json(&format!("usage --source \"{source}\""));
        assert_eq!(usage["usage"][0]["source"], both, "{usage}");
    }
    has(&kitchen.ok("usage --csv -"), both);
}

#[test]
fn the_grist_of_joined_grain_is_rounded_and_an_older_one_stays() {
    let mut kitchen = Kitchen::new();
    let one = kitchen.lot_from("Alder Lane", "--wet 16kg --grist \"barley malt 100%\"");
    let pickup = kitchen.last_entry("pickup");
    let other = kitchen.lot_from(
        "Alder Lane",
        "--wet 5kg --grist \"barley malt 70%, wheat malt 30%\"",
    );
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("join {one} {other} --to fridge"));
    let grist = |kitchen: &Kitchen| -> String {
        let newest = "SELECT coalesce(lot_now.grist, lot.grist) FROM lot
            LEFT JOIN lot_now ON lot_now.lot_id = lot.id ORDER BY lot.id DESC LIMIT 1";
        let book = kitchen.sqlite();
        book.query_row(newest, [], |row| row.get(0)).unwrap()
    };
    assert_eq!(grist(&kitchen), "barley malt 92.86%, wheat malt 7.14%");
    // Books hold grists whose shares were cut: they are whole, and stay as they are.
    let cut = "barley malt 92.85%, wheat malt 7.14%";
    kitchen.past_the_triggers(|book| {
        let joined = "UPDATE lot SET grist = ?1 WHERE id = (SELECT max(id) FROM lot)";
        book.execute(joined, [cut]).unwrap();
    });
    kitchen.chain_anew();
    kitchen.ok(&format!(
        "correct {pickup} --mash-out 07:20 --reason \"brewer's sheet\""
    ));
    assert_eq!(grist(&kitchen), cut);
    has(&kitchen.ok("check"), "whole");
}
