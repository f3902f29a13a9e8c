//! The water temperature that `batch` gives beside its weights.

use crate::env::{Kitchen, one_line};

/// One stage: 900 g of flour, 300 g of grain of 77 % and 450 g of water, as the worked examples of
/// `docs/models/dough_temperature.md` have it.
const PLAIN: &str = r#"
name = "plain dough"
hydration = "70.278638%"
dough_temperature = "26C"
mixing_rise = "2.77K"

[grain]
wanted = "7.120743%"

[[flour]]
name = "bread flour"
share = "92.879257%"
"#;

/// With a sponge that ripens at its own temperature.
const SPONGE: &str = r#"

[[stage]]
name = "sponge"
kind = "preferment"
flour = "20%"
hydration = "60%"
temperature = "24C"
"#;

const WEIGHED: &str = "--flour 900g --moisture 77%";

fn kitchen(formula: &str) -> Kitchen {
    let kitchen = Kitchen::bare();
    kitchen.file("dough.toml", formula);
    kitchen
}

fn batch(options: &str) -> String {
    format!("batch ./dough.toml {WEIGHED} {options}")
}

#[track_caller]
fn holds(text: &str, wanted: &str) {
    let text = one_line(text);
    assert!(text.contains(wanted), "no `{wanted}` in: {text}");
}

/// Runs what has weights and no water: exit 1, the answer whole. Gives answer and message, each as one line.
#[track_caller]
fn no_water(kitchen: &Kitchen, words: &str) -> (String, String) {
    let ran = kitchen.run(words);
    assert_eq!(ran.code, 1, "{words}\n{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("  wet grain  "),
        "the weights stand: {}",
        ran.out
    );
    (one_line(&ran.out), one_line(&ran.err))
}

/// The page's worked example; what it calculates is 36.5 °C, so either whole degree is right.
#[test]
fn cold_grain_asks_for_warm_water_and_the_usual_rule_does_not_see_it() {
    let kitchen = kitchen(PLAIN);
    let words = batch("--tap 12C --room 21C --grain-temp 4C");
    let text = kitchen.ok(&words);
    holds(&text, "37 °C for a dough of 26 °C");
    holds(&text, "gives 28 °C (of three temperatures");
    holds(
        &text,
        "Use 37 °C: the grain adds 13 °C, what each part really weighs takes off 4 °C",
    );
    let json = kitchen.json(&words);
    let water = &json["water_temperature"];
    assert!(
        (water["water_c"].as_f64().unwrap() - 36.5).abs() < 0.2,
        "{water}"
    );
    assert!(
        (water["factor_rule_c"].as_f64().unwrap() - 27.69).abs() < 0.01,
        "{water}"
    );
    assert_eq!(water["dough_c"], 26.0);
    for key in ["ice_g", "tap_water_g", "refused"] {
        assert!(water[key].is_null(), "{key}: {water}");
    }
}

/// The same temperatures typed on the other scale: 12, 21, 4 and 26 °C; 36.5 °C are 97.8 °F.
#[test]
fn fahrenheit_in_and_out() {
    let kitchen = kitchen(&PLAIN.replace("26C", "78.8F"));
    let text = kitchen.ok(&format!(
        "--us {}",
        batch("--tap 53.6F --room 69.8F --grain-temp 39.2F")
    ));
    holds(&text, "98 °F for a dough of 79 °F");
    holds(
        &text,
        "gives 82 °F (of three temperatures, friction factor 15 °F)",
    );
    holds(&text, "the grain adds 23 °F");
    assert!(!text.contains("°C"), "{text}");
    let cold = batch("--tap 53.6F --room 69.8F --frozen");
    let (text, message) = no_water(&kitchen, &format!("--us {cold}"));
    for said in [text, message] {
        // 82.0 °C, and 43 °C is 109.4 °F.
        holds(
            &said,
            "water of 180 °F; 109 °F is the most we count on for yeast",
        );
        assert!(!said.contains("°C"), "{said}");
    }
}

#[test]
fn frozen_grain_is_to_be_thawed_and_the_weights_stand() {
    let kitchen = kitchen(PLAIN);
    let words = batch("--tap 12C --room 21C --frozen");
    let (text, message) = no_water(&kitchen, &words);
    holds(
        &text,
        "Water temp none: thaw the grain first. Frozen, it asks for water of 82 °C; 43 °C is the most we count on for yeast (our judgement)",
    );
    holds(
        &text,
        "take the frozen grain, 300 g with 212 g of ice in it, out of the freezer",
    );
    holds(&text, "into the fridge 13 h before mixing");
    holds(
        &text,
        "with thawed grain of 0 °C or more, water of 43 °C is enough",
    );
    holds(&message, "error: no water temperature for this dough");
    // Grain out of the fridge is no warm time.
    assert!(!text.contains("warm time"), "{text}");
    let same = no_water(&kitchen, &batch("--tap 12C --room 21C --grain-temp -18C"));
    assert_eq!(text, same.0);
    let json = kitchen.run(&format!("--json {words}"));
    assert_eq!(json.code, 1);
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let water = &json["water_temperature"];
    assert!(
        water["refused"].as_str().unwrap().contains("82 °C"),
        "{water}"
    );
    assert!(
        water["water_c"].is_null() && water["ice_g"].is_null(),
        "{water}"
    );
}

/// Grain that would have to be warm does with the temperature that the refusal names.
#[test]
fn grain_as_warm_as_the_refusal_says_does() {
    let kitchen = kitchen(PLAIN);
    let with = |grain: &str| batch(&format!("--tap 12C --room 12C --grain-temp {grain}"));
    let (text, _) = no_water(&kitchen, &with("2C"));
    let (_, after) = text.split_once("with grain of ").expect("a temperature");
    let (least, _) = after.split_once(" °C or more").expect("in °C");
    let least: i32 = least.parse().unwrap();
    assert!(least > 5, "{text}");
    holds(&text, "grain above 5 °C counts as warm time");
    let json = kitchen.json(&with(&format!("{least}C")));
    let water = json["water_temperature"]["water_c"].as_f64().unwrap();
    assert!(water <= 43.0, "{water}");
    no_water(&kitchen, &with(&format!("{}C", least - 1)));
}

/// The page's example with ice, mixing heat as a rise.
#[test]
fn a_hot_day_takes_ice() {
    let kitchen = kitchen(&PLAIN.replace("2.77K", "8.65K"));
    let words = batch("--tap 24C --room 30C --grain-temp 4C --dough-temp 25C");
    let json = kitchen.json(&words);
    let water = &json["water_temperature"];
    let ice = water["ice_g"].as_f64().unwrap();
    let tap = water["tap_water_g"].as_f64().unwrap();
    assert!((ice - 59.0).abs() < 1.0, "{water}");
    assert!((ice + tap - 450.0).abs() < 0.01, "{water}");
    assert!(water["water_c"].is_null(), "{water}");
    let text = kitchen.ok(&words);
    holds(
        &text,
        &format!("{ice:.0} g of ice and {tap:.0} g from the tap at 24 °C"),
    );
    holds(&text, "or all of it chilled to 10 °C");
}

#[test]
fn a_pinch_of_ice_is_not_asked_for() {
    let kitchen = kitchen(PLAIN);
    let json = kitchen.json(&batch("--tap 36.8C --room 21C --grain-temp 4C"));
    let ice = json["water_temperature"]["ice_g"].as_f64().unwrap();
    assert!(0.0 < ice && ice < 4.5, "{json}");
    let text = kitchen.ok(&batch("--tap 36.8C --room 21C --grain-temp 4C"));
    holds(
        &text,
        "Water temp 37 °C for a dough of 26 °C: use it from the tap as it is",
    );
}

#[test]
fn all_the_water_as_ice_may_not_be_enough() {
    let kitchen = kitchen(&PLAIN.replace("2.77K", "15K"));
    let words = batch("--tap 30C --room 48C --grain-temp 45C --dough-temp 5C");
    let (text, _) = no_water(&kitchen, &words);
    holds(
        &text,
        "none: the dough is to be 5 °C, and with all 450 g of its water as ice it would still be",
    );
}

#[test]
fn a_formula_without_a_rise_says_so_and_how_to_get_one() {
    let kitchen = kitchen(&PLAIN.replace("mixing_rise = \"2.77K\"\n", ""));
    let words = batch("--tap 12C --room 21C --grain-temp 10C");
    holds(
        &kitchen.ok(&words),
        "the formula has no `mixing_rise`. Measure the dough when mixing ends: by as many degrees Celsius as it is warmer than wanted, mixing warms it; write that into the formula, such as mixing_rise = \"3K\"",
    );
    let told = one_line(&kitchen.ok(&format!("--us {words}")));
    holds(&told, "by as many degrees Fahrenheit as it is warmer");
    holds(&told, "such as mixing_rise = \"5F\"");
    assert!(!told.contains("Celsius"), "{told}");
    assert_eq!(
        kitchen.json(&words)["water_temperature"]["mixing_heat_known"],
        false
    );
}

/// A sponge comes in at what was typed, else at its own temperature, else at the room's. It is warmer than
/// the room here, so the water may be cooler with it.
#[test]
fn the_temperature_of_a_preferment_is_found_in_order() {
    let own = kitchen(&format!("{PLAIN}{SPONGE}"));
    let none = kitchen(&format!(
        "{PLAIN}{}",
        SPONGE.replace("temperature = \"24C\"\n", "")
    ));
    let water = |kitchen: &Kitchen, options: &str| {
        let words = batch(&format!("--tap 12C --room 21C --grain-temp 8C {options}"));
        kitchen.json(&words)["water_temperature"]["water_c"]
            .as_f64()
            .unwrap()
    };
    let of_the_stage = water(&own, "");
    assert_eq!(of_the_stage, water(&none, "--preferment-temp 24C"));
    assert_eq!(water(&none, ""), water(&own, "--preferment-temp 21C"));
    assert!(of_the_stage < water(&none, "") - 1.0);
    holds(
        &own.ok(&batch("--tap 12C --room 21C --grain-temp 8C")),
        "of four temperatures",
    );
}

#[test]
fn without_the_room_the_usual_rule_is_not_shown() {
    let kitchen = kitchen(PLAIN);
    let words = batch("--tap 12C --flour-temp 21C --grain-temp 4C");
    assert!(!kitchen.ok(&words).contains("Usual rule"));
    assert!(kitchen.json(&words)["water_temperature"]["factor_rule_c"].is_null());
}

#[test]
fn nobody_is_told_who_did_not_ask() {
    let kitchen = kitchen(PLAIN);
    assert!(kitchen.json(&batch(""))["water_temperature"].is_null());
    assert!(!kitchen.ok(&batch("")).contains("Water temp"));
}

#[test]
fn options_without_the_tap_are_refused_and_not_ignored() {
    let kitchen = kitchen(&format!("{PLAIN}{SPONGE}"));
    for option in [
        "--room 21C",
        "--flour-temp 21C",
        "--grain-temp 4C",
        "--frozen",
        "--preferment-temp 24C",
        "--dough-temp 25C",
    ] {
        let message = kitchen.refused(2, &batch(option));
        holds(&message, "add --tap TEMPERATURE");
    }
}

#[test]
fn what_is_missing_is_named_with_what_to_type() {
    let plain = kitchen(PLAIN);
    for (options, wanted) in [
        ("--tap 12C --room 21C", "or --frozen"),
        ("--tap 12C --grain-temp 4C", "add --room TEMPERATURE"),
        (
            "--tap 12C --room 21C --frozen --preferment-temp 20C",
            "`plain dough` has no preferment or soaker",
        ),
        (
            "--tap 12C --room 21C --frozen --grain-temp 4C",
            "cannot be used with",
        ),
    ] {
        holds(&plain.refused(2, &batch(options)), wanted);
    }
    let aimless = kitchen(&PLAIN.replace("dough_temperature = \"26C\"\n", ""));
    let words = batch("--tap 12C --room 21C --grain-temp 4C");
    holds(&aimless.refused(2, &words), "add --dough-temp TEMPERATURE");
    aimless.ok(&format!("{words} --dough-temp 26C"));
    let sponge = SPONGE.replace("temperature = \"24C\"\n", "");
    let unsaid = kitchen(&format!("{PLAIN}{sponge}"));
    let words = batch("--tap 12C --flour-temp 21C --grain-temp 4C");
    holds(&unsaid.refused(2, &words), "that of the stage `sponge`");
}

#[test]
fn temperatures_that_cannot_be_are_refused() {
    let kitchen = kitchen(PLAIN);
    for (options, wanted) in [
        ("--tap 80C --room 21C --frozen", "--tap: tap water is 80 °C"),
        ("--tap -1C --room 21C --frozen", "--tap: tap water is -1 °C"),
        (
            "--tap 12C --room 90C --frozen",
            "--room: room temperature is 90 °C",
        ),
        ("--tap 12C --room 21C --grain-temp 150C", "--grain-temp: "),
        (
            "--tap 12C --room 21C --flour-temp 150C --frozen",
            "--flour-temp: ",
        ),
        (
            "--tap 12C --room 21C --frozen --dough-temp 60C",
            "--dough-temp: dough temperature is 60 °C",
        ),
        (
            "--tap 12 --room 21C --frozen",
            "temperature `12` has no unit",
        ),
        ("--tap cold --room 21C --frozen", "cold"),
    ] {
        holds(&kitchen.refused(2, &batch(options)), wanted);
    }
}

/// Where a soaker takes the grain, the soaker's temperature counts and the grain has none of its own.
#[test]
fn grain_in_a_soaker_has_the_temperature_of_the_soaker() {
    let soaker = PLAIN.replace(
        "wanted = \"7.120743%\"",
        "wanted = \"7.120743%\"\nstage = \"soaker\"",
    ) + "\n[[stage]]\nname = \"soaker\"\nkind = \"soaker\"\nflour = \"7.120743%\"\nwater = \"40%\"\n";
    let kitchen = kitchen(&soaker);
    let text = kitchen.ok(&batch("--tap 12C --room 21C --preferment-temp 18C"));
    holds(&text, "Water temp");
    for grain in ["--frozen", "--grain-temp 4C"] {
        let words = batch(&format!("--tap 12C --room 21C {grain}"));
        holds(&kitchen.refused(2, &words), "goes into the stage `soaker`");
    }
}
