//! A plan of the same book that is accepted again promises each bake the same grain, to the gram, also where a lot is split between
//! the freezer and the dryer or is dried on several days.

use crate::env::Kitchen;
use crate::plan::{grams, list, text};
use std::collections::BTreeMap;

/// A loaf of one flour that takes so much grain.
fn formula(
    name: &str,
    hydration: &str,
    [lowest, wanted, highest]: [&str; 3],
    flour: &str,
) -> String {
    format!(
        r#"name = "{name}"
hydration = "{hydration}"
dough_temperature = "26C"
mixing_rise = "5K"
pieces = 10
piece = "500g"
handling_loss = "2%"
[grain]
lowest = "{lowest}"
wanted = "{wanted}"
highest = "{highest}"
[[flour]]
name = "bread flour"
share = "{flour}"
[[ingredient]]
name = "instant yeast"
kind = "yeast"
yeast = "instant"
share = "0.6%"
[[step]]
do = "mix"
takes = "10min"
[[step]]
do = "bake"
takes = "40min"
temperature = "220C"
"#
    )
}

/// A kitchen on Monday 9 November with a dryer. Of each lot: its source, the day of November, grams, moisture, and whether it was
/// frozen that day.
fn kitchen(lots: &[(&str, u32, u32, &str, bool)], dryer: &str, bakes: &[&str]) -> Kitchen {
    let mut kitchen = Kitchen::bare();
    kitchen.at("2026-11-01T08:00:00Z");
    kitchen.ok("new-book --zone Europe/Dublin --rules strict");
    let dark = formula("dark", "85%", ["5%", "8%", "12%"], "92%");
    let stiff = formula("stiff", "34%", ["6%", "10%", "12%"], "90%");
    for (name, text) in [("dark.toml", dark), ("stiff.toml", stiff)] {
        kitchen.file(name, &text);
        kitchen.ok(&format!("formula add {name}"));
    }
    for (source, day, wet, moisture, is_frozen) in lots {
        kitchen.at(&format!("2026-11-{day:02}T08:00:00Z"));
        let lot = kitchen.pickup_from(
            source,
            &format!(
                "--new-source --brewed 2026-11-{day:02} --mash-out 06:00 --cooled 07:30 --wet {wet}g --grist \"pale barley malt 100%\""
            ),
        );
        kitchen.ok(&format!("moisture {lot} --lab {moisture} --lab-sd 0.1%"));
        if *is_frozen {
            kitchen.at(&format!("2026-11-{day:02}T09:00:00Z"));
            kitchen.ok(&format!("move {lot} freezer"));
        }
    }
    kitchen.at("2026-11-09T07:55:00Z");
    kitchen.ok("settings evening 21:00");
    kitchen.ok(&format!("settings dryer {dryer}"));
    for bake in bakes {
        kitchen.ok(&format!("bake add {bake}"));
    }
    kitchen
}

/// What each bake is promised of each lot, in grams, where the plan is accepted at this moment.
fn accepted(kitchen: &mut Kitchen, now: &str) -> BTreeMap<(String, String), f64> {
    kitchen.at(now);
    let plan = kitchen.json("plan --days 14 --accept");
    let mut sums = BTreeMap::new();
    for bake in list(&plan, "bakes") {
        for draw in list(bake, "draws") {
            let of = (text(bake, "bake").to_owned(), text(draw, "lot").to_owned());
            *sums.entry(of).or_default() += grams(draw, "wet_g");
        }
    }
    for spare in list(&plan, "spare") {
        let is_a_crumb = text(spare, "fate") == "spoils" && grams(spare, "wet_g") < 2.0;
        assert!(!is_a_crumb, "a gram is left to spoil: {plan}");
    }
    sums
}

#[track_caller]
fn promises_the_same(mut kitchen: Kitchen) {
    let first = accepted(&mut kitchen, "2026-11-09T08:00:00Z");
    let again = accepted(&mut kitchen, "2026-11-09T08:01:00Z");
    assert_eq!(first, again);
}

#[test]
fn a_lot_that_is_dried_on_two_days_and_frozen_too() {
    let kitchen = kitchen(
        &[
            ("Alder", 4, 3605, "80.7%", false),
            ("Birch", 5, 3075, "82%", true),
        ],
        "2000g",
        &[
            "dark --at \"2026-11-11 05:00\" mix --pieces 31 --firm --most-lots 2",
            "dark --at \"2026-11-12 21:00\" mix --pieces 38 --optional --most-lots 2",
        ],
    );
    kitchen.ok("place change freezer --capacity 4342g");
    promises_the_same(kitchen);
}

/// One of its parts is less than the smallest portion.
#[test]
fn a_lot_that_goes_into_a_bake_in_two_states() {
    let lots = [
        ("Alder", 3, 3704, "69.8%", true),
        ("Birch", 5, 4368, "72.8%", false),
        ("Cedar", 6, 3578, "83.6%", true),
        ("Dogwood", 7, 4049, "83.4%", true),
    ];
    let bakes = [
        "stiff --at \"2026-11-10 17:00\" mix --pieces 31 --optional",
        "dark --at \"2026-11-13 17:00\" mix --pieces 20 --optional",
        "stiff --at \"2026-11-15 11:00\" mix --pieces 53 --firm",
    ];
    promises_the_same(kitchen(&lots, "300g", &bakes));
}
