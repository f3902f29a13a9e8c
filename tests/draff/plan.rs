//! `plan`: which lot into which bake, what to do by when, accepted plans, and what they change.

use crate::env::{Kitchen, LOAF};
use crate::errors::transcript;
use chrono::{DateTime, TimeDelta, Utc};
use serde_json::{Value, json};
use std::collections::HashMap;

/// Friday morning, with a formula and nothing on the shelf.
pub fn kitchen() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

/// A lot of this morning, 77 % moist.
fn lot(kitchen: &Kitchen, wet: &str) -> String {
    let lot = kitchen.lot(wet);
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    lot
}

fn bake(kitchen: &Kitchen, mix: &str, rest: &str) -> String {
    let added = kitchen.json(&format!(
        "bake add \"small loaf\" --at \"{mix}\" mix {rest}"
    ));
    added["bake"].as_str().unwrap().to_owned()
}

pub fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap()
}

pub fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap()
}

pub fn grams(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap()
}

/// A week with too much grain: 14 kg of two lots and three small bakes.
fn glut() -> Kitchen {
    let kitchen = kitchen();
    lot(&kitchen, "8kg");
    lot(&kitchen, "6kg");
    bake(&kitchen, "2026-11-21 06:00", "--pieces 12");
    bake(&kitchen, "2026-11-24 06:00", "--pieces 12");
    bake(&kitchen, "2026-11-30 06:00", "--pieces 12");
    kitchen
}

/// A week with too little: one lot, and the bakes take more than it holds.
fn scarcity() -> Kitchen {
    let kitchen = kitchen();
    lot(&kitchen, "2kg");
    bake(&kitchen, "2026-11-21 06:00", "--pieces 12");
    bake(&kitchen, "2026-11-23 06:00", "--pieces 12");
    bake(&kitchen, "2026-11-24 06:00", "--pieces 8 --optional");
    kitchen
}

/// Does all that a plan says at the time at which it says it, and gives what was baked of what.
fn follow(kitchen: &mut Kitchen, plan: &Value) -> usize {
    enum Step<'a> {
        Do(&'a Value),
        Bake(&'a Value),
    }
    let actions = list(plan, "actions").iter();
    let bakes = list(plan, "bakes").iter();
    let mut steps: Vec<(&str, Step)> = actions
        .map(|action| (text(action, "by"), Step::Do(action)))
        .chain(bakes.map(|bake| (text(bake, "due"), Step::Bake(bake))))
        .collect();
    steps.sort_by_key(|(at, _)| *at);
    let mut frozen: HashMap<String, String> = HashMap::new();
    let mut thawed: HashMap<(String, String), String> = HashMap::new();
    let mut dried: HashMap<String, Vec<(String, f64)>> = HashMap::new();
    let mut baked = 0;
    for (at, step) in steps {
        kitchen.at(at);
        match step {
            Step::Do(action) => {
                let lot = text(action, "lot").to_owned();
                let wet = grams(action, "wet_g");
                let moved = |from: &str, to: &str| {
                    let moved = kitchen.json(&format!("move {from} --wet {wet}g --to {to}"));
                    text(&moved, "lot").to_owned()
                };
                match text(action, "action") {
                    "freeze" => {
                        frozen.insert(lot.clone(), moved(&lot, "freezer"));
                    }
                    "thaw" => {
                        let from = frozen.get(&lot).unwrap_or(&lot);
                        let key = (lot.clone(), text(action, "bake").to_owned());
                        let moved = moved(from, "fridge");
                        thawed.insert(key, moved);
                    }
                    "dry" => {
                        // At 8 % a quarter of the wet mass is left of grain at 77 %.
                        let out = wet * 0.25;
                        let began: DateTime<Utc> = at.parse().unwrap();
                        let ended = (began + TimeDelta::hours(2)).to_rfc3339();
                        kitchen.at(&ended);
                        let treated = kitchen.json(&format!(
                            "treat {lot} --step dry --wet-in {wet}g --wet-out {out}g --place dry-store --minutes 120 --temp 60C"
                        ));
                        let code = text(&treated, "lot").to_owned();
                        kitchen.ok(&format!("probe {code} --aw 0.5"));
                        dried.entry(lot).or_default().push((code, out));
                    }
                    other => panic!("{other}"),
                }
            }
            Step::Bake(bake) => {
                let code = text(bake, "bake");
                let used: Vec<String> = list(bake, "draws")
                    .iter()
                    .map(|draw| {
                        let lot = text(draw, "lot").to_owned();
                        let wet = grams(draw, "wet_g");
                        match text(draw, "state") {
                            "thawed" => {
                                let from = &thawed[&(lot, code.to_owned())];
                                format!("--used {from}={wet}g")
                            }
                            "dried" => {
                                let mut wanted = wet * 0.25;
                                let mut parts = Vec::new();
                                // Dried on several days, it is several lots.
                                for (lot, left) in dried.get_mut(&lot).unwrap() {
                                    let part = wanted.min(*left);
                                    (wanted, *left) = (wanted - part, *left - part);
                                    if part > 0.0 {
                                        parts.push(format!("--used {lot}={part}g"));
                                    }
                                }
                                parts.join(" ")
                            }
                            _ => format!("--used {lot}={wet}g"),
                        }
                    })
                    .collect();
                if bake["happens"] == true && !used.is_empty() {
                    kitchen.ok(&format!("bake done {code} {}", used.join(" ")));
                    baked += 1;
                }
            }
        }
    }
    assert!(kitchen.ok("check").starts_with("The book is whole"));
    baked
}

#[test]
fn a_week_of_glut_is_planned_and_can_be_followed() {
    let mut kitchen = glut();
    let plan = kitchen.json("plan");
    assert_eq!(plan["status"], "optimal");
    // 14 kg at 77 % hold 3.22 kg; three bakes take 576.061 g each at most. Nothing spoils, the rest is frozen.
    assert_eq!(plan["spoiled_dry_g"], 0.0);
    for bake in list(&plan, "bakes") {
        assert!((grams(bake, "dry_g") - 576.061).abs() < 1.0, "{bake}");
        assert_eq!(list(bake, "draws").len(), 1, "one lot serves: {bake}");
    }
    let kept: f64 = list(&plan, "spare")
        .iter()
        .map(|spare| grams(spare, "dry_g"))
        .sum();
    assert!((kept + 3.0 * 576.061 - 3220.0).abs() < 3.0, "{kept}");
    // The bake of the 30th is past the seventh day, Thursday the 26th: its grain is frozen in between.
    let late = &list(&plan, "bakes")[2];
    assert_eq!(late["draws"][0]["state"], "thawed");
    let tasks: Vec<&str> = list(&plan, "actions")
        .iter()
        .map(|task| text(task, "action"))
        .collect();
    assert_eq!(tasks.iter().filter(|task| **task == "thaw").count(), 1);
    assert!(tasks.contains(&"freeze"));
    assert_eq!(follow(&mut kitchen, &plan), 3);
}

#[test]
fn a_week_of_scarcity_says_what_lacks_and_why() {
    let mut kitchen = scarcity();
    let plan = kitchen.json("plan");
    // 460 g of dry grain for two firm bakes that want 288 g at least.
    let short: f64 = list(&plan, "bakes")
        .iter()
        .map(|bake| grams(bake, "short_dry_g"))
        .sum();
    assert!((short - (2.0 * 288.031 - 460.0)).abs() < 2.0, "{short}");
    let lacking: Vec<&Value> = list(&plan, "bakes")
        .iter()
        .filter(|bake| grams(bake, "short_dry_g") > 0.0)
        .collect();
    assert!(!lacking.is_empty());
    assert!(lacking.iter().all(|bake| bake["short_because"].is_string()));
    let optional = &list(&plan, "bakes")[2];
    assert_eq!(
        (&optional["happens"], &optional["dry_g"]),
        (&json!(false), &json!(0.0))
    );
    let said = kitchen.ok("plan");
    assert!(said.contains("SHORT "), "{said}");
    assert!(said.contains("not baked"), "{said}");
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
    follow(&mut kitchen, &plan);
}

/// Drying too can be followed: a dryer, no freezer, and a bake after the grain's seventh day.
#[test]
fn grain_is_dried_where_there_is_no_freezer() {
    let mut kitchen = kitchen();
    let lot = lot(&kitchen, "5kg");
    bake(&kitchen, "2026-11-30 06:00", "--pieces 12");
    kitchen.ok("settings freezer none");
    let without = kitchen.json("plan");
    assert_eq!(
        text(&without["bakes"][0], "short_because"),
        "nothing-in-date"
    );
    kitchen.ok("settings dryer 3kg");
    kitchen.ok("settings drying-time 2h");
    let plan = kitchen.json("plan");
    assert_eq!(plan["bakes"][0]["draws"][0]["state"], "dried");
    assert!(
        list(&plan, "actions")
            .iter()
            .all(|task| task["action"] == "dry" && task["lot"] == lot)
    );
    // No more water a day than the dryer takes: 1 g of grain at 77 % gives off 0.75 g down to 8 %.
    let mut days: HashMap<&str, f64> = HashMap::new();
    for task in list(&plan, "actions") {
        *days.entry(&text(task, "by")[..10]).or_default() += grams(task, "wet_g") * 0.75;
    }
    assert!(days.values().all(|water| *water <= 3000.0), "{days:?}");
    assert_eq!(follow(&mut kitchen, &plan), 1);
}

#[test]
fn an_accepted_plan_is_kept_until_it_cannot_be() {
    let mut kitchen = glut();
    let first = kitchen.json("plan --accept");
    assert_eq!(
        (&first["accepted"], &first["changes"]),
        (&json!(true), &json!(null))
    );
    assert_eq!(kitchen.json("plan")["changes"], json!([]));
    // A bake that would be better served otherwise does not upset what is promised.
    bake(&kitchen, "2026-11-25 06:00", "--pieces 12 --most-lots 1");
    assert_eq!(
        kitchen.json("plan")["changes"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|change| change["bake"] != "B-4M")
            .count(),
        0
    );
    // Grain that is gone is no longer promised.
    let promised = first["bakes"][0]["draws"][0].clone();
    let lot = text(&promised, "lot");
    kitchen.ok(&format!("discard {lot} --reason dropped"));
    for how in ["plan", "plan --reopen"] {
        let after = kitchen.json(how);
        let gone = list(&after, "changes")
            .iter()
            .any(|change| change["lot"] == lot && change["after_wet_g"] == 0.0);
        assert!(gone, "{how}: {}", after["changes"]);
    }
    let said = kitchen.ok("plan");
    assert!(said.contains(&format!("nothing of {lot}")), "{said}");
    // The next accepted plan takes its place; a strike brings the one before it back.
    kitchen.ok("plan --accept");
    assert_eq!(kitchen.json("plan")["changes"], json!([]));
    let entry = kitchen.last_entry("plan");
    kitchen.ok(&format!("strike {entry} --reason \"too early\""));
    assert!(!list(&kitchen.json("plan"), "changes").is_empty());
    kitchen.at("2026-11-20T11:00:00Z");
    let log = kitchen.ok("log");
    assert!(log.contains("accepted: "), "{log}");
}

/// What the plan froze is a lot of its own afterwards, and is still promised.
#[test]
fn a_promise_follows_its_grain_into_the_freezer_and_out() {
    let mut kitchen = glut();
    let plan = kitchen.json("plan --accept");
    let tasks = list(&plan, "actions");
    for task in tasks {
        kitchen.at(text(task, "by"));
        let lot = text(task, "lot");
        if task["action"] == "freeze" {
            kitchen.ok(&format!(
                "move {lot} --wet {}g --to freezer",
                grams(task, "wet_g")
            ));
        }
    }
    kitchen.at("2026-11-27T08:00:00Z");
    for code in ["B-1S", "B-2Q"] {
        kitchen.ok(&format!("bake drop {code}"));
    }
    let later = kitchen.json("plan");
    assert_eq!(later["changes"], json!([]), "{later}");
    assert_eq!(later["bakes"][0]["draws"][0]["state"], "thawed");
    assert_ne!(
        later["bakes"][0]["draws"][0]["lot"],
        plan["bakes"][2]["draws"][0]["lot"]
    );
}

#[test]
fn the_order_in_which_the_book_was_written_does_not_matter_and_a_plan_writes_nothing() {
    let kitchen = glut();
    let before = kitchen.files();
    let first = kitchen.ok("plan --json");
    assert_eq!(kitchen.ok("plan --json"), first);
    assert!(
        before == kitchen.files(),
        "a plan that is not accepted writes nothing"
    );
}

#[test]
fn careful_plans_draw_more_of_what_is_not_known_well() {
    let kitchen = kitchen();
    kitchen.lot("9kg");
    // At 8 % and more the wet end would bring more water than the dough takes.
    bake(&kitchen, "2026-11-21 06:00", "--pieces 12 --share 6%");
    let drawn = |words: &str| grams(&kitchen.json(words)["bakes"][0]["draws"][0], "wet_g");
    let (likely, careful) = (drawn("plan"), drawn("plan --careful"));
    assert!(careful > likely * 1.2, "{careful} {likely}");
    let below = |words: &str| grams(&kitchen.json(words)["bakes"][0], "chance_below_min");
    assert!(below("plan") > 0.4, "{}", below("plan"));
    assert!(below("plan --careful") < 0.05);
}

#[test]
fn what_the_book_knows_binds_the_plan() {
    let kitchen = kitchen();
    let lot = lot(&kitchen, "10kg");
    kitchen.ok("place change freezer --capacity 1kg");
    bake(&kitchen, "2026-11-30 06:00", "--pieces 12");
    let plan = kitchen.json("plan");
    let frozen: f64 = list(&plan, "actions")
        .iter()
        .filter(|task| task["action"] == "freeze")
        .map(|task| grams(task, "wet_g"))
        .sum();
    assert!(frozen > 900.0 && frozen <= 1000.0, "{frozen}");
    assert!(grams(&plan["bakes"][0], "short_dry_g") > 50.0);
    // Who wants grain free of wheat gets none whose grist nobody told.
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --free-of wheat");
    let plan = kitchen.json("plan");
    let free = list(&plan, "bakes")
        .iter()
        .find(|bake| bake["bake"] == "B-2Q")
        .unwrap();
    assert_eq!(text(free, "short_because"), "may-hold");
    assert!(kitchen.ok("plan").contains("may hold wheat"));
    // A bake that names another lot takes none of this one.
    let other = kitchen.lot("1kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 07:00\" mix --pieces 12 --lot {other}"
    ));
    let plan = kitchen.json("plan");
    let named = list(&plan, "bakes")
        .iter()
        .find(|bake| bake["bake"] == "B-3O")
        .unwrap();
    assert!(
        list(named, "draws")
            .iter()
            .all(|draw| draw["lot"] == other.as_str())
    );
    assert_ne!(lot, other);
}

#[test]
fn an_overdue_bake_is_told_and_a_later_one_is_counted() {
    let mut kitchen = glut();
    bake(&kitchen, "2026-12-24 06:00", "--pieces 12");
    kitchen.at("2026-11-21T09:00:00Z");
    let plan = kitchen.json("plan");
    assert_eq!(
        (&plan["overdue"], &plan["later"]),
        (&json!(["B-1S"]), &json!(1))
    );
    let said = kitchen.ok("plan");
    assert!(
        said.contains("B-1S should have been mixed by now"),
        "{said}"
    );
    assert!(said.contains("1 bake is mixed after these days"), "{said}");
}

#[test]
fn without_anything_to_plan_the_answer_is_plain() {
    let empty = kitchen();
    transcript(
        &empty,
        "plans-no-bakes",
        &[(3, "plan"), (3, "plan --json"), (3, "plan --accept")],
    );
    bake(&empty, "2026-11-21 06:00", "--pieces 12");
    transcript(
        &empty,
        "plans-no-lots",
        &[
            (3, "plan"),
            (2, "plan --days 0"),
            (2, "plan --days 61"),
            (2, "plan --days two"),
            (2, "plan B-1S"),
        ],
    );
    let mut past = kitchen();
    lot(&past, "2kg");
    past.at("2026-12-10T08:00:00Z");
    bake(&past, "2026-12-11 06:00", "--pieces 12");
    transcript(&past, "plans-all-past", &[(3, "plan")]);
    let bare = Kitchen::bare();
    assert!(bare.refused(1, "plan").contains("there is no book"));
}

/// An untested lot decides how much dry grain a bake gets: the plan says what a test would be worth, and once it is
/// tested no more. The figures are those of `moisture`: wet grain times half the range before and after.
#[test]
fn a_lot_that_is_worth_a_test_is_named() {
    let (mut kitchen, lot) = Kitchen::with_loaf("9kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 10:00\" mix --pieces 12");
    kitchen.at("2026-11-20T12:00:00Z");
    let plan = kitchen.json("plan");
    let worth = &list(&plan, "worth_a_test")[0];
    let drawn = grams(&list(&list(&plan, "bakes")[0], "draws")[0], "wet_g");
    let known = kitchen.json(&format!("moisture {lot} --why"));
    assert_eq!(text(worth, "lot"), lot);
    let expected = drawn * known["expanded_95"].as_f64().unwrap();
    assert!(
        (grams(worth, "uncertain_g") - expected).abs() < 0.01,
        "{worth}"
    );
    assert!(grams(worth, "uncertain_after_test_g") < 0.5 * expected);
    let said = kitchen.ok("plan");
    assert!(said.contains(&format!("Worth a test: {lot}")), "{said}");
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    let plan = kitchen.json("plan");
    assert!(list(&plan, "worth_a_test").is_empty(), "{plan}");
}
