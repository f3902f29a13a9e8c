//! Weeks on which a plan and a baker once differed, though the plan called itself the best.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{grams, kitchen, list, text};
use serde_json::Value;

fn cooled(kitchen: &Kitchen, wet: &str) -> String {
    kitchen.pickup(&format!(
        "--brewed 2026-11-20 --mash-out 06:00 --cooled 09:00 --wet {wet}"
    ))
}

fn drawn(plan: &Value, bake: usize) -> f64 {
    let draws = list(&plan["bakes"][bake], "draws");
    draws.iter().map(|draw| grams(draw, "wet_g")).sum()
}

/// A tub that was put on the counter may still go back into the cold for a while: the freezer saves it as the fridge does.
#[test]
fn grain_on_a_counter_is_frozen_while_it_may_go_back_into_the_cold() {
    let mut kitchen = kitchen();
    let lot = cooled(&kitchen, "5kg");
    kitchen.at("2026-11-20T10:10:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-26 12:00\" mix --pieces 12");
    kitchen.at("2026-11-20T11:00:00Z");
    let plan = kitchen.json("plan");
    let freeze = &plan["actions"][0];
    assert_eq!(text(freeze, "action"), "freeze", "{plan}");
    assert!(text(freeze, "by") < "2026-11-20T12:11:00+00:00", "{plan}");
    assert!(drawn(&plan, 0) > 1000.0, "{plan}");
    assert!(grams(&plan["aims"], "short_dry_g").abs() < 1.0, "{plan}");
}

/// Part of a promised tub is spilt. What is left is the firm bake's, which mixes first, and a further tub is the other's.
#[test]
fn what_is_left_of_a_promise_stays_with_the_bake_that_mixes_first() {
    let kitchen = kitchen();
    let lot = cooled(&kitchen, "5.4kg");
    for (mix, firm) in [("22 06:00", ""), ("23 06:00", "--optional")] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-{mix}\" mix --pieces 12 {firm}"
        ));
    }
    let promised = kitchen.json("plan --accept");
    let first = drawn(&promised, 0);
    let spilt = 5400.0 - first - 10.0;
    kitchen.ok(&format!("discard {lot} --wet {spilt}g --reason spilt"));
    cooled(&kitchen, "2.6kg");
    let plan = kitchen.json("plan");
    let draws = list(&plan["bakes"][0], "draws");
    assert_eq!(text(&draws[0], "lot"), lot, "{plan}");
    assert!((grams(&draws[0], "wet_g") - first).abs() <= 2.0, "{plan}");
    let said = kitchen.ok("plan");
    assert!(
        !said.contains("another bake would fall short otherwise"),
        "{said}"
    );
}

/// Two doughs alike of one frozen tub share it evenly, though a third bake, which can have nothing, is further off than both.
#[test]
fn doughs_alike_share_thawed_grain_evenly() {
    let kitchen = kitchen();
    let dark = LOAF
        .replace("small loaf", "dark loaf")
        .replace("[grain]\n", "[grain]\ncolour = \"dark\"\n");
    assert!(dark.contains("colour"), "{dark}");
    kitchen.file("dark.toml", &dark);
    kitchen.ok("formula add dark.toml");
    cooled(&kitchen, "3.2kg");
    for (name, mix) in [("small", "07:00"), ("small", "08:00"), ("dark", "09:00")] {
        kitchen.ok(&format!(
            "bake add \"{name} loaf\" --at \"2026-11-29 {mix}\" mix --pieces 12"
        ));
    }
    let plan = kitchen.json("plan");
    let (one, other) = (drawn(&plan, 0), drawn(&plan, 1));
    assert_eq!(drawn(&plan, 2), 0.0, "{plan}");
    assert!((one - other).abs() <= 2.0 && one > 1000.0, "{one} {other}");
}

/// The dryer is used to its last whole step, whatever the scale shows, and a dough's water does not hang on other doughs.
#[test]
fn no_room_is_kept_back_for_rounding() {
    for (scale, step) in [("1g", 1.0), ("20g", 20.0)] {
        let kitchen = kitchen();
        kitchen.ok("settings freezer none");
        kitchen.ok("settings dryer 500g");
        kitchen.ok(&format!("settings scale {scale}"));
        let lot = cooled(&kitchen, "9kg");
        kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
        for _ in 0..6 {
            kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 12:00\" mix --pieces 12");
        }
        let plan = kitchen.json("plan");
        let dried: Vec<f64> = list(&plan, "actions")
            .iter()
            .filter(|action| action["action"] == "dry")
            .map(|action| grams(action, "wet_g"))
            .collect();
        // Of a gram at 77 % dried to 8 % go 1 - 0.23/0.92 = 0.75 g of water.
        let a_day = 500.0 / 0.75;
        assert!(dried.len() >= 3, "{plan}");
        for day in &dried[..dried.len() - 1] {
            assert!(
                *day > a_day - step - 1.0 && *day <= a_day,
                "{scale}: {dried:?}"
            );
        }
    }
}

#[test]
fn a_dough_whose_first_grain_is_late_is_named() {
    let mut kitchen = Kitchen::new();
    let soaked = LOAF.replace("[grain]\n", "[grain]\nstage = \"sponge\"\n");
    kitchen.file("soaked.toml", &soaked);
    kitchen.ok("formula add soaked.toml");
    cooled(&kitchen, "4kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 07:00\" mix --pieces 12");
    let said = kitchen.ok("plan");
    assert!(!said.contains("was to be made"), "{said}");
    kitchen.at("2026-11-21T06:30:00Z");
    has(
        &one_line(&kitchen.ok("plan")),
        "B-1S: its sponge was to be made Fri 20 Nov 19:00. If nobody made it,",
    );
}
