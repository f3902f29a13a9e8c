//! JSON that others rely on: the exact keys of each answer, the type of each value, and what may be null.

use crate::env::{Kitchen, LOAF};
use serde_json::{Value, json};

/// Holds an answer against its schema: `"number"`, `"string"`, with `?` where null is allowed, `[schema]`
/// for a list that holds at least one, or an object with exactly these keys.
#[track_caller]
fn matches(found: &Value, schema: &Value, place: &str) {
    match schema {
        Value::Object(keys) => {
            let found = found
                .as_object()
                .unwrap_or_else(|| panic!("{place} is no object: {found}"));
            let mut found = found.clone();
            // Every answer as a whole carries its cautions, and nothing inside of it does.
            if !place.contains(['.', '[']) && !keys.contains_key("cautions") {
                let cautions = found.remove("cautions").unwrap_or_default();
                for caution in cautions.as_array().unwrap_or(&Vec::new()) {
                    let schema = json!({"code": "string", "text": "string"});
                    matches(caution, &schema, &format!("{place}.cautions"));
                }
            }
            let wanted: Vec<&String> = keys.keys().collect();
            assert_eq!(found.keys().collect::<Vec<_>>(), wanted, "keys of {place}");
            for (key, schema) in keys {
                matches(&found[key], schema, &format!("{place}.{key}"));
            }
        }
        Value::Array(items) => {
            let found = found
                .as_array()
                .unwrap_or_else(|| panic!("{place} is no list: {found}"));
            assert!(
                !found.is_empty(),
                "{place} is empty, so nothing would be checked"
            );
            for (index, item) in found.iter().enumerate() {
                matches(item, &items[0], &format!("{place}[{index}]"));
            }
        }
        Value::String(kind) => {
            if let Some(kind) = kind.strip_suffix('?') {
                assert!(
                    found.is_null() || is(found, kind),
                    "{place} is {found}, not {kind} or null"
                );
            } else {
                assert!(is(found, kind), "{place} is {found}, not {kind}");
            }
        }
        other => panic!("{other} is no schema"),
    }
}

fn is(found: &Value, kind: &str) -> bool {
    let rfc3339 = |text: &str| chrono::DateTime::parse_from_rfc3339(text).is_ok();
    match kind {
        "string" => found.is_string(),
        "number" => found.is_number(),
        "yes or no" => found.is_boolean(),
        "list" => found.is_array(),
        "count" => found.is_u64(),
        "moment" => found.as_str().is_some_and(rfc3339),
        "day" => found
            .as_str()
            .is_some_and(|text| text.parse::<chrono::NaiveDate>().is_ok()),
        other => panic!("{other} is no kind"),
    }
}

fn moisture() -> Value {
    json!({
        "wet_basis": "number", "standard_uncertainty": "number", "from": "string",
        "unfinished_samples": "count", "at_least": "number?",
    })
}

fn pickup() -> Value {
    json!({
        "lot": "string", "wet_g": "number", "dry_g": "number", "dry_low_g": "number", "dry_high_g": "number",
        "moisture": moisture(), "keep_until": "moment?", "verdict": "string",
    })
}

/// The schema of an act that wrote entries: the number of the first stands in its answer.
fn of_act(mut schema: Value) -> Value {
    schema["entry"] = json!("count");
    schema
}

/// A book with a good lot, an unknown one and a frozen one, tested, used, thrown away and struck.
fn lived_in() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.pickup("--brewed 2026-11-20 --wet 5kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,35.4g"));
    kitchen.ok(&format!("move {lot} --wet 2kg --to freezer"));
    kitchen.ok(&format!("probe {lot} 4.2C"));
    kitchen.ok(&format!("--by Ines use {lot} --wet 1kg --for bread"));
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason dropped"));
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason wrong"));
    let entry = kitchen.last_entry("discard");
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    (kitchen, lot)
}

#[test]
fn pickup_of_one_lot() {
    let kitchen = Kitchen::new();
    let answer = kitchen.json("pickup --source A --brewed today --wet 1kg");
    matches(&answer, &of_act(pickup()), "pickup");
    assert_eq!(
        answer["keep_until"],
        json!(null),
        "not known is null, never 0"
    );
    let known =
        kitchen.json("pickup --source A --brewed today --mash-out 07:00 --cooled 08:00 --wet 1kg");
    matches(&known, &of_act(pickup()), "pickup");
    assert!(known["keep_until"].is_string());
}

#[test]
fn pickup_of_a_file() {
    let kitchen = Kitchen::new();
    kitchen.file("p.csv", "source,brewed,wet\nA,today,1kg\nB,today,2kg\n");
    let answer = kitchen.json("pickup --csv p.csv");
    matches(
        &answer,
        &of_act(json!({"lots": [pickup()]})),
        "pickup --csv",
    );
    assert_eq!(answer["lots"].as_array().unwrap().len(), 2);
}

#[test]
fn moisture_of_a_lot() {
    let (kitchen, lot) = lived_in();
    let schema = json!({
        "lot": "string", "samples": [{"wet_basis": "number"}], "wet_basis": "number", "dry_fraction": "number",
        "standard_uncertainty": "number", "expanded_95": "number", "from": "string",
        "samples_enough": "count?", "unfinished_samples": "count", "at_least": "number?", "warnings": ["string"],
    });
    // A sample so dry that a warning is due, so that the type of warnings is checked too.
    let answer = kitchen.json(&format!(
        "moisture {lot} --weighing 12.0g,112.0g,82.0g --new-dish"
    ));
    matches(&answer, &of_act(schema.clone()), "moisture");
    let asked = kitchen.json(&format!("moisture {lot}"));
    matches(&asked, &schema, "moisture");
    let sum = answer["wet_basis"].as_f64().unwrap() + answer["dry_fraction"].as_f64().unwrap();
    assert!((sum - 1.0).abs() < 1e-9);
}

#[test]
fn hold_back_for_a_dough() {
    let kitchen = Kitchen::bare();
    let schema = json!({
        "wet_g": "number", "dry_g": "number", "carried_water_g": "number", "flour_equivalent_g": "number",
        "flour_g": "number", "total_flour_g": "number", "grain_share": "number", "hydration": "number",
        "total_water_g": "number", "add_water_g": "number", "pour_first_g": "number", "keep_back_g": "number",
        "keep_back_thirst_g": "number", "likely_back_g": "number",
        "thirst_g": "number?", "thirst_low_g": "number?", "thirst_high_g": "number?", "thirst_bakes": "count?",
        "fixed": "string", "moisture": moisture(),
    });
    for (grain, fixed) in [("--wet 435g", "wet"), ("--share 10%", "share")] {
        let answer = kitchen.json(&format!(
            "hold-back --moisture 77% {grain} --flour 900g --hydration 70%"
        ));
        matches(&answer, &schema, "hold-back");
        assert_eq!(answer["fixed"], fixed);
    }
}

#[test]
fn a_cooling_calculated_ahead() {
    let kitchen = Kitchen::bare();
    let course = json!({
        "surface_w_per_m2_k": "number", "biot": "number", "minutes_to_first": "number?",
        "minutes_to_cold": "number?", "in_time": "yes or no", "deepest_cm": "number?",
    });
    let schema = json!({
        "forecast": "string", "depth_cm": "number", "width_cm": "number?", "from_c": "number",
        "fridge_c": "number", "under": "string", "air": "string", "form": "string",
        "moisture_wet_basis": "number", "conductivity_w_per_m_k": "number", "density_kg_per_m3": "number",
        "specific_heat_kj_per_kg_k": "number", "first_c": "number", "cold_c": "number",
        "slow": course.clone(), "quick": course, "deepest_on_a_rack_cm": "number?",
        "thickest_in_ice_water_cm": "number?", "left_out": ["string"], "rules": "string", "source": "string",
    });
    for words in [
        "--depth 8cm --from 62C --fridge 3C --tub round 30cm",
        "--depth 1cm --from 62C --fridge 6C",
    ] {
        matches(&kitchen.json(&format!("cool {words}")), &schema, words);
    }
}

fn formula() -> serde_json::Map<String, Value> {
    let keys =
        json!({"formula": "string", "version": "count", "added_at": "moment", "by": "string?"});
    keys.as_object().unwrap().clone()
}

#[test]
fn formulas_of_a_book() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    let mut with_text = formula();
    with_text.insert("toml".to_owned(), json!("string"));
    let added = kitchen.json("formula add loaf.toml");
    matches(&added, &Value::Object(with_text.clone()), "formula add");
    assert_eq!(added["by"], json!(null));
    let shown = kitchen.json("formula show \"small loaf\"");
    matches(&shown, &Value::Object(with_text), "formula show");
    let mut proposed = formula();
    proposed.insert("mixer".to_owned(), json!("string?"));
    proposed.insert(
        "proposals".to_owned(),
        json!([{
            "figure": "string", "stated": "number?", "found": "number?", "found_half_width": "number?", "bakes": "count",
            "bakes_of_other_mixers": "count", "is_proposed": "yes or no",
        }]),
    );
    let asked = kitchen.json("formula propose \"small loaf\"");
    matches(&asked, &Value::Object(proposed), "formula propose");
    let listed = kitchen.json("formula list");
    matches(&listed, &json!({"formulas": [formula()]}), "formula list");
}

#[test]
fn rules_as_a_file() {
    let kitchen = Kitchen::new();
    for words in ["rules", "rules strict"] {
        matches(&kitchen.json(words), &json!({"toml": "string"}), words);
    }
}

#[test]
fn a_calendar_of_bakes_and_tasks() {
    let (kitchen, _) = Kitchen::with_accepted_plan(24);
    let schema = json!({
        "bakes": [{
            "bake": "string", "formula": "string", "starts_at": "moment", "mix_at": "moment",
            "in_oven_at": "moment?", "ready_at": "moment", "pieces": "count", "piece_g": "number",
            "left_out_by_plan": "yes or no", "dropped": "yes or no", "note": "string?",
        }],
        "tasks": [{
            "action": "string", "lot": "string", "wet_g": "number", "block_g": "number?", "by": "moment", "bake": "string?",
            "into": [{"bake": "string?", "wet_g": "number", "place": "string?"}], "dropped": "yes or no",
        }],
    });
    matches(&kitchen.json("bake calendar"), &schema, "bake calendar");
}

#[test]
fn batch_of_a_formula() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    let words = "batch loaf.toml --flour 900g --moisture 75% --share 6% --measures metric-cup";
    let schema = json!({
        "formula": "string", "dough_g": "number", "divided_g": "number", "baked_g": "number",
        "stages": [{
            "stage": "string", "kind": "string", "sum_g": "number",
            "lines": [{
                "name": "string", "kind": "string", "weigh_g": "number", "exact_g": "number",
                "of_total_flour": "number", "of_dough": "number",
                "measure": "string?", "measure_error": "number?",
            }],
        }],
        "hold_back": {
            "wet_g": "number", "dry_g": "number", "carried_water_g": "number", "flour_equivalent_g": "number",
            "flour_g": "number", "total_flour_g": "number", "grain_share": "number", "hydration": "number",
            "total_water_g": "number", "add_water_g": "number", "pour_first_g": "number", "keep_back_g": "number",
        "keep_back_thirst_g": "number", "likely_back_g": "number",
        "thirst_g": "number?", "thirst_low_g": "number?", "thirst_high_g": "number?", "thirst_bakes": "count?",
            "fixed": "string", "moisture": moisture(),
        },
        "water_temperature": {
            "dough_c": "number", "water_c": "number?", "ice_g": "number?", "tap_water_g": "number?",
            "factor_rule_c": "number?", "mixing_heat_known": "yes or no", "mixing_rise_k": "number?", "measured_doughs": "count", "refused": "string?",
        },
    });
    let answer = kitchen.json(&format!("{words} --tap 12C --room 22C --grain-temp 18C"));
    matches(&answer, &schema, "batch");
    let mut unasked = kitchen.json(words);
    assert_eq!(unasked["water_temperature"], json!(null));
    unasked["water_temperature"] = answer["water_temperature"].clone();
    matches(&unasked, &schema, "batch");
    for stage in unasked["stages"].as_array().unwrap() {
        let weighed: f64 = stage["lines"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|line| line["kind"] != "held back")
            .map(|line| line["weigh_g"].as_f64().unwrap())
            .sum();
        assert!((weighed - stage["sum_g"].as_f64().unwrap()).abs() < 1e-6);
    }
}

#[test]
fn shelf_of_a_book() {
    let (kitchen, _) = lived_in();
    let schema = json!({
        "as_of": "moment",
        "lots": [{
            "lot": "string", "source": "string", "brewed_on": "day", "form": "string", "wet_g": "number",
            "dry_g": "number", "moisture": moisture(), "place": "string", "place_kind": "string",
            "keep_until": "moment?", "act_by": "moment?", "hours_left": "number?", "day": "count?",
            "warm_minutes": "count",
            "verdict": "string", "binding": {"limit": "string", "source": "string"},
            "not_measured_since": "moment?", "layer_cm": "number?", "part_spoiled_at": "moment?", "promised_g": "number",
        }],
    });
    let answer = kitchen.json("shelf");
    matches(&answer, &schema, "shelf");
    let lots = answer["lots"].as_array().unwrap();
    assert_eq!(lots.len(), 3);
    let unknown = lots.iter().find(|lot| lot["verdict"] == "unknown").unwrap();
    for key in ["keep_until", "hours_left", "day"] {
        assert_eq!(
            unknown[key],
            json!(null),
            "{key}: not known is null, never 0"
        );
    }
}

#[test]
fn usage_of_a_book() {
    let (kitchen, _) = lived_in();
    let schema = json!({"usage": [{
        "used_at": "moment", "lot": "string", "source": "string", "brewed_on": "day", "kind": "string",
        "bake": "string?", "formula": "string?", "wet_g": "number", "moisture_wet_basis": "number?",
        "dry_g": "number", "carried_water_g": "number", "flour_equivalent_g": "number", "by": "string?",
        "note": "string?",
    }]});
    let answer = kitchen.json("usage");
    matches(&answer, &schema, "usage");
    assert_eq!(answer["usage"][0]["note"], json!(null));
    assert_eq!(answer["usage"][0]["by"], "Ines");
    assert_eq!(answer["usage"][1]["bake"], json!(null));
    assert_eq!(answer["usage"][1]["by"], json!(null));
}

#[test]
fn log_of_a_book() {
    let (kitchen, _) = lived_in();
    let schema = json!({"entries": [{
        "entry": "count", "kind": "string", "at": "moment", "recorded_at": "moment", "by": "string?",
        "lot": "string?", "wet_g": "number?", "new_lot": "string?", "bake": "string?", "place": "string?", "closed": "yes or no?",
        "temperature_c": "number?", "water_activity": "number?", "step": "string?", "wet_out_g": "number?", "water_added_g": "number?", "found_g": "number?",
        "ending": "string?", "words": "string?", "strikes": "count?",
        "struck_by": "count?", "amends": "count?", "amended_by": "count?", "reason": "string?",
    }], "formulas": [formula()]});
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    matches(&kitchen.json("log"), &schema, "log");
}

/// The lot of `lived_in`, pressed, counted and fed to animals.
fn handled() -> (Kitchen, String) {
    let (kitchen, lot) = lived_in();
    kitchen.ok(&format!(
        "treat {lot} --step press --wet-in 2kg --wet-out 1.4kg"
    ));
    kitchen.ok(&format!("count {lot} --wet 3.9kg"));
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as feed --reason surplus"
    ));
    (kitchen, lot)
}

#[test]
fn count_of_a_lot() {
    let (kitchen, lot) = handled();
    let schema = json!({
        "lot": "string", "booked_g": "number", "found_g": "number", "less_g": "number", "size": "string",
    });
    matches(
        &kitchen.json(&format!("count {lot} --wet 2.8kg")),
        &of_act(schema),
        "count",
    );
}

#[test]
fn plan_of_a_treatment() {
    let (kitchen, lot) = handled();
    let schema = json!({
        "step": "string", "lot": "string?", "wet_in_g": "number", "moisture": moisture(), "to_wet_basis": "number",
        "water_g": "number", "water_low_g": "number", "water_high_g": "number",
        "product_g": "number", "product_low_g": "number", "product_high_g": "number",
        "heat": {
            "temperature_c": "number", "least_mj": "number",
            "dryers": [{"dryer": "string", "low_mj": "number", "high_mj": "number", "source": "string"}],
        },
        "warm_minutes": "count?", "warm_minutes_left": "count?", "ends_past": "yes or no?",
    });
    let of_lot = kitchen.json(&format!("treat {lot} --plan dry --to 8%"));
    matches(&of_lot, &schema, "treat --plan");
    assert_eq!(of_lot["ends_past"], json!(false));
    let of_none = kitchen.json("treat --plan dry --to 8% --wet-in 1kg --moisture 77%");
    matches(&of_none, &schema, "treat --plan");
    assert_eq!(of_none["lot"], json!(null));
    let pressed = kitchen.json(&format!("treat {lot} --plan press --to 65%"));
    assert_eq!(pressed["heat"], json!(null));
}

#[test]
fn trace_of_a_lot() {
    let (kitchen, lot) = handled();
    let lots = json!([{
        "lot": "string", "source": "string", "brewed_on": "day", "form": "string", "grist": "string?",
        "how": "string", "made_of": "list", "at": "moment", "came_g": "number", "left_g": "number",
        "place": "string?", "by": "string?", "corrector": "string?",
    }]);
    let schema = json!({
        "asked": "string", "back": "list", "lots": lots,
        "bakes": [{
            "bake": "string", "formula": "string?", "at": "moment", "pieces": "count?", "wet_g": "number",
            "of_lots": ["string"], "unusable_lots": "list", "not_free_of": "string?", "not_free_lots": "list",
        }],
        "ends": [{
            "at": "moment", "lot": "string", "kind": "string", "wet_g": "number", "words": "string?",
            "by": "string?", "corrector": "string?", "unusable": "yes or no",
        }],
        "balance": {
            "came_g": "number", "joined_g": "number", "used_g": "number", "given_g": "number", "feed_g": "number",
            "compost_g": "number", "waste_g": "number", "discarded_g": "number", "treatments_g": "number",
            "lost_in_treatments_g": "number", "added_in_treatments_g": "number",
            "missing_g": "number", "on_hand_g": "number", "difference_g": "number", "accounted": "number",
            "enough": "yes or no",
        },
        "near_sources": "list", "grist_unknown": "list", "may_hold": "list", "entries": ["count"],
    });
    let answer = kitchen.json(&format!("trace {lot}"));
    matches(&answer, &schema, "trace");
    let part = answer["lots"][1]["lot"].as_str().unwrap();
    let of_part = kitchen.json(&format!("trace {part}"));
    matches(&of_part["back"], &lots, "trace of a part");
    assert_eq!(kitchen.json("trace bread")["balance"], json!(null));
}

#[test]
fn json_is_one_value_and_nothing_else() {
    let (kitchen, lot) = lived_in();
    for words in ["shelf", "log", "usage", &format!("moisture {lot}")] {
        let ran = kitchen.run(&format!("--json {words}"));
        assert!(
            ran.out.starts_with('{') && ran.out.ends_with("}\n"),
            "{words}"
        );
        assert_eq!(ran.err, "", "{words}");
    }
}

#[test]
fn bakes_of_a_book() {
    let (kitchen, lot) = lived_in();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let bake = json!({
        "bake": "string", "state": "string", "formula": "string", "version": "count",
        "starts_at": "moment", "mix_at": "moment", "in_oven_at": "moment?", "ready_at": "moment",
        "pieces": "count", "piece_g": "number", "firm": "yes or no", "min_dry_g": "number",
        "target_dry_g": "number", "max_dry_g": "number",
        "lots": [{"lot": "string", "verdict": "string", "keep_until": "moment?"}],
        "promised": "list", "left_out_by_plan": "yes or no",
        "most_lots": "count?", "free_of": "string?", "not_free_lots": "list", "note": "string?",
        "result": {
            "mixed_at": "moment", "by": "string?", "draws": [{"lot": "string", "wet_g": "number"}],
            "said_pour_g": "number", "said_hold_back_g": "number", "water_g": "number?",
            "pieces": "count?", "baked_g": "number?", "measured_dough_c": "number?",
            "mixing_rise_k": "number?", "rating": "count?", "came_out": "string?", "said_thirst_g": "number?", "note": "string?",
        },
    });
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"today 10:00\" mix --pieces 2 --lot {lot} --most-lots 2"
    ));
    let done = kitchen.json(&format!("bake done B-1S --used {lot}=400g --at now"));
    matches(&done, &of_act(bake.clone()), "bake");
    assert_eq!(done["result"]["water_g"], json!(null));
    matches(
        &kitchen.json("bake list --all"),
        &json!({"bakes": [bake]}),
        "bakes",
    );
}

#[test]
fn readings_read_in_and_summed_up() {
    let (mut kitchen, _) = lived_in();
    kitchen.at("2026-11-21 18:00");
    // Warm for three hours, then a gap, then warm still; a row without a figure and one that is left out.
    kitchen.file(
        "r.csv",
        "time,temp C\n2026-11-20 11:00,4\n2026-11-20 12:00,9\n2026-11-20 14:00,4\n2026-11-20 19:00,4\n2026-11-20 20:00,\n2026-11-20 21:00,9\n2026-11-20 22:00,4\n",
    );
    let time = json!({"from_at": "moment", "to_at": "moment"});
    let read_in = kitchen.json("readings fridge --csv r.csv --to \"fri 21:30\"");
    let schema = json!({
        "place": "string", "entry": "count?", "added": "count", "known": "count", "differing": "count",
        "rows_empty": "count", "rows_outside": "count", "first_at": "moment?", "last_at": "moment?",
        "coldest_c": "number?", "warmest_c": "number?", "warm_minutes": "count", "warm": [time.clone()], "warm_alone": "count",
        "slow_step_minutes": "count?",
        "gaps": [time],
        "changed": [{
            "lot": "string", "verdict_before": "string", "keep_until_before": "moment?", "verdict": "string",
            "keep_until": "moment?",
        }],
    });
    matches(&read_in, &schema, "readings --csv");
    assert_eq!(
        (&read_in["rows_empty"], &read_in["rows_outside"]),
        (&json!(1), &json!(1))
    );
    let lots = json!([{
        "lot": "string", "gone_at": "moment?", "verdict": "string", "keep_until": "moment?",
        "verdict_without": "string", "keep_until_without": "moment?", "differs": "yes or no",
    }]);
    let mut schema = json!({
        "place": "string", "place_kind": "string", "rules": "string", "at_most_c": "number?",
        "at_least_c": "number?", "from_at": "moment?", "to_at": "moment?", "readings": "count",
        "coldest_c": "number?", "warmest_c": "number?", "mean_c": "number?", "within_minutes": "count?",
        "layer_cm": "number?", "grain_warmest_c": "number?", "grain_warm_minutes": "count?",
        "outside_minutes": "count?", "unknown_minutes": "count?",
        "excursions": [{
            "from_at": "moment", "to_at": "moment?", "minutes": "count", "coldest_c": "number",
            "warmest_c": "number", "lots": lots.clone(),
        }],
        "gaps": [{"from_at": "moment", "to_at": "moment", "minutes": "count", "lots": lots}],
        "left_out": "list",
        "stays": [{"lot": "string", "from_at": "moment", "to_at": "moment?"}],
    });
    let summary = kitchen.json("readings fridge --summary");
    matches(&summary, &schema, "readings --summary");
    assert_eq!(
        (&summary["at_most_c"], &summary["at_least_c"]),
        (&json!(5.0), &json!(null))
    );
    assert_eq!(summary["excursions"][1]["to_at"], json!(null), "it goes on");
    // Of a place that nobody measured nothing is known, and a room has no limit.
    for list in ["excursions", "gaps", "stays"] {
        schema[list] = json!("list");
    }
    let none = kitchen.json("readings counter --summary");
    matches(&none, &schema, "readings --summary");
    for key in [
        "at_most_c",
        "from_at",
        "coldest_c",
        "mean_c",
        "within_minutes",
        "unknown_minutes",
    ] {
        assert_eq!(none[key], json!(null), "{key}");
    }
}

#[test]
fn advice_on_bakes_and_tests() {
    let (kitchen, _) = Kitchen::with_loaf("20kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 10:00\" mix --pieces 24");
    let schema = json!({
        "as_of": "moment", "until": "moment",
        "short_dry_g": "number", "spoiled_dry_g": "number", "preserved_unused_dry_g": "number",
        "spare": [{
            "lot": "string", "wet_g": "number", "dry_g": "number", "fate": "string", "keep_until": "moment?",
        }],
        "advice": [{
            "change": "string", "bake": "string?", "formula": "string", "mix_at": "moment", "pieces": "count",
            "grain_share": "number?", "most_lots": "count?", "more_dough_g": "number",
            "saved_dry_g": "number", "short_dry_g": "number", "spoiled_dry_g": "number",
            "preserved_unused_dry_g": "number", "uses_up": "list", "command": "string",
        }],
        "lots_to_test": [{"lot": "string", "decides_dry_g": "number"}],
        "at_most": ["string"], "looked_at": "count", "stopped": "yes or no", "overdue": "list",
    });
    matches(&kitchen.json("bake advise"), &schema, "bake advise");
}
