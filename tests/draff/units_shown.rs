//! Figures as they are shown: one unit in a column, pounds and Fahrenheit on demand, and none rounded across a limit.

use crate::env::{Kitchen, LOAF, has, one_line};

#[test]
fn figures_have_the_unit_that_was_asked_for_and_are_not_rounded_across_a_limit() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    let added = kitchen.ok("--us formula add loaf.toml");
    assert!(!added.contains("°C"), "{added}");
    has(
        &kitchen.ok("cool --depth 5cm --from 60C --fridge 3C --tub \"round 30cm\""),
        "Middle",
    );
    kitchen.file(
        "two.csv",
        "source,brewed,mash_out,wet,cooled\nAlder Lane,2026-11-20,07:30,2kg,2026-11-20 09:00\n",
    );
    kitchen.lot("3kg");
    let booked = kitchen.ok("pickup --csv two.csv");
    has(
        &booked,
        "Booked in 1 lot, 2 kg wet; on hand are now 5 kg in all.",
    );
    let lot = kitchen.lot("1kg");
    kitchen.at("2026-11-20T13:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-out 230g --minutes 90 --temp 60C"
    ));
    let dried = dried["lot"].as_str().unwrap();
    let said = kitchen.ok(&format!("probe {dried} --aw 0.849"));
    let said = one_line(&said);
    has(&said, "water activity 0.849 is below 0.85");
}

#[test]
fn a_limit_and_its_source_are_told_in_fahrenheit_alike() {
    let kitchen = Kitchen::new();
    let said = kitchen.ok(
        "--us pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 5kg --temp 150F",
    );
    let said = one_line(&said);
    has(&said, "69.8 °F within 2 h");
    has(&said, "140 to 69.8 °F within 2 h");
    assert!(!said.contains("°C"), "{said}");
}

#[test]
fn usage_in_pounds_has_one_unit_and_a_trace_adds_up_in_grams() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("18.4kg");
    kitchen.ok(&format!("use {lot} --wet 6080g --for bread"));
    let trace = one_line(&kitchen.ok(&format!("trace {lot} --us")));
    has(
        &trace,
        "came in 40.57 lb 18400 g into bakes 13.4 lb 6080 g on hand 27.16 lb 12320 g",
    );
    kitchen.ok(&format!("use {lot} --wet 1lb --for rolls"));
    kitchen.ok(&format!("use {lot} --wet 5g --for crackers"));
    let usage = one_line(&kitchen.ok("--us usage"));
    has(&usage, "bake 1 lb 0.2");
    has(&usage, "bake 0.01 lb");
    assert!(!usage.contains(" oz"), "{usage}");
    has(&one_line(&kitchen.ok("usage")), "6.08 kg");
}

#[test]
fn pounds_and_ounces_do_not_stand_in_one_column() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let other = kitchen.lot("150g");
    let third = kitchen.lot("500g");
    let shelf = one_line(&kitchen.ok("--us shelf"));
    // 5 kg are 11.023 lb, 150 g 0.331 lb, 500 g 1.102 lb; 22 % of each is dry: arithmetic.
    for (lot, wet, dry) in [
        (&lot, "11.02 lb", "2.43 lb"),
        (&other, "0.33 lb", "0.07 lb"),
        (&third, "1.10 lb", "0.24 lb"),
    ] {
        has(&shelf, &format!("{lot} good Thu 26 Nov {wet} {dry} fridge"));
    }
    kitchen.ok(&format!("discard {lot} --wet 300g --reason spilt"));
    let trace = one_line(&kitchen.ok(&format!("--us trace {lot}")));
    has(&trace, &format!("0.66 lb (300 g) of {lot}, discard"));
    has(&trace, "not said how 0.66 lb 300 g");
}
