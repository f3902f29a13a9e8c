//! Doughs of a plan that come out too cold, since their grain is cold and yeast bears no hotter water: the plan says of them
//! what their sheets say.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;

/// Of a dough at 26 °C that mixing warms by 2 K. Its grain comes out of the fridge on Sunday (B-1S), and is frozen and thawed
/// for Monday of the week after (B-2Q).
pub const COLD_LOAF: &str = r#"
name = "cold loaf"
hydration = "71.9%"
pieces = 4
piece = "964g"
dough_temperature = "26C"
mixing_rise = "2K"

[grain]
wanted = "9.527%"

[[flour]]
name = "bread flour"
share = "90.473%"
"#;

fn kitchen(loaf: &str, settings: &[&str]) -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("cold.toml", loaf);
    kitchen.ok("formula add cold.toml");
    for setting in settings {
        kitchen.ok(&format!("settings {setting}"));
    }
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    for at in ["22", "30"] {
        kitchen.ok(&format!(
            "bake add \"cold loaf\" --pieces 4 --at \"2026-11-{at} 06:00\" mix"
        ));
    }
    kitchen
}

/// The bakes that a plan calls too cold.
fn cold(plan: &Value) -> Vec<&str> {
    let doughs = list(plan, "cold_doughs").iter();
    doughs.map(|one| text(one, "bake")).collect()
}

#[test]
fn a_plan_names_the_bakes_that_come_out_too_cold_and_what_helps() {
    let kitchen = kitchen(COLD_LOAF, &["tap 8C", "room 17C"]);
    let note = "Cold grain makes these doughs too cold with water of 43 °C, the most we count on for yeast (our judgement): B-1S, B-2Q at about 23 °C instead of 26 °C (with grain of 12 °C or more that water is enough). Grain above 5 °C counts as warm time: let it warm only just before mixing, or warm the flour instead.";
    for words in ["plan", "plan -q"] {
        has(&one_line(&kitchen.ok(words)), note);
    }
    has(
        &kitchen.ok("plan --html -"),
        "at about 23 °C instead of 26 °C",
    );
    let plan = kitchen.json("plan");
    assert_eq!(cold(&plan), ["B-1S", "B-2Q"]);
    let dough = &list(&plan, "cold_doughs")[1];
    assert_eq!(
        ["dough_c", "water_at_most_c"].map(|key| grams(dough, key)),
        [26.0, 43.0]
    );
    assert!(
        (23.0..24.0).contains(&grams(dough, "comes_out_c")),
        "{plan}"
    );
    assert!(
        (11.0..12.0).contains(&grams(dough, "grain_at_least_c")),
        "{plan}"
    );
    assert_eq!(dough["mixing_heat_known"], true);
    // The sheet says the same.
    kitchen.ok("plan --accept");
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    for same in [
        "at about 23 °C instead of 26 °C",
        "grain of 12 °C or more, water of 43 °C is enough",
        "Grain above 5 °C counts as warm time: let it warm only just before mixing, or warm the flour instead",
    ] {
        has(&sheet, same);
    }
}

#[test]
fn a_plan_says_nothing_of_doughs_that_water_warms_enough_or_of_which_too_little_is_known() {
    let without = COLD_LOAF.replace("dough_temperature = \"26C\"\n", "");
    for (loaf, settings) in [
        (COLD_LOAF, &["tap 8C", "room 28C"][..]),
        (COLD_LOAF, &["room 17C"][..]),
        (COLD_LOAF, &["tap 8C"][..]),
        (without.as_str(), &["tap 8C", "room 17C"][..]),
    ] {
        let kitchen = kitchen(loaf, settings);
        let plan = kitchen.json("plan");
        assert!(cold(&plan).is_empty(), "{settings:?}: {plan}");
        let said = kitchen.ok("plan");
        assert!(!said.contains("Cold grain"), "{settings:?}: {said}");
    }
}

/// The soaker is as warm as the room by then.
#[test]
fn grain_that_goes_into_a_soaker_is_not_called_cold() {
    let kitchen = kitchen(COLD_LOAF, &["tap 8C", "room 17C"]);
    let soaker = COLD_LOAF.replace(
        "[grain]",
        "[[stage]]\nname = \"soaker\"\nkind = \"soaker\"\nflour = \"9.527%\"\nwater = \"45%\"\nripens = \"8h\"\n\n[grain]\nstage = \"soaker\"",
    );
    kitchen.file("soaker.toml", soaker.replace("cold loaf", "soaked loaf"));
    kitchen.ok("formula add soaker.toml");
    kitchen.ok("bake add \"soaked loaf\" --pieces 4 --at \"2026-11-23 06:00\" mix");
    let plan = kitchen.json("plan");
    assert_eq!(list(&plan, "bakes").len(), 3);
    assert_eq!(cold(&plan), ["B-1S", "B-2Q"]);
}

#[test]
fn a_dough_that_mixing_warms_by_nobody_knows_how_much_is_told_so() {
    let loaf = COLD_LOAF.replace("mixing_rise = \"2K\"\n", "");
    let kitchen = kitchen(&loaf, &["tap 8C", "room 17C"]);
    has(
        &one_line(&kitchen.ok("plan")),
        "Mixing will warm B-1S, B-2Q further; how much is not known yet.",
    );
    let plan = kitchen.json("plan");
    assert_eq!(list(&plan, "cold_doughs")[0]["mixing_heat_known"], false);
}
