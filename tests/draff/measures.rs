//! The household measures that `batch` gives beside its weights.

use crate::env::{Kitchen, one_line};
use serde_json::Value;

/// Shares that come to even cups: 1 kg of total flour has 625 g of plain flour, 5 US cups of 125 g.
const DOUGH: &str = r#"
name = "measured dough"
hydration = "72%"

[grain]
wanted = "10%"

[[flour]]
name = "plain flour"
share = "62.5%"

[[flour]]
name = "rye flour"
share = "27.5%"

[[stage]]
name = "sponge"
kind = "preferment"
flour = "12.5%"
hydration = "100%"
of = "plain flour"

[[ingredient]]
name = "salt"
kind = "salt"
share = "1.8%"

[[ingredient]]
name = "coarse salt"
kind = "salt"
share = "0.2%"

[[ingredient]]
name = "quick yeast"
kind = "yeast"
yeast = "instant"
share = "0.4%"

[[ingredient]]
name = "slow yeast"
kind = "yeast"
yeast = "active-dry"
share = "0.4%"

[[ingredient]]
name = "honey"
kind = "sweetener"
share = "0.05%"
"#;

const WEIGHED: &str = "batch ./dough.toml --flour 900g --moisture 77%";

fn kitchen() -> Kitchen {
    let kitchen = Kitchen::bare();
    kitchen.file("dough.toml", DOUGH);
    kitchen
}

fn lines(answer: &Value) -> Vec<Value> {
    let stages = answer["stages"].as_array().unwrap();
    stages
        .iter()
        .flat_map(|stage| stage["lines"].as_array().unwrap().clone())
        .collect()
}

#[track_caller]
fn line<'a>(lines: &'a [Value], name: &str) -> &'a Value {
    lines
        .iter()
        .rfind(|line| line["name"] == name)
        .unwrap_or_else(|| panic!("no {name}"))
}

/// USDA SR28: 125 g of all-purpose flour in a cup (NDB 20081), 292 g of table salt (02047), 4.0 g of active
/// dry yeast in a teaspoon (18375). 500 g of flour are 4 US cups; in cups of 250 mL 3.785, of which 3 3/4 is
/// 0.9 % less. 18 g of salt are 2.96 teaspoons.
#[test]
fn measures_stand_beside_the_weights() {
    let kitchen = kitchen();
    for (set, flour, sponge) in [
        (
            "us-cup",
            "500 g 4 cups plain flour",
            "125 g 1 cup plain flour",
        ),
        (
            "metric-cup",
            "500 g 3 3/4 cups plain flour",
            // 236.6 mL: 3/4 cup and 3 1/2 tablespoons are 240 mL, 3.4 mL more; with 3 they are 4.1 mL less.
            "125 g 3/4 cup + 3 1/2 tbsp plain flour",
        ),
    ] {
        let text = one_line(&kitchen.ok(&format!("{WEIGHED} --measures {set}")));
        for wanted in [
            flour,
            sponge,
            "18 g 1 tbsp salt",
            "4 g 1 tsp slow yeast",
            "275 g rye flour",
            "2 g coarse salt",
            "4 g quick yeast",
            "wet grain has no published cup weight: weigh it",
            "no published cup weight fits, so weigh: rye flour, coarse salt, quick yeast",
            "too little for a spoon, so weigh: honey",
            "flour by volume is 10 to 20 % uncertain (from memory): the scale decides",
        ] {
            assert!(text.contains(wanted), "{set}: no `{wanted}` in {text}");
        }
        assert_eq!(text.matches("wet grain has no published").count(), 1);
    }
}

#[test]
fn without_the_option_nothing_is_said_of_measures() {
    let kitchen = kitchen();
    let text = kitchen.ok(WEIGHED);
    for word in ["cup", "tbsp", "tsp", "Measures"] {
        assert!(!text.contains(word), "{word}: {text}");
    }
    for line in lines(&kitchen.json(WEIGHED)) {
        assert!(line["measure"].is_null() && line["measure_error"].is_null());
        assert!(line["weigh_g"].is_number());
    }
}

#[test]
fn a_measure_that_is_far_off_says_so() {
    let kitchen = kitchen();
    // 292 g in a cup of 48 teaspoons are 1.521 g in a quarter teaspoon: 15.5 % less than 1.8 g (arithmetic).
    let text = kitchen.ok(&format!(
        "{} --measures us-cup",
        WEIGHED.replace("900g", "90g")
    ));
    assert!(
        one_line(&text).contains("1.8 g 1/4 tsp (16 % under) salt"),
        "{text}"
    );
    let json = kitchen.json(&format!(
        "{} --measures us-cup",
        WEIGHED.replace("900g", "90g")
    ));
    let lines = lines(&json);
    let salt = line(&lines, "salt");
    assert_eq!(salt["measure"], "1/4 tsp");
    let error = 292.0 / 48.0 / 4.0 / 1.8 - 1.0;
    assert!(
        (salt["measure_error"].as_f64().unwrap() - error).abs() < 1e-4,
        "{salt}"
    );
}

#[test]
fn json_has_a_measure_or_null() {
    let kitchen = kitchen();
    let lines = lines(&kitchen.json(&format!("{WEIGHED} --measures us-cup")));
    assert_eq!(line(&lines, "plain flour")["measure"], "4 cups");
    assert_eq!(line(&lines, "slow yeast")["measure"], "1 tsp");
    assert!(line(&lines, "water, pour first")["measure"].is_string());
    for name in [
        "wet grain",
        "sponge",
        "rye flour",
        "coarse salt",
        "quick yeast",
        "honey",
    ] {
        assert!(line(&lines, name)["measure"].is_null(), "{name}");
    }
}

#[test]
fn an_unknown_set_is_refused_with_the_known_ones() {
    let kitchen = kitchen();
    let said = kitchen.refused(2, &format!("{WEIGHED} --measures cups"));
    assert!(
        said.contains("set of measures is `cups`: allowed are metric-cup, us-cup"),
        "{said}"
    );
}
