//! `bake advise` proposes to make a bake of one lot more where that leaves less over or fills it.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::{Value, json};

/// Two lots of 460 g of dry grain each, without a freezer, and 24 small loaves of one lot, which want 576 g at the least.
fn short_of_one_lot() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings freezer none");
    for source in ["Alder Lane", "Mill Brook"] {
        let lot = kitchen.lot_from(source, "--wet 2kg");
        kitchen.ok(&format!("moisture {lot} --lab 77%"));
    }
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 24 --most-lots 1");
    kitchen
}

fn blend(answer: &Value) -> Option<Value> {
    let mut advice = answer["advice"].as_array().unwrap().iter();
    advice.find(|one| one["change"] == "blend").cloned()
}

#[test]
fn a_bake_that_lacks_grain_is_advised_to_be_made_of_one_lot_more() {
    let kitchen = short_of_one_lot();
    let answer = kitchen.json("bake advise");
    // It saves most: the lot that was left over, and what the bake was short by.
    let best = &answer["advice"][0];
    assert_eq!(best["change"], "blend", "{answer}");
    assert_eq!(
        (&best["bake"], &best["most_lots"]),
        (&json!("B-1S"), &json!(2))
    );
    assert_eq!(answer["spoiled_dry_g"], 460.0, "{answer}");
    assert!(answer["short_dry_g"].as_f64().unwrap() > 100.0, "{answer}");
    assert_eq!(best["saved_dry_g"], 460.0);
    assert_eq!(
        (&best["short_dry_g"], &best["spoiled_dry_g"]),
        (&json!(0.0), &json!(0.0))
    );
    assert_eq!(best["more_dough_g"], 0.0);
    let words = kitchen.ok("bake advise");
    assert!(
        words.lines().all(|line| line.chars().count() <= 80),
        "{words}"
    );
    let line = one_line(&words);
    has(&line, "make B-1S of 2 lots instead of 1, small loaf, mixed");
    has(&line, "0 g instead of 116 g (dry) is missing in firm bakes");
    has(&line, "0 g instead of 460 g (dry) spoils");
    has(&line, "draff bake change B-1S --most-lots 2");
    // Typed as it stands, the plan then says the same.
    kitchen.ok("bake change B-1S --most-lots 2");
    let plan = kitchen.json("plan");
    assert_eq!(plan["spoiled_dry_g"], 0.0, "{plan}");
    assert_eq!(plan["bakes"][0]["short_dry_g"], 0.0, "{plan}");
    assert_eq!(blend(&kitchen.json("bake advise")), None);
}

#[test]
fn a_short_bake_is_filled_though_nothing_spoils() {
    let kitchen = short_of_one_lot();
    // Both lots keep beyond Sunday.
    let answer = kitchen.json("bake advise --days 3");
    assert_eq!(answer["spoiled_dry_g"], 0.0, "{answer}");
    let found = blend(&answer).unwrap_or_else(|| panic!("{answer}"));
    assert_eq!(
        (&found["saved_dry_g"], &found["short_dry_g"]),
        (&json!(0.0), &json!(0.0))
    );
    let line = one_line(&kitchen.ok("bake advise --days 3"));
    has(&line, "Nothing spoils until");
    has(&line, "TO FILL BAKES THAT ARE SHORT");
    has(&line, "draff bake change B-1S --most-lots 2");
}

#[test]
fn no_lot_more_is_advised_where_none_fits_or_the_bake_may_have_it_already() {
    let kitchen = short_of_one_lot();
    kitchen.ok("bake change B-1S --most-lots 2");
    assert_eq!(blend(&kitchen.json("bake advise")), None);
    let kitchen = short_of_one_lot();
    let lots = kitchen.json("shelf");
    let lot = lots["lots"][0]["lot"].as_str().unwrap().to_owned();
    // Who names a lot means it.
    kitchen.ok(&format!("bake change B-1S --lot {lot}"));
    assert_eq!(blend(&kitchen.json("bake advise")), None);
}
