//! With `--us` masses that stand together have one style, yeast keeps its grams, and no temperature is told in °C.

use crate::env::{Kitchen, LOAF, has, one_line};

/// Lines that begin so.
fn lines_of<'a>(told: &'a str, begin: &str) -> Vec<&'a str> {
    let lines: Vec<&str> = told
        .lines()
        .filter(|line| line.starts_with(begin))
        .collect();
    assert!(!lines.is_empty(), "{begin}: {told}");
    lines
}

#[test]
fn amounts_to_fetch_are_all_in_pounds() {
    let (kitchen, _) = Kitchen::with_bakes("1kg", &[("2026-11-22 10:00", 40)]);
    let told = kitchen.ok("--us fetch --at \"sat 12:00\"");
    let (_, table) = told.split_once("WET GRAIN FETCHED").unwrap();
    let (table, _) = table.split_once("cost of freezing").unwrap();
    assert!(table.contains(" lb") && !table.contains(" oz"), "{told}");
}

#[test]
fn pieces_of_bakes_are_all_in_pounds_where_one_is() {
    let (kitchen, _) = Kitchen::with_bakes("8kg", &[("2026-11-22 06:00", 24)]);
    let roll = LOAF.replace("800g", "60g");
    kitchen.file("roll.toml", roll.replace("small loaf", "small roll"));
    kitchen.ok("formula add roll.toml");
    let add = "bake add \"small roll\" --at \"2026-11-23 06:00\" mix --pieces 40";
    kitchen.ok(add);
    // 800 g are 1.764 lb, 60 g 0.132 lb: arithmetic.
    let list = one_line(&kitchen.ok("--us bake list"));
    has(&list, "24 × 1.76 lb");
    has(&list, "40 × 0.13 lb");
    has(&one_line(&kitchen.ok("bake list")), "24 × 800 g");
}

#[test]
fn what_a_bake_needs_and_came_to_has_one_unit() {
    let (mut kitchen, lot) = Kitchen::with_bakes("8kg", &[("2026-11-22 06:00", 10)]);
    // 480 g and half of it: arithmetic.
    let show = one_line(&kitchen.ok("--us bake show B-1S"));
    has(
        &show,
        "wanted 1.06 lb of dry grain (at least 0.53 lb, at most 1.06 lb)",
    );
    kitchen.at("2026-11-22T06:00:00Z");
    kitchen.ok(&format!(
        "bake done B-1S --used {lot}=2kg --water 2kg --pieces 10"
    ));
    let show = one_line(&kitchen.ok("--us bake show B-1S"));
    let (_, came_to) = show.split_once("sheet: pour ").unwrap();
    has(came_to, "4.41 lb went in");
    assert!(!came_to.contains(" oz"), "{show}");
}

#[test]
fn dry_grain_of_a_plan_is_all_in_pounds() {
    let bakes = [("2026-11-22 06:00", 24), ("2026-11-23 06:00", 2)];
    let (kitchen, _) = Kitchen::with_bakes("8kg", &bakes);
    let plan = kitchen.ok("--us plan");
    for line in lines_of(&plan, "B-") {
        assert!(line.contains(" lb") && !line.contains(" oz"), "{plan}");
    }
    let spare = plan.split_once("SPARE").unwrap().1;
    let spare = spare.split("\n\n").next().unwrap();
    assert!(spare.contains(" lb") && !spare.contains(" oz"), "{plan}");
    let advise = kitchen.ok("--us bake advise");
    assert!(!advise.contains(" oz"), "{advise}");
}

#[test]
fn weights_of_a_dough_are_all_in_pounds_and_ounces_and_yeast_has_its_grams() {
    let (kitchen, lot) = Kitchen::with_bakes("8kg", &[("2026-11-22 06:00", 4)]);
    let batch = kitchen.ok(&format!("--us batch \"small loaf\" --pieces 4 --lot {lot}"));
    let weights: Vec<&str> = batch
        .lines()
        .filter(|line| line.contains("% of flour") && line.ends_with("of dough"))
        .collect();
    assert!(weights.len() > 6, "{batch}");
    for line in weights {
        let weight = line.trim_start().split("  ").next().unwrap();
        assert!(weight.contains(" lb "), "{line}: {batch}");
        if line.contains("yeast") {
            assert!(weight.ends_with(" g)"), "{line}");
        }
    }
    let sheet = kitchen.ok("--us sheet B-1S");
    let salt = sheet.lines().find(|line| line.ends_with("  salt")).unwrap();
    has(salt, "0 lb ");
}

#[test]
fn weights_of_a_small_dough_are_all_in_ounces() {
    let (kitchen, lot) = Kitchen::with_bakes("8kg", &[("2026-11-22 06:00", 4)]);
    let batch = format!("--us batch \"small loaf\" --pieces 1 --lot {lot}");
    for line in kitchen.ok(&batch).lines() {
        if line.contains("% of flour") && line.ends_with("of dough") {
            let weight = line.trim_start().split("  ").next().unwrap();
            assert!(!weight.contains(" lb "), "{line}");
        }
    }
}

#[test]
fn the_dry_grain_on_the_shelf_has_the_unit_of_the_wet() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("600g");
    // 600 g are 1.323 lb, 22 % of them 0.291 lb: arithmetic.
    let shelf = one_line(&kitchen.ok("--us shelf"));
    has(
        &shelf,
        &format!("{lot} good Thu 26 Nov 1.32 lb 0.29 lb fridge"),
    );
}

#[test]
fn lots_of_a_source_and_what_places_take_have_one_unit() {
    let kitchen = Kitchen::new();
    kitchen.lot("5kg");
    kitchen.lot("150g");
    // 5 kg are 11.023 lb, 150 g 0.331 lb: arithmetic.
    let source = kitchen.ok("--us source show \"Alder Lane\"");
    assert!(
        source.contains("11.02 lb") && source.contains("0.33 lb"),
        "{source}"
    );
}

#[test]
fn cautions_warnings_and_remedies_are_told_in_fahrenheit() {
    let (mut kitchen, lot) = Kitchen::with_bakes("8kg", &[("2026-11-22 06:00", 10)]);
    let cautions = kitchen.ok("--us cautions");
    assert!(
        cautions.contains("°F") && !cautions.contains("°C"),
        "{cautions}"
    );
    has(&kitchen.ok("cautions"), "°C");
    let refused = kitchen.run(&format!("--us treat {lot} --plan dry --to 8% --temp -5C"));
    has(&refused.told(), "at or below 32 °F");
    has(&refused.told(), "--temp 140F is usual");
    kitchen.ok("settings tap 11C");
    kitchen.ok("settings room 21C");
    kitchen.at("2026-11-22T06:00:00Z");
    let told = one_line(&kitchen.told(&format!(
        "--us bake done B-1S --used {lot}=2kg --water 2kg --dough-temp 90C --grain-temp 4C"
    )));
    has(&told, "194 °F");
    assert!(!told.contains("°C"), "{told}");
}
