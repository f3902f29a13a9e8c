//! A frozen lot is one block: it comes out once, into one fridge, for all bakes that find it good, and all lists say so.

use crate::env::{FRIDAY, Kitchen, LOAF, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::{Value, json};

/// Friday 20 November, with the small loaf and two fridges of 7 kg each.
fn two_fridges() -> Kitchen {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:00:00Z");
    kitchen.ok("place change fridge --capacity 7kg");
    kitchen.ok("place add walk-in --kind fridge --temp 4C --capacity 7kg");
    kitchen.at(FRIDAY);
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

/// Tested grain of this morning in the freezer.
fn block(kitchen: &Kitchen, wet: &str) -> String {
    let lot = kitchen.lot_from("Alder Lane", &format!("--wet {wet} --place freezer"));
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    lot
}

fn bake(kitchen: &Kitchen, mix: &str, pieces: u32, options: &str) {
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"{mix}\" mix --pieces {pieces} {options}"
    ));
}

/// A block of 6 kg, and a bake of Monday (B-1S) and one of Tuesday (B-2Q) that take of it by the accepted plan.
fn accepted() -> (Kitchen, String) {
    let kitchen = two_fridges();
    let lot = block(&kitchen, "6kg");
    bake(&kitchen, "2026-11-23 06:00", 12, "");
    bake(&kitchen, "2026-11-24 06:00", 10, "");
    kitchen.ok("plan --accept");
    (kitchen, lot)
}

/// What of a list is thawed.
fn thaws(answer: &Value, key: &str, what: &str) -> Vec<Value> {
    let all = list(answer, key).iter();
    all.filter(|one| one[what] == "thaw").cloned().collect()
}

/// The bakes that take of a job, in their order.
fn bakes_of<'a>(job: &'a Value, key: &str) -> Vec<&'a str> {
    list(job, key).iter().map(|one| text(one, "bake")).collect()
}

/// What all bakes take of a job, in grams.
fn taken(job: &Value, key: &str) -> f64 {
    list(job, key).iter().map(|one| grams(one, "wet_g")).sum()
}

#[test]
fn a_plan_moves_a_block_once_to_one_fridge() {
    let (kitchen, lot) = accepted();
    let words = one_line(&kitchen.ok("plan"));
    let out = format!("take all 6 kg of {lot} from the freezer into fridge, one block: ");
    has(&words, &out);
    assert_eq!(words.matches("from the freezer into").count(), 1, "{words}");
    assert!(!words.contains("walk-in"), "{words}");
    let plan = kitchen.json("plan");
    let jobs = thaws(&plan, "actions", "action");
    let [job] = &jobs[..] else {
        panic!("one job: {plan}")
    };
    assert_eq!(grams(job, "block_g"), 6000.0);
    assert!(job["bake"].is_null(), "{job}");
    assert_eq!(bakes_of(job, "into"), ["B-1S", "B-2Q"]);
    let mut into = list(job, "into").iter();
    assert!(into.all(|one| one["place"] == "fridge"), "{job}");
    assert!((taken(job, "into") - grams(job, "wet_g")).abs() < 1e-6);
}

/// The place is the one that has room for what is moved, and no more than that.
#[test]
fn the_weight_of_a_block_counts_once() {
    let kitchen = two_fridges();
    let large = block(&kitchen, "6kg");
    let small = block(&kitchen, "4kg");
    let of = |lot: &str| format!("--lot {lot}");
    bake(&kitchen, "2026-11-23 06:00", 12, &of(&large));
    bake(&kitchen, "2026-11-24 06:00", 10, &of(&large));
    bake(&kitchen, "2026-11-23 06:00", 12, &of(&small));
    kitchen.ok("plan --accept");
    let expected = [(&large, "fridge"), (&small, "walk-in")];
    let plan = kitchen.json("plan");
    let actions = thaws(&plan, "actions", "action");
    assert_eq!(actions.len(), 2, "{plan}");
    let today = kitchen.json("today --days 5");
    let due = thaws(&today, "due", "task");
    assert_eq!(due.len(), 2, "{today}");
    let calendar = kitchen.json("bake calendar");
    let tasks = thaws(&calendar, "tasks", "action");
    for (lot, place) in expected {
        let is_it = |one: &&Value| one["lot"] == *lot && one["dropped"] != true;
        let action = actions.iter().find(is_it).unwrap();
        assert_eq!(action["into"][0]["place"], place, "{action}");
        let due = due.iter().find(is_it).unwrap();
        assert_eq!(due["place"], place, "{due}");
        let task = tasks.iter().find(is_it).unwrap();
        assert_eq!(task["into"][0]["place"], place, "{task}");
    }
    let words = kitchen.ok("plan");
    assert!(!words.contains(" would hold "), "{words}");
}

#[test]
fn today_asks_for_a_block_once() {
    let (kitchen, lot) = accepted();
    let today = kitchen.json("today --days 5");
    let jobs = thaws(&today, "due", "task");
    let [due] = &jobs[..] else {
        panic!("one job: {today}")
    };
    let plan = kitchen.json("plan");
    let planned = &thaws(&plan, "actions", "action")[0];
    assert_eq!(due["by"], planned["by"], "by the first bake");
    assert_eq!(due["place"], "fridge");
    assert_eq!(grams(due, "block_g"), 6000.0);
    assert!(due["bake"].is_null(), "{due}");
    assert_eq!(bakes_of(due, "grain"), ["B-1S", "B-2Q"]);
    assert!((taken(due, "grain") - grams(due, "wet_g")).abs() < 1e-6);
    let words = one_line(&kitchen.ok("today --days 5"));
    let out = format!("take all 6 kg of {lot} from the freezer into fridge, one block: ");
    has(&words, &out);
    has(&words, &format!(": draff move {lot} --to fridge"));
    assert!(!words.contains("walk-in"), "{words}");
    kitchen.ok(&format!("move {lot} --to fridge"));
    let today = kitchen.json("today --days 5");
    assert!(thaws(&today, "due", "task").is_empty(), "{today}");
}

/// Where a bake takes all of a block, the line to type moves all of it too: nobody parts it.
#[test]
fn what_is_typed_moves_all_of_a_block() {
    let kitchen = two_fridges();
    let lot = block(&kitchen, "2.53kg");
    bake(&kitchen, "2026-11-23 06:00", 12, &format!("--lot {lot}"));
    let words = one_line(&kitchen.ok("today --days 5"));
    has(
        &words,
        &format!("of {lot} from the freezer into fridge, for B-1S: draff move {lot} --to fridge"),
    );
}

#[test]
fn a_calendar_holds_one_event_for_a_block() {
    let (kitchen, lot) = accepted();
    let calendar = kitchen.json("bake calendar");
    let tasks = thaws(&calendar, "tasks", "action");
    let (dropped, held): (Vec<_>, Vec<_>) = tasks.iter().partition(|task| task["dropped"] == true);
    let [task] = held[..] else {
        panic!("one job: {calendar}")
    };
    assert_eq!(grams(task, "block_g"), 6000.0);
    assert!(task["bake"].is_null(), "{task}");
    assert_eq!(bakes_of(task, "into"), ["B-1S", "B-2Q"]);
    assert!((taken(task, "into") - grams(task, "wet_g")).abs() < 1e-6);
    // A calendar that read an earlier file takes the event of the other bake off.
    let [other] = dropped[..] else {
        panic!("the other bake's: {calendar}")
    };
    assert_eq!(
        (&other["bake"], &other["into"]),
        (&json!("B-2Q"), &json!([]))
    );
    for words in ["bake calendar --ics -", "bake calendar B-2Q --ics -"] {
        let file = kitchen.ok(words).replace("\r\n ", "");
        let thaw = file
            .split("BEGIN:VEVENT")
            .find(|event| event.contains(&format!("plan/thaw-{lot}-B-1S")))
            .unwrap_or_else(|| panic!("{words}: {file}"));
        has(thaw, "STATUS:CONFIRMED");
        has(
            thaw,
            &format!("SUMMARY:take all 6 kg of {lot} from the freezer into fridge\\, one block: "),
        );
        has(thaw, " for B-2Q");
    }
}

#[test]
fn where_one_bake_is_dropped_the_block_comes_out_for_the_other() {
    let (kitchen, _) = accepted();
    kitchen.ok("bake drop B-1S --reason \"no need\"");
    let today = kitchen.json("today --days 5");
    let jobs = thaws(&today, "due", "task");
    let [due] = &jobs[..] else {
        panic!("one job: {today}")
    };
    assert_eq!(due["bake"], "B-2Q");
    let calendar = kitchen.json("bake calendar");
    let tasks = thaws(&calendar, "tasks", "action");
    let held: Vec<_> = tasks
        .iter()
        .filter(|task| task["dropped"] == false)
        .collect();
    let [task] = held[..] else {
        panic!("one job: {calendar}")
    };
    assert_eq!(task["bake"], "B-2Q");
    assert_eq!(grams(task, "block_g"), 6000.0);
}

#[test]
fn a_bake_that_it_is_too_late_for_leaves_the_block_to_the_other() {
    let (mut kitchen, _) = accepted();
    kitchen.at("2026-11-23T02:00:00Z");
    let today = kitchen.json("today");
    let mut due = list(&today, "due").iter();
    let too_late = due.find(|due| due["task"] == "not-thawed").unwrap();
    assert_eq!(too_late["bake"], "B-1S");
    let jobs = thaws(&today, "due", "task");
    let [due] = &jobs[..] else {
        panic!("one job: {today}")
    };
    assert_eq!(due["bake"], "B-2Q");
}

/// Two bakes without a plan that name one block: it comes out once, and the later one would find it past.
#[test]
fn a_bake_that_would_find_the_block_past_is_not_told_with_it() {
    let kitchen = two_fridges();
    let lot = block(&kitchen, "6kg");
    for day in ["2026-11-23", "2026-12-03"] {
        bake(
            &kitchen,
            &format!("{day} 06:00"),
            10,
            &format!("--lot {lot}"),
        );
    }
    let today = kitchen.json("today --days 14");
    let due = thaws(&today, "due", "task");
    let bakes: Vec<&str> = due.iter().map(|due| text(due, "bake")).collect();
    assert_eq!(bakes, ["B-1S"], "{today}");
    assert_eq!(due[0]["place"], "fridge", "{today}");
    let words = one_line(&kitchen.ok("today --days 14"));
    has(
        &words,
        &format!(
            "of {lot}: the whole block comes out of the freezer for B-1S, Sun 22 Nov 17:00, and is past by then; plan again first"
        ),
    );
}
