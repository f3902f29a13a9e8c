//! What a baker read twice: cooling, thawing, grain that a bake lost, how much to fetch, and what to record.

use crate::env::{Kitchen, has, one_line};

/// A small loaf of a formula, and 8 kg of tested grain in a place.
fn with_grain_in(place: &str) -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.pickup(&format!(
        "--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 8kg --place {place}"
    ));
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    (kitchen, lot)
}

/// Bakes of Sunday and of the week after, with their grain promised.
fn planned() -> (Kitchen, String) {
    let (kitchen, lot) = with_grain_in("fridge");
    for (at, pieces) in [("2026-11-22 06:00", 24), ("2026-11-30 06:00", 12)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces {pieces}"
        ));
    }
    kitchen.ok("plan --accept");
    (kitchen, lot)
}

/// A bake of Saturday, 14:00, of a lot in the freezer: it comes out by 21:00, and is thawed in time until 01:00.
fn of_frozen() -> (Kitchen, String) {
    let (kitchen, lot) = with_grain_in("freezer");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 14:00\" mix --pieces 12 --lot {lot}"
    ));
    (kitchen, lot)
}

#[test]
fn a_tub_that_nobody_measured_is_asked_about_until_its_time_and_thrown_away_after_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 9kg");
    kitchen.at("2026-11-20T13:00:00Z");
    let discard = format!("throw it away: draff discard {lot} --reason unknown");
    let before = "did somebody watch it cool? Then all of it must be at 5 °C or colder by Fri 20 Nov 13:30. Otherwise ";
    let after = "Only exception: somebody watched it cool and knows that all of it was at 5 °C or colder by Fri 20 Nov 13:30";
    for question in ["shelf", "today"] {
        has(
            &one_line(&kitchen.ok(question)),
            &format!("{before}{discard}"),
        );
    }
    kitchen.at("2026-11-20T13:31:00Z");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        has(&said, &format!("{discard}. {after}"));
        assert!(!said.contains("must be at"), "{said}");
    }
}

#[test]
fn grain_that_cannot_thaw_in_time_is_named_where_it_would_go_in() {
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-21T06:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        &format!(
            "of {lot} is still in the freezer. If you take it out now, it will be thawed 5 h too late for B-1S. Plan again: draff plan"
        ),
    );
    has(&today, &format!("grain: {lot} (NOT THAWED by then)"));
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        &format!(
            "STOP: the book still has {lot} in the freezer. If you take it out now, it is not thawed by Sat 21 Nov 14:00: draff plan plans again. If it was taken out before, type draff move {lot} --to fridge --at WHEN"
        ),
    );
    has(&sheet, "in freezer, no date, NOT THAWED");
    kitchen.ok(&format!("move {lot} --to fridge --at \"2026-11-20 20:00\""));
    for question in ["today", "sheet B-1S"] {
        let said = kitchen.ok(question);
        assert!(!said.contains("NOT THAWED"), "{said}");
    }
}

/// At 23:00 nobody works, but what comes out then is thawed in time.
#[test]
fn a_sheet_says_take_it_out_now_as_long_as_it_thaws_in_time() {
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-20T23:00:00Z");
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        &format!(
            "THAW NOW: take {lot} out of the freezer. It was to come out by Fri 20 Nov 21:00; it is thawed in time if it comes out by Sat 21 Nov 01:00"
        ),
    );
    assert!(!sheet.contains("NOT THAWED"), "{sheet}");
}

#[test]
fn a_bake_of_grain_that_is_frozen_by_the_book_says_how_to_write_down_that_it_was_taken_out() {
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen.told("bake done B-1S");
    has(
        &told,
        &format!("by the book lot `{lot}` was still in the freezer when this dough took it"),
    );
    has(
        &told,
        &format!("say when: `draff move {lot} --to fridge --at WHEN`. If it went in frozen"),
    );
    kitchen.ok(&format!("move {lot} --to fridge --at \"2026-11-20 20:00\""));
    // Of a lot that is used up nothing can be moved: the bake is struck first.
    let (mut kitchen, lot) = of_frozen();
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen.told(&format!("bake done B-1S --used {lot}=8kg"));
    let (_, rest) = told.split_once("say when: `draff ").expect("a remedy");
    let (strike, rest) = rest.split_once(" --reason TEXT`").expect("a strike");
    has(
        rest,
        &format!("then `draff move {lot} --to fridge --at WHEN`"),
    );
    kitchen.ok(&format!("{strike} --reason frozen"));
    kitchen.ok(&format!("move {lot} --to fridge --at \"2026-11-20 20:00\""));
    let told = kitchen.told(&format!("bake done B-1S --used {lot}=8kg"));
    assert!(!told.contains("in the freezer"), "{told}");
    // Who says that it went in frozen knows it.
    let (mut kitchen, _) = of_frozen();
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen
        .told("bake done B-1S --dough-temp 20C --tap 12C --room 21C --frozen --water-temp 40C");
    assert!(!told.contains("in the freezer"), "{told}");
}

#[test]
fn a_dough_whose_mixing_nobody_measured_is_to_be_measured() {
    let (kitchen, _) = with_grain_in("fridge");
    let unknown = include_str!("formula/loaf.toml")
        .replace("small loaf", "new loaf")
        .replace("mixing_rise = \"6K\"\n", "");
    kitchen.file("new.toml", unknown);
    kitchen.ok("formula add new.toml");
    kitchen.ok("bake add \"new loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    let sheet = one_line(&kitchen.ok("sheet B-1S --tap 20C --room 27C --grain-temp 25C"));
    has(
        &sheet,
        "Mixing will warm the dough above 26 °C; how much is not known yet. Measure the dough and write it down",
    );
}

#[test]
fn the_shelf_says_which_bake_has_lost_the_grain_of_a_past_lot() {
    let (mut kitchen, lot) = planned();
    kitchen.at("2026-11-28T06:00:00Z");
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        &format!(
            "Lost B-1S has lost 5.009 kg, B-2Q has lost 2.505 kg, as {lot} is past. Plan again: draff plan"
        ),
    );
    assert!(!shelf.contains("Promised"), "{shelf}");
}

#[test]
fn fetch_names_the_one_or_two_differences_that_matter() {
    let (kitchen, _) = with_grain_in("fridge");
    for (at, pieces) in [("2026-11-22 06:00", 24), ("2026-11-23 06:00", 60)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces {pieces}"
        ));
    }
    let said = one_line(&kitchen.ok("fetch --at \"sat 12:00\""));
    let (_, why) = said.split_once("Why: ").expect("a reason");
    let (why, _) = why
        .split_once(" (All dry grain, on average.)")
        .expect("what the figures are");
    assert!(!why.contains("under 1 g"), "{why}");
    let sentences: Vec<&str> = why.trim_end_matches('.').split(". ").collect();
    assert!(sentences.len() <= 2, "{why}");
    for sentence in sentences {
        assert!(sentence.starts_with("If you fetched "), "{why}");
        assert!(sentence.matches(" would ").count() <= 2, "{why}");
    }
}

#[test]
fn what_goes_first_names_the_bakes_that_take_it_as_it_lies() {
    let (kitchen, _) = planned();
    let today = one_line(&kitchen.ok("today --days 7"));
    has(
        &today,
        "use 5.009 kg first, keep until Thu 26 Nov; promised: 5.009 kg for B-1S !",
    );
    has(&today, "freeze 2.505 kg");
}

#[test]
fn a_promise_of_grain_whose_moisture_changed_says_that_its_wet_weight_did() {
    let (kitchen, lot) = planned();
    let kept = "Each bake gets what was promised Fri 20 Nov 10:00.";
    has(&one_line(&kitchen.ok("plan")), kept);
    has(
        &kitchen.told("sheet B-1S"),
        "the grain is what the plan of Fri 20 Nov 10:00 promised to B-1S",
    );
    kitchen.ok(&format!("moisture {lot} --lab 75% --lab-sd 0.5%"));
    has(
        &one_line(&kitchen.ok("plan")),
        "Each bake gets as much dry grain as was promised Fri 20 Nov 10:00. The moisture of some grain is known otherwise since, so its wet weight changed.",
    );
    has(
        &kitchen.told("sheet B-1S"),
        "promised to B-1S: the same dry grain. Its moisture is known otherwise since, so its wet weight changed",
    );
}

#[test]
fn water_for_thirst_that_the_formula_covers_is_for_drier_and_wetter_grain() {
    let (kitchen, lot) = with_grain_in("fridge");
    let own = include_str!("formula/loaf.toml")
        .replace("small loaf", "own loaf")
        .replace(
            "[grain]",
            "[grain]\nhydration_with = { form = \"whole\", share = \"10%\" }",
        );
    kitchen.file("own.toml", own);
    kitchen.ok("formula add own.toml");
    let said = one_line(&kitchen.ok(&format!("batch \"own loaf\" --pieces 4 --lot {lot}")));
    has(
        &said,
        "27 g in case the grain is drier, 16 g as drier grain drinks more and wetter grain less;",
    );
    has(
        &said,
        "the hydration covers what this much grain usually drinks: it was found with as much grain of this form",
    );
}

/// The line of a sheet that was asked with temperatures says them again: typed as it stands, mixing heat is learned.
#[test]
fn the_line_to_record_a_bake_has_the_temperatures_of_its_sheet() {
    let (mut kitchen, lot) = with_grain_in("fridge");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --lot {lot}"
    ));
    let plain = one_line(&kitchen.ok("sheet B-1S"));
    has(&plain, "--came-out WORD !");
    let given = "--tap 20C --room 24C --grain-temp 18.5C";
    let sheet = one_line(&kitchen.ok(&format!("sheet B-1S {given}")));
    has(&sheet, &format!("--came-out WORD {given} !"));
    kitchen.at("2026-11-21T07:00:00Z");
    let (_, line) = sheet.split_once("Record it: draff ").expect("a line");
    let (line, _) = line.split_once(" !").expect("cautions");
    let line = line
        .replacen("MASS", "900g", 1)
        .replace("TEMPERATURE", "27C")
        .replace("NUMBER", "12")
        .replace("MASS", "8.6kg")
        .replace("WORD", "well");
    has(&kitchen.told(&line), "mixing warmed the dough by");
    // Without them nothing is wrong, and it says what they would give.
    let entry = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {entry} --reason again"));
    let ran = kitchen.run("bake done B-1S --water 900g --dough-temp 27C");
    let told = ran.told();
    has(
        &told,
        "the bake is saved. How much mixing warms this dough is not learned from it: that needs the temperatures of tap, room and grain too. You may leave it.",
    );
    assert!(!told.contains("warning"), "{told}");
}
