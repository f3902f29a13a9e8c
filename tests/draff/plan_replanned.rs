//! Plans that are asked for again after what they asked for was done, and what they say of it.

use crate::env::{Kitchen, has};
use crate::plan::{grams, kitchen, list, text};
use serde_json::Value;

/// Wet grain that a bake is planned to get.
fn drawn(plan: &Value, bake: usize) -> f64 {
    let draws = list(&plan["bakes"][bake], "draws");
    draws.iter().map(|draw| grams(draw, "wet_g")).sum()
}

fn bakes(kitchen: &Kitchen, mixed: &[&str]) {
    for mixed in mixed {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-{mixed}\" mix --pieces 12"
        ));
    }
}

/// Birch Row's tub, brewed on a day of November.
fn birch(kitchen: &Kitchen, day: &str, wet: &str, more: &str) -> String {
    let plan = kitchen.json(&format!(
        "pickup --source \"Birch Row\" --brewed 2026-11-{day} --mash-out 06:00 --cooled 09:00 --wet {wet} {more}"
    ));
    text(&plan, "lot").to_owned()
}

/// A plan fills the freezer to the gram; what comes out of it makes room for the next tub, on the next morning too.
#[test]
fn a_freezer_that_is_full_to_the_gram_has_room_once_something_comes_out() {
    let mut kitchen = kitchen();
    kitchen.ok("place change freezer --capacity 2.4kg");
    birch(
        &kitchen,
        "18",
        "2.4kg",
        "--grist \"pale barley malt 100%\" --place freezer",
    );
    birch(&kitchen, "20", "2.4kg", "--grist \"wheat malt 100%\"");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-25 12:00\" mix --pieces 12 --free-of wheat");
    bakes(&kitchen, &["28 12:00"]);
    let plan = kitchen.json("plan");
    assert!(
        drawn(&plan, 0) > 1500.0 && drawn(&plan, 1) > 1500.0,
        "{plan}"
    );
    let work: Vec<&str> = list(&plan, "actions")
        .iter()
        .map(|action| text(action, "action"))
        .collect();
    assert_eq!(work, ["thaw", "freeze", "thaw"], "{plan}");
    let said = kitchen.ok("plan");
    assert!(!said.contains("Nothing more is frozen"), "{said}");
    // Where nothing comes out in time, nothing goes in, and the plan says why.
    kitchen.ok("bake drop B-1S --reason \"no need\"");
    kitchen.at("2026-11-21T06:00:00Z");
    let said = kitchen.ok("plan");
    has(&said, "give away");
    has(
        &said,
        "Nothing more is frozen: the freezers already hold what they take.",
    );
}

/// Two doughs alike of one frozen tub share it, though the freezer says how much it takes and another dough gets nothing.
#[test]
fn doughs_alike_share_thawed_grain_where_the_freezer_has_a_limit() {
    let kitchen = kitchen();
    kitchen.ok("place change freezer --capacity 4kg");
    birch(
        &kitchen,
        "20",
        "3.2kg",
        "--grist \"wheat malt 100%\" --place freezer",
    );
    bakes(&kitchen, &["23 12:00", "28 12:00"]);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-29 12:00\" mix --pieces 12 --free-of wheat");
    let plan = kitchen.json("plan");
    let (one, other) = (drawn(&plan, 0), drawn(&plan, 1));
    assert!((one - other).abs() <= 2.0 && one > 1000.0, "{plan}");
}
