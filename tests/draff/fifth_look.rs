//! What an inspector found in late entries about places, in corrections of what people ate, and in the advice of refusals.

use crate::env::{Kitchen, has, one_line};

/// The grain was eaten: the book says when and of which tub, and says aloud that it should not have been.
#[test]
fn what_people_ate_is_put_right_as_it_was() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let bread = kitchen.last_entry("use");
    kitchen.at("2026-11-20T15:00:00Z");
    let good = kitchen.lot("4kg");
    kitchen.ok(&format!("use {good} 1kg --for rolls"));
    let rolls = kitchen.last_entry("use");
    kitchen.ok(&format!("give {good} --wet 500g --to café"));
    let given = kitchen.last_entry("give");
    kitchen.ok(&format!("probe {lot} --spoiled sour --at 11:00"));
    for (right, what) in [
        (format!("{bread} --at 11:30"), "1 kg of lot"),
        (format!("{rolls} --lot {lot}"), "1 kg of lot"),
        (format!("{given} --lot {lot}"), "500 g of lot"),
    ] {
        let told = kitchen.told(&format!("correct {right} --reason \"as it was\""));
        has(&told, what);
        has(&told, "when it was past");
    }
    let trace = kitchen.json(&format!("trace {lot}"));
    for bake in trace["bakes"].as_array().unwrap() {
        assert_eq!(bake["unusable_lots"][0], lot, "{trace}");
    }
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    // What is written anew is refused as ever.
    let said = kitchen.refused(1, &format!("use {lot} 1kg --for bread --at 11:30"));
    has(&said, "may not be used as food");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_remedy_names_an_entry_that_counts() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let corrected = |wrong: i64, wet: &str| {
        kitchen.ok(&format!("correct {wrong} --wet {wet} --reason misread"));
        kitchen.last_entry("use")
    };
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let first = kitchen.last_entry("use");
    let counts = corrected(corrected(first, "2kg"), "3kg");
    for act in [
        format!("correct {first} --wet 1kg --reason x"),
        format!("correct {first} --mash-out 06:00 --reason x"),
        format!("strike {first} --reason x"),
    ] {
        let said = kitchen.refused(1, &act);
        has(&said, &format!("entry {counts} stands in its place"));
        has(&said, &format!("take entry {counts} instead"));
    }
    // What a strike of a strike brought back was corrected since.
    kitchen.ok(&format!("use {lot} 1kg --for rolls"));
    let rolls = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {rolls} --reason slip"));
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason \"was right\""));
    let again = kitchen.last_entry("strike");
    let counting = corrected(rolls, "500g");
    let said = kitchen.refused(1, &format!("strike {again} --reason x"));
    has(&said, &format!("take entry {counting} instead"));
    // Too much is taken by the entry that is corrected: another one may be wrong, or it takes less.
    let said = kitchen.refused(1, &format!("correct {counts} --wet 11kg --reason x"));
    has(&said, &format!("draff log {lot} shows what came"));
    has(&said, "if another entry is wrong");
}

#[test]
fn a_struck_strike_says_what_counts_no_more() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let wrong = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {wrong} --wet 2kg --reason misread"));
    let right = kitchen.last_entry("use");
    let strike_the_correction = || {
        kitchen.ok(&format!("strike {right} --reason \"not misread\""));
        kitchen.last_entry("strike")
    };
    let strike = strike_the_correction();
    let said = one_line(&kitchen.ok(&format!("strike {strike} --reason \"misread after all\"")));
    has(&said, &format!("Counts again: use of 2 kg, {lot}"));
    has(&said, &format!("Counts no more: use of 1 kg, {lot}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 8000.0);
    let strike = strike_the_correction();
    let said = kitchen.json(&format!("strike {strike} --reason \"misread after all\""));
    assert_eq!(said["back"], serde_json::json!([right]));
    assert_eq!(said["out"], serde_json::json!([wrong]));
    // Both at once: the correction comes back and is struck, so what it had corrected counts as it did.
    let strike = strike_the_correction();
    let said = kitchen.json(&format!("strike {strike} {right} --reason slip"));
    assert_eq!(said["back"], serde_json::json!([]));
    assert_eq!(said["out"], serde_json::json!([]));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 9000.0);
    // One entry is corrected once: two corrections of it would both count.
    kitchen.ok(&format!("correct {wrong} --wet 3kg --reason misread"));
    let other = kitchen.last_entry("use");
    let newest = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {newest} --reason \"was right\""));
    has(&said, &format!("take entry {other} instead"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7000.0);
    has(&kitchen.ok("check"), "whole");
}
