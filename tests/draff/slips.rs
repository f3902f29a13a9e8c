//! Slips of the hand: each is told, with what puts it right, or refused before anything is written.

use crate::env::{Kitchen, LOAF, SLIP, has};

#[test]
fn mouldy_grain_goes_to_no_animal_whoever_says_so() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    for reason in [
        "mouldy",
        "a bit of mold on top",
        "blue fur, smelly",
        "Rotten",
    ] {
        let said = kitchen.refused(1, &format!("discard {lot} --as feed --reason \"{reason}\""));
        has(&said, "mouldy or spoiled grain is no feed");
    }
    let said = kitchen.told(&format!(
        "discard {lot} --wet 1kg --reason \"mould on top\""
    ));
    has(&said, &format!("draff probe {lot} --spoiled"));
    // The rest of a tub with mould in it is no feed either, whatever the reason is now.
    let feed = "--wet 1kg --as feed --reason \"further than we bake\"";
    kitchen.refused(1, &format!("discard {lot} {feed}"));
    // What is no spoilage is no reason to doubt the rest.
    let lot = kitchen.lot("5kg");
    let said = kitchen.told(&format!("discard {lot} {feed}"));
    assert!(!said.contains("--spoiled"), "{said}");
}

#[test]
fn wet_grain_that_never_lay_in_a_freezer_is_not_colder_than_ice() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:00 --temp 63C --wet 5kg");
    kitchen.at("2026-11-20T10:50:00Z");
    // 19.5 °F is -6.9 °C: typed with the wrong unit it would show the grain cold.
    let said = kitchen.refused(1, &format!("probe {lot} 19.5F"));
    has(&said, "-6.944 °C");
    has(&said, "type it with its unit");
    kitchen.refused(
        1,
        "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out 10:30 --temp -3C --wet 5kg",
    );
    let said = kitchen.told(&format!("probe {lot} 19.5C"));
    has(&said, "measured 19.5 °C");
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.at("2026-11-21T10:50:00Z");
    kitchen.ok(&format!("probe {lot} -- -17C"));
}

#[test]
fn grain_that_cooled_faster_than_any_tub_is_doubted() {
    let kitchen = Kitchen::new();
    let said = kitchen.told(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 09:40 --temp 63F --wet 5kg",
    );
    has(
        &said,
        "17.2 °C 20 min after mash-out: no tub cools that fast",
    );
}

#[test]
fn a_file_that_is_read_again_later_is_told_with_the_line_that_takes_it_back() {
    let mut kitchen = Kitchen::new();
    kitchen.file(
        "p.csv",
        "source,brewed,wet,mash_out,temp\nTarn Fell,2026-11-20,10kg,08:30,\nTarn Fell,2026-11-20,11kg,08:30,19C\n",
    );
    kitchen.ok("pickup --csv p.csv");
    let lots = kitchen.json("shelf")["lots"].as_array().unwrap().len();
    kitchen.at("2026-11-20T20:00:00Z");
    let said = kitchen.told("pickup --csv p.csv");
    has(&said, "2 of 2 rows are in the book already");
    let line = said.split("draff strike ").nth(1).unwrap();
    let numbers = line.split(" --reason").next().unwrap();
    kitchen.ok(&format!("strike {numbers} --reason \"read twice\""));
    assert_eq!(
        kitchen.json("shelf")["lots"].as_array().unwrap().len(),
        lots
    );
    // Another tub of the same brew in a file with others is no file read twice.
    kitchen.file(
        "q.csv",
        "source,brewed,wet,mash_out\nTarn Fell,2026-11-20,10kg,08:30\nTarn Fell,2026-11-20,12kg,08:30\n",
    );
    let said = kitchen.told("pickup --csv q.csv");
    assert!(!said.contains("already"), "{said}");
}

#[test]
fn portions_typed_twice_are_taken_back_in_one_act() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("portion {lot} --into 2x500g --to freezer"));
    let said = kitchen.told(&format!("portion {lot} --into 2x500g --to freezer"));
    let line = said.split("draff strike ").nth(1).unwrap();
    let numbers = line.split(" --reason").next().unwrap();
    assert_eq!(numbers.split(' ').count(), 2, "{said}");
    kitchen.ok(&format!("strike {numbers} --reason \"typed twice\""));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 3);
}

#[test]
fn the_same_moisture_test_is_told() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    let said = kitchen.told(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    has(&said, "taken as the same dish");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    let said = kitchen.told(&format!("moisture {lot} --lab 77%"));
    has(&said, "says the same");
}

#[test]
fn a_bake_takes_what_its_sheet_says_on_the_scale_of_the_house() {
    let (mut kitchen, lot) = Kitchen::with_loaf("30kg");
    kitchen.ok("settings scale 5g");
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    for (bake, pieces) in [("B-1S", 12), ("B-2Q", 17), ("B-3O", 23)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-20 13:00\" mix --pieces {pieces} --lot {lot}"
        ));
        let sheet = kitchen.json(&format!("sheet {bake}"));
        let said = sheet["draws"][0]["wet_g"].as_f64().unwrap();
        assert_eq!(said % 5.0, 0.0, "{said}");
        kitchen.at("2026-11-20T13:30:00Z");
        let before = kitchen.on_shelf(&lot)["wet_g"].as_f64().unwrap();
        kitchen.ok(&format!("bake done {bake}"));
        let after = kitchen.on_shelf(&lot)["wet_g"].as_f64().unwrap();
        assert_eq!(before - after, said, "{bake}");
        kitchen.at("2026-11-20T12:00:00Z");
    }
}

#[test]
fn a_bake_that_came_to_what_no_dough_comes_to_is_doubted() {
    let (mut kitchen, lot) = Kitchen::with_loaf("9kg");
    let add =
        format!("bake add \"small loaf\" --at \"2026-11-20 13:00\" mix --pieces 12 --lot {lot}");
    kitchen.ok(&add);
    kitchen.at("2026-11-20T13:30:00Z");
    let said = kitchen.told(&format!(
        "bake done B-1S --water 90kg --pieces 120 --dough-temp 90C --baked 94kg --used {lot}=8kg"
    ));
    for part in [
        "grain 8 kg",
        "water 90 kg",
        "120 pieces",
        "94 kg of bread",
        "a dough at 90 °C",
    ] {
        has(&said, part);
    }
    // Done is done, whatever is left of its lot.
    has(&kitchen.refused(1, "bake done B-1S"), "is done already");
    kitchen.ok(&add.replace("13:00", "13:40"));
    kitchen.at("2026-11-20T14:00:00Z");
    let said = kitchen.run("bake done B-2Q --water 10g --used");
    assert_eq!(said.code, 2);
}

#[test]
fn nothing_asks_for_the_water_activity_of_soaked_grain() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:30 --wet 10kg");
    kitchen.at("2026-11-20T14:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-out 2.5kg --minutes 120 --temp 65C"
    ));
    let dried = dried["lot"].as_str().unwrap();
    let soaked = kitchen.json(&format!(
        "treat {dried} --step soak --wet-out 3.5kg --water-added 1kg"
    ));
    let soaked = soaked["lot"].as_str().unwrap();
    for said in [kitchen.ok("shelf"), kitchen.ok("today")] {
        assert!(
            !said.contains(&format!("draff probe {soaked} --aw")),
            "{said}"
        );
    }
}

#[test]
fn a_closed_place_is_called_closed() {
    let kitchen = Kitchen::new();
    kitchen.ok("place add cellar --kind ambient");
    kitchen.ok("place close cellar");
    let said = kitchen.refused(
        1,
        "pickup --source \"Alder Lane\" --brewed today --wet 5kg --place cellar",
    );
    has(&said, "`cellar` is closed");
    has(&said, "draff place change cellar");
}

#[test]
fn a_refused_late_act_names_a_lot_that_there_is() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-12-02T12:00:00Z");
    for act in [
        "move {} --wet 1kg --to freezer",
        "portion {} --into 2x1kg --to freezer",
    ] {
        let said = kitchen.refused(
            1,
            &format!("{} --at \"2026-11-21 06:00\"", act.replace("{}", &lot)),
        );
        has(&said, &format!("lot `{lot}` is past"));
    }
}

#[test]
fn a_near_name_in_a_file_is_told_with_its_line() {
    let kitchen = Kitchen::new();
    kitchen.ok("pickup --source \"Corrow Weir\" --brewed today --wet 9kg");
    kitchen.file(
        "x.csv",
        "source,brewed,wet\nCorrow Weir,2026-11-20,9kg\n\nCorow Weir,2026-11-20,8kg\n",
    );
    let said = kitchen.refused(1, "pickup --csv x.csv");
    has(&said, "`x.csv`, line 4: source `Corow Weir`");
    has(&said, "write `Corrow Weir` in that row");
}

#[test]
fn a_lot_of_a_few_grams_is_doubted() {
    let kitchen = Kitchen::new();
    for wet in ["6.2g", "620kg"] {
        let said = kitchen.told(&format!(
            "pickup --source \"Alder Lane\" --brewed today --wet {wet}"
        ));
        has(&said, "unusual weight");
    }
}

/// Dry grain is conserved: of 6 kg that come out at 5.8 kg no sample can be dry.
#[test]
fn one_weighing_after_a_minute_shows_no_grain_dry() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:00 --cooled 09:00 --wet 6kg");
    kitchen.at("2026-11-25T10:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-out 5.8kg --minutes 20 --temp 60C"
    ));
    let dried = dried["lot"].as_str().unwrap();
    kitchen.at("2026-11-25T10:06:00Z");
    let said = kitchen.refused(1, &format!("moisture {dried} 12 112 111 g"));
    has(
        &said,
        "says 1.0 % moisture, and the weights of its drying leave",
    );
    kitchen.ok(&format!("moisture {dried} 12 112 40 g"));
}

#[test]
fn what_makes_unknown_grain_usable_is_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:00 --temp 63C --wet 5kg");
    kitchen.at("2026-11-20T15:30:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    let said = kitchen.told(&format!("probe {lot} 20C --at \"2026-11-20 11:50\""));
    has(&said, &format!("lot `{lot}` was"));
}

#[test]
fn a_place_stated_otherwise_for_an_earlier_time_is_told_with_what_it_does() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-21T08:00:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    kitchen.at("2026-11-21T11:00:00Z");
    let said =
        kitchen.told("place change counter --kind fridge --temp 4C --at \"2026-11-21 08:30\"");
    has(
        &said,
        &format!("lot `{lot}` was use-first with 3 h of warm time"),
    );
}

#[test]
fn warm_rows_that_a_file_is_read_without_are_told() {
    let mut kitchen = Kitchen::new();
    kitchen.file(
        "log.csv",
        "time,temp C\n2026-11-20 08:00,3.5\n2026-11-20 09:00,18\n2026-11-20 10:00,3.5\n",
    );
    kitchen.at("2026-11-20T12:00:00Z");
    let said = kitchen.told("readings fridge --csv log.csv --to \"2026-11-20 08:30\"");
    has(&said, "rows that --from and --to leave out go up to 18 °C");
}

/// Water that a treatment added is no loss, and hides none.
#[test]
fn added_water_hides_no_loss() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let blended = kitchen.json(&format!(
        "treat {lot} --step blend --wet-in 2kg --wet-out 2.5kg --water-added 500g"
    ));
    let blended = blended["lot"].as_str().unwrap();
    kitchen.ok(&format!("treat {blended} --step press --wet-out 2.2kg"));
    let balance = &kitchen.json(&format!("trace {lot}"))["balance"];
    assert_eq!(balance["lost_in_treatments_g"], 300.0, "{balance}");
    assert_eq!(balance["added_in_treatments_g"], 500.0, "{balance}");
    let said = kitchen.ok(&format!("trace {lot}"));
    has(&said, "water added in treatments");
}

/// The brew day is typed wrong by one: one act puts it right, the code stays, and a recall by either day finds the lot.
#[test]
fn a_wrong_brew_day_is_put_right_in_one_act() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 2kg --for \"pan loaf\""));
    let entry = kitchen.last_entry("pickup");
    let said = kitchen.refused(
        1,
        &format!("correct {entry} --mash-out \"2026-11-18 07:30\" --reason slip"),
    );
    has(&said, "add --brewed DATE");
    kitchen.ok(&format!(
        "correct {entry} --brewed 2026-11-18 --reason \"brewed on Wednesday\""
    ));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["brewed_on"], "2026-11-18");
    assert_eq!(found["keep_until"], "2026-11-24T23:59:59+00:00");
    for day in ["2026-11-18", "2026-11-20"] {
        let trace = kitchen.json(&format!(
            "trace --source \"Alder Lane\" --between {day} {day}"
        ));
        assert_eq!(trace["lots"][0]["lot"], lot, "{trace}");
    }
    // Without a mash-out a brew day says nothing that counts.
    kitchen.ok("pickup --source \"Alder Lane\" --brewed today --wet 5kg");
    let entry = kitchen.last_entry("pickup");
    let said = kitchen.refused(
        1,
        &format!("correct {entry} --brewed 2026-11-18 --reason slip"),
    );
    has(&said, "--mash-out");
}

#[test]
fn a_word_that_stands_before_a_corrected_mash_out_is_named() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    let (pickup, word) = (kitchen.last_entry("pickup"), kitchen.last_entry("cooled"));
    let said = kitchen.refused(
        1,
        &format!("correct {pickup} --mash-out 09:30 --reason slip"),
    );
    has(&said, &format!("as entry {word} says"));
    has(&said, &format!("draff correct {word} --at WHEN"));
}

#[test]
fn a_weight_typed_again_at_once_ends_no_drying() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} 0 64.5 40 36 33 g"));
    kitchen.at("2026-11-20T10:02:00Z");
    let said = kitchen.refused(1, &format!("moisture {lot} 0 64.5 33 g"));
    has(&said, "weighed 2 min ago");
    kitchen.at("2026-11-20T10:30:00Z");
    let test = kitchen.json(&format!("moisture {lot} 0 64.5 33 g"));
    assert_eq!(test["from"], "test", "{test}");
}

/// What is physically out of the question, or a day, a year or a part off, is told and not refused.
#[test]
fn slips_in_time_are_told() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let old = kitchen.told(
        "pickup --source \"Alder Lane\" --brewed 2025-11-19 --mash-out \"2025-11-19 08:00\" --wet 5kg",
    );
    has(&old, "brewed 366 days before it came");
    has(&old, "--brewed DATE --reason");
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T10:02:00Z");
    let dried = kitchen.told(&format!(
        "treat {lot} --step dry --wet-in 8kg --wet-out 2kg --minutes 1 --temp 90C"
    ));
    // 6 kg of water at 2256.5 kJ/kg (IAPWS-95) in 60 s.
    has(&dried, "takes 226 kW of heat");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 4");
    let done = kitchen.told(&format!(
        "bake done B-1S --used {lot}=500g --at \"2026-11-20 10:00\""
    ));
    has(&done, "the sheet says Sat 21 Nov 06:00");
    kitchen.at("2026-11-20T10:05:00Z");
    let moved = kitchen.told(&format!("move {lot} --wet 300g --to freezer"));
    has(&moved, &format!("keeps the code {lot}"));
    assert!(!moved.contains("typed twice"), "{moved}");
    has(
        &kitchen.told(&format!("move {lot} --wet 300g --to freezer")),
        "typed twice",
    );
}

#[test]
fn a_dough_typed_twice_a_correction_that_changes_nothing_and_an_unknown_place_are_told() {
    let (kitchen, cor, ald) = Kitchen::with_two_tubs();
    let twice = format!("use {cor} 1kg {ald} 1kg --for buns");
    kitchen.ok(&twice);
    let first = kitchen.last_entry("use");
    let told = kitchen.told(&twice);
    has(&told, &format!("draff strike {} {}", first + 1, first + 2));
    assert_eq!(told.matches("if it was typed twice").count(), 1, "{told}");
    let said = kitchen.refused(1, &format!("correct {first} --lot {ald} {SLIP}"));
    has(&said, &format!("entry {first} says that already"));
    let said = kitchen.refused(1, "place close nowhere");
    has(&said, "open are");
    has(&said, "freezer");
    assert!(!said.contains("place add"), "{said}");
}
