//! The calendar, `today` and the shelf tell the jobs of the accepted plan alike: what was done otherwise, or is gone, is no job any
//! more.

use crate::env::{Kitchen, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;
use std::collections::BTreeMap;

/// Grams that are frozen or dried of each lot.
type Jobs = BTreeMap<(String, String), i64>;

fn jobs(answer: &Value, key: &str, work: &str) -> Jobs {
    let mut found = Jobs::new();
    for one in list(answer, key) {
        if matches!(text(one, work), "freeze" | "dry") && one["dropped"] != true {
            let job = (text(one, work).to_owned(), text(one, "lot").to_owned());
            *found.entry(job).or_default() += grams(one, "wet_g").round() as i64;
        }
    }
    found
}

/// What `today` and the calendar freeze and dry, which is the same.
#[track_caller]
fn told(kitchen: &Kitchen) -> Jobs {
    let today = jobs(&kitchen.json("today --days 14"), "due", "task");
    let calendar = jobs(&kitchen.json("bake calendar"), "tasks", "action");
    assert_eq!(calendar, today);
    today
}

/// What the calendar thaws.
fn thaws(kitchen: &Kitchen) -> Vec<Value> {
    let calendar = kitchen.json("bake calendar");
    let tasks = list(&calendar, "tasks").iter();
    tasks
        .filter(|task| task["action"] == "thaw" && task["dropped"] == false)
        .cloned()
        .collect()
}

/// 8 kg of Friday, of which the plan freezes some for a bake of the week after.
fn accepted() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_accepted_plan(12);
    let all: i64 = told(&kitchen).values().sum();
    assert!((2500..4000).contains(&all), "{all}");
    assert_eq!(thaws(&kitchen).len(), 1);
    (kitchen, lot)
}

#[test]
fn grain_that_is_frozen_by_hand_or_gone_is_no_job() {
    for act in [
        "move LOT freezer",
        "move LOT --wet 3kg --to freezer",
        "portion LOT --into 3x1kg --to freezer",
        "use LOT 7kg --for buns",
        "give LOT --wet 7kg --to cafe",
        "discard LOT --reason \"tub fell\"",
        "discard LOT --wet 7kg --reason \"tub fell\" --as feed",
        "count LOT --wet 1kg",
    ] {
        let (kitchen, lot) = accepted();
        kitchen.ok(&act.replace("LOT", &lot));
        assert!(told(&kitchen).is_empty(), "{act}");
    }
}

/// An event that a calendar holds is taken off by one that says so.
#[test]
fn a_job_that_is_done_is_taken_off_the_calendar() {
    let (kitchen, lot) = accepted();
    kitchen.ok(&format!("discard {lot} --reason \"tub fell\""));
    let file = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    let of_plan = file.split("BEGIN:VEVENT").filter(|event| {
        let mut lines = event.lines();
        lines.any(|line| line.starts_with("UID:") && line.contains("/plan/"))
    });
    let of_plan: Vec<&str> = of_plan.collect();
    assert_eq!(of_plan.len(), 2, "{file}");
    for event in of_plan {
        assert!(event.contains("STATUS:CANCELLED"), "{event}");
    }
}

#[test]
fn a_job_follows_grain_that_is_joined() {
    let (kitchen, lot) = accepted();
    let before: i64 = told(&kitchen).values().sum();
    let other = kitchen.lot_from("Corrow Weir", "--wet 2kg");
    let joined = kitchen.json(&format!("join {lot} {other}"));
    let joined = text(&joined, "lot").to_owned();
    let told = told(&kitchen);
    let jobs: Vec<_> = told.into_iter().collect();
    assert_eq!(jobs, [(("freeze".to_owned(), joined.clone()), before)]);
    let file = one_line(&kitchen.ok("bake calendar --ics -").replace("\r\n ", ""));
    assert!(file.contains(&format!(" of {joined} in freezer")), "{file}");
}

#[test]
fn of_a_job_that_is_done_in_part_the_rest_is_told() {
    let (kitchen, lot) = accepted();
    let before: i64 = told(&kitchen).values().sum();
    kitchen.ok(&format!("move {lot} --wet 1kg --to freezer"));
    let after = told(&kitchen);
    assert_eq!(after.values().sum::<i64>(), before - 1000, "{after:?}");
    // What stays is for the bake of Sunday, and of the rest as much is frozen as there is.
    let (kitchen, lot) = accepted();
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason \"tub fell\""));
    let after = told(&kitchen);
    assert_eq!(after.values().sum::<i64>(), before - 1000, "{after:?}");
    let told_thaws = thaws(&kitchen);
    let [thaw] = &told_thaws[..] else {
        panic!("one thawing")
    };
    assert!(grams(thaw, "wet_g") <= (before - 1000) as f64, "{thaw}");
}

/// Grain that lies in two tubs by now is told of both.
#[test]
fn the_calendar_names_each_lot_of_a_job() {
    let (kitchen, lot) = Kitchen::with_bakes("3kg", &[("2026-11-30 06:00", 12)]);
    kitchen.ok("plan --accept");
    assert_eq!(told(&kitchen).len(), 1);
    kitchen.ok(&format!("portion {lot} --into 2x1.5kg"));
    let told = told(&kitchen);
    let wet: Vec<i64> = told.into_values().collect();
    assert_eq!(wet, [1500, 1500]);
}

#[test]
fn what_was_thawed_by_hand_is_not_thawed_again() {
    let (mut kitchen, lot) = accepted();
    let told_thaws = thaws(&kitchen);
    let [thaw] = &told_thaws[..] else {
        panic!("one thawing")
    };
    let wet = grams(thaw, "wet_g");
    let bag = kitchen.json(&format!("move {lot} --wet {wet}g --to freezer"));
    let bag = text(&bag, "lot").to_owned();
    let out = thaws(&kitchen);
    assert_eq!((out.len(), &out[0]["lot"]), (1, &Value::from(&*bag)));
    kitchen.at("2026-11-27T10:00:00Z");
    kitchen.ok(&format!("move {bag} --to fridge"));
    assert!(thaws(&kitchen).is_empty());
}

/// What the plan takes as it lies was frozen by hand, and has to come out.
#[test]
fn a_block_that_no_plan_froze_comes_out_of_the_calendar_as_of_today() {
    let (kitchen, lot) = accepted();
    kitchen.ok(&format!("move {lot} freezer"));
    let today = kitchen.json("today --days 14");
    let mut due = list(&today, "due").iter();
    let due = due.find(|due| due["task"] == "thaw").unwrap();
    let told_thaws = thaws(&kitchen);
    let [thaw] = &told_thaws[..] else {
        panic!("one thawing")
    };
    for key in ["lot", "by", "bake", "wet_g", "block_g"] {
        assert_eq!(thaw[key], due[key], "{key}");
    }
}

/// 931 g of Friday on Monday, for a bake of the Sunday after: the freezer takes 804 g, and the plan dries the rest.
#[test]
fn what_is_to_be_dried_stays_a_job_where_the_rest_of_its_lot_is_frozen() {
    let (mut kitchen, lot) = Kitchen::with_bakes("931g", &[]);
    kitchen.ok("place change freezer --capacity 804g");
    kitchen.ok("settings dryer 6kg");
    kitchen.at("2026-11-23T08:00:00Z");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-29 06:00\" mix --pieces 8");
    kitchen.ok("plan --days 10 --accept");
    let job = |work: &str, wet: i64| ((work.to_owned(), lot.clone()), wet);
    let (dry, freeze) = (job("dry", 127), job("freeze", 804));
    assert_eq!(told(&kitchen), Jobs::from([dry.clone(), freeze]));
    kitchen.ok(&format!("move {lot} --wet 804g --to freezer"));
    assert_eq!(told(&kitchen), Jobs::from([dry]));
    kitchen.ok(&format!(
        "treat {lot} --step dry --wet-in 127g --wet-out 32g --minutes 180 --temp 60C"
    ));
    assert!(told(&kitchen).is_empty());
}
