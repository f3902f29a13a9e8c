//! What an accepted plan still has to dry is promised as if it were dried, as long as that can be done in time: the sheet says
//! what is to be done, and CHANGED only where something has changed.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::freezing_to_come::sheet_as_promised;
use crate::plan::{grams, list, text};

/// 5 kg of this Friday's grain, a dryer and no freezer, and one bake on Monday of the week after the next. Gives the lot and what
/// the plan dries for the bake, in grams.
fn accepted() -> (Kitchen, String, f64) {
    let (kitchen, lot) = Kitchen::with_bakes("5kg", &[("2026-11-30 06:00", 12)]);
    for setting in ["freezer none", "dryer 3kg", "drying-time 2h"] {
        kitchen.ok(&format!("settings {setting}"));
    }
    let plan = kitchen.json("plan --accept");
    let draw = &list(&plan["bakes"][0], "draws")[0];
    assert_eq!(text(draw, "state"), "dried", "{plan}");
    let wet = grams(draw, "wet_g");
    (kitchen, lot, wet)
}

/// Dries all that the plan dries on Friday, at noon, to so much of a hundred; gives the dried lot.
fn dried(kitchen: &mut Kitchen, lot: &str, of_hundred: f64) -> String {
    kitchen.at("2026-11-20T12:00:00Z");
    let out = 4000.0 * of_hundred / 100.0;
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 4kg --wet-out {out}g --minutes 120 --temp 65C --place dry-store"
    ));
    text(&made, "lot").to_owned()
}

#[test]
fn the_sheet_shows_the_promised_grain_that_is_still_to_be_dried() {
    let (kitchen, lot, wet) = accepted();
    // Good by then, and promised to nobody.
    let flour = kitchen.lot_from("Corrow Weir", "--form dried --wet 1kg");
    kitchen.ok(&format!("probe {flour} --aw 0.5"));
    let said = sheet_as_promised(&kitchen);
    has(
        &said,
        &format!(
            "of {lot} is still to be dried for B-1S. Start drying by Fri 20 Nov 21:00, as planned. If it is not dried in time, do not use {lot}"
        ),
    );
    has(&said, "ONLY IF DRIED IN TIME");
    let sheet = kitchen.json("sheet B-1S");
    let [draw] = list(&sheet, "draws").as_slice() else {
        panic!("{sheet}");
    };
    assert_eq!((text(draw, "lot"), text(draw, "form")), (&*lot, "dried"));
    assert_eq!(grams(draw, "dry_wet_g"), wet);
    assert!(
        text(draw, "dry_by").starts_with("2026-11-20T21:00"),
        "{draw}"
    );
    assert_eq!(draw["verdict"], "past", "as it lies: {draw}");
    // 23 % of it is dry grain, and 92 % of what comes out of the dryer.
    let weighed = grams(draw, "wet_g");
    assert!((weighed - wet * 0.23 / 0.92).abs() <= 1.0, "{draw}");
}

/// `today` names what is weighed then, as the sheet does: nobody weighs out wet grain for it.
#[test]
fn today_names_the_dried_grain_that_goes_in() {
    let (mut kitchen, lot, wet) = accepted();
    let weighed = grams(&list(&kitchen.json("sheet B-1S"), "draws")[0], "wet_g");
    let today = kitchen.json("today --days 14");
    let mut due = list(&today, "due").iter();
    let mix = due
        .find(|one| text(one, "words").contains("mix the final dough"))
        .unwrap();
    let grain = &list(mix, "grain")[0];
    assert!((grams(grain, "wet_g") - weighed).abs() <= 1.0, "{today}");
    assert_eq!(grams(grain, "dry_wet_g"), wet);
    has(
        &one_line(&kitchen.ok("today --days 14")),
        &format!(
            "grain: {weighed} g of {lot} (dried from {} kg): draff sheet B-1S",
            wet / 1000.0
        ),
    );
    let dried = dried(&mut kitchen, &lot, 25.0);
    let today = kitchen.json("today --days 14");
    let due = list(&today, "due").iter();
    let mut grain = due.filter(|one| one["bake"] == "B-1S");
    let grain = grain.find_map(|one| list(one, "grain").first()).unwrap();
    assert_eq!(text(grain, "lot"), dried, "{today}");
    assert!(grain["dry_wet_g"].is_null(), "{today}");
}

/// What the bake takes as it lies, as it was moved to a day on which the grain is good, is weighed wet.
#[test]
fn today_names_wet_grain_for_a_bake_that_takes_it_as_it_lies() {
    let (kitchen, lot, wet) = accepted();
    kitchen.ok("bake change B-1S --at \"2026-11-22 06:00\" mix");
    let grain = format!("grain: {} kg of {lot}", wet / 1000.0);
    let today = one_line(&kitchen.ok("today --days 14"));
    has(&today, &grain);
    assert!(!today.contains("dried from"), "{today}");
}

/// As its plan says, which counts on both.
#[test]
fn grain_that_came_in_hot_is_to_be_shown_cold_and_dried() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 08:30 --temp 70C --wet 5kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 06:00\" mix --pieces 12");
    for setting in ["freezer none", "dryer 3kg", "drying-time 2h"] {
        kitchen.ok(&format!("settings {setting}"));
    }
    kitchen.ok("plan --accept");
    let said = one_line(&kitchen.ok("sheet B-1S"));
    has(&said, "ON CONDITION: ");
    has(&said, "dried, ONLY IF SHOWN COLD AND DRIED IN TIME");
}

/// Its weights are those of grain as it will be: once it is dried as planned they are the same.
#[test]
fn the_weights_are_for_grain_dried_as_planned() {
    let (mut kitchen, lot, _) = accepted();
    let before = kitchen.json("sheet B-1S");
    let dried = dried(&mut kitchen, &lot, 25.0);
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!("probe {dried} --aw 0.5"));
    let after = kitchen.json("sheet B-1S");
    assert_eq!(text(&list(&after, "draws")[0], "lot"), dried);
    for weight in ["wet_g", "add_water_g", "total_flour_g"] {
        let of = |sheet: &serde_json::Value| grams(&sheet["hold_back"], weight);
        assert!((of(&before) - of(&after)).abs() <= 5.0, "{weight}");
    }
}

#[test]
fn grain_that_was_dried_is_still_to_be_shown_dry() {
    let (mut kitchen, lot, _) = accepted();
    let dried = dried(&mut kitchen, &lot, 25.0);
    let ran = kitchen.run("sheet B-1S");
    assert!(!ran.err.contains("CHANGED"), "{}", ran.err);
    let said = one_line(&ran.out);
    has(
        &said,
        &format!("SHOW DRY: measure the water activity of {dried} by "),
    );
    has(&said, "ONLY IF SHOWN DRY IN TIME");
    let sheet = kitchen.json("sheet B-1S");
    let draw = &list(&sheet, "draws")[0];
    assert!(
        draw["show_dry_by"].is_string() && draw["dry_by"].is_null(),
        "{draw}"
    );
    assert!(
        !draw["verdict"].as_str().unwrap().contains("good"),
        "{draw}"
    );
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!("probe {dried} --aw 0.5"));
    let sheet = kitchen.json("sheet B-1S");
    assert!(list(&sheet, "draws")[0]["show_dry_by"].is_null(), "{sheet}");
    assert!(!kitchen.run("sheet B-1S").err.contains("CHANGED"));
}

/// The clock leaves until 13:59, and the dough does not wait so long.
#[test]
fn grain_is_to_be_shown_dry_before_it_goes_into_the_dough() {
    let (mut kitchen, lot, _) = accepted();
    let dried = dried(&mut kitchen, &lot, 25.0);
    for (mix, by) in [("12:50", "12:50"), ("15:00", "13:59")] {
        kitchen.ok(&format!("bake change B-1S --at \"2026-11-20 {mix}\" mix"));
        let said = one_line(&kitchen.ok("sheet B-1S"));
        let activity = format!("measure the water activity of {dried} by Fri 20 Nov {by}.");
        has(&said, &activity);
        let today = one_line(&kitchen.ok("today"));
        let only_if = format!("of {dried} (only if shown dry by Fri 20 Nov {by})");
        has(&today, &only_if);
        assert!(!today.contains("NOT of"), "{today}");
        has(&today, &format!("by {by} at the latest: {dried} in "));
        let is_sooner = today.contains("B-1S takes it only if it is shown dry by then");
        assert_eq!(is_sooner, mix == "12:50", "{today}");
        let sheet = kitchen.json("sheet B-1S");
        let show_dry_by = text(&list(&sheet, "draws")[0], "show_dry_by");
        assert!(
            show_dry_by.starts_with(&format!("2026-11-20T{by}")),
            "{sheet}"
        );
    }
}

/// Another code and another moisture are no change: what went into the dryer is promised, and the dough takes what it takes.
#[test]
fn dried_grain_of_another_moisture_is_the_promised_grain() {
    for (of_hundred, tested) in [
        (25.0, None),
        (25.0, Some(5)),
        (25.0, Some(8)),
        (27.0, Some(8)),
    ] {
        let (mut kitchen, lot, _) = accepted();
        let dried = dried(&mut kitchen, &lot, of_hundred);
        kitchen.at("2026-11-20T13:00:00Z");
        kitchen.ok(&format!("probe {dried} --aw 0.5"));
        if let Some(tested) = tested {
            kitchen.ok(&format!("moisture {dried} --lab {tested}% --lab-sd 0.3%"));
        }
        let ran = kitchen.run("sheet B-1S");
        assert!(!ran.err.contains("CHANGED"), "{tested:?}: {}", ran.err);
        has(&ran.told(), "promised to B-1S");
        let sheet = kitchen.json("sheet B-1S");
        assert_eq!(text(&list(&sheet, "draws")[0], "lot"), dried, "{tested:?}");
        assert!(grams(&sheet["hold_back"], "dry_g") <= 578.0, "{sheet}");
    }
}

#[test]
fn the_sheet_counts_on_drying_only_as_long_as_it_helps() {
    let (mut kitchen, lot, _) = accepted();
    kitchen.at("2026-11-22T10:00:00Z");
    let ran = kitchen.run("sheet B-1S");
    assert!(!ran.err.contains("CHANGED"), "{}", ran.err);
    let said = one_line(&ran.out);
    has(&said, "DRY NOW: ");
    has(&said, "Drying was to start by ");
    kitchen.at("2026-11-28T10:00:00Z");
    has(&kitchen.told("sheet B-1S"), "CHANGED since the plan of");
    // Dried, and never shown dry.
    let (mut kitchen, lot_of_other, _) = accepted();
    assert_eq!(lot, lot_of_other);
    dried(&mut kitchen, &lot, 25.0);
    kitchen.at("2026-11-21T10:00:00Z");
    let told = kitchen.told("sheet B-1S");
    has(&told, "CHANGED since the plan of");
}

/// What was changed is told as before: a bake of fewer pieces takes less than was promised.
#[test]
fn a_smaller_bake_does_not_take_all_that_is_dried_for_it() {
    let (kitchen, ..) = accepted();
    has(
        &kitchen.told("bake change B-1S --pieces 6"),
        "the bake takes",
    );
}

/// A dough that is mixed takes grain as it is.
#[test]
fn a_bake_that_is_done_counts_on_no_drying() {
    let (mut kitchen, lot, _) = accepted();
    kitchen.at("2026-11-30T06:00:00Z");
    assert_ne!(kitchen.run("bake done B-1S").code, 0);
    assert_eq!(grams(&kitchen.on_shelf(&lot), "wet_g"), 5000.0);
}

/// The command that is printed needs nothing but its words in capitals filled in.
#[test]
fn the_drying_of_today_is_typed_as_it_is_printed() {
    let (mut kitchen, lot, _) = accepted();
    kitchen.at("2026-11-20T20:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    let begin = today
        .find(&format!("draff treat {lot} --step dry"))
        .unwrap_or_else(|| panic!("no drying in:\n{today}"));
    let (typed, _) = today[begin..].split_once("TEMPERATURE").unwrap();
    let typed = typed.replace("MASS", "1kg").replace("NUMBER", "120");
    let typed = typed.strip_prefix("draff ").unwrap();
    kitchen.ok(&format!("{typed}65C --place dry-store"));
}
