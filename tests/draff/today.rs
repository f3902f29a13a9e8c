//! `today`: what is due comes from the clock, the accepted plan, the bakes and the samples, and goes once it is done.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::{Value, json};

fn due(kitchen: &Kitchen) -> Vec<Value> {
    let today = kitchen.json("today");
    let due = today["due"].as_array().unwrap().clone();
    let moment = |line: &Value| {
        let by = line["by"].as_str().or(today["as_of"].as_str()).unwrap();
        chrono::DateTime::parse_from_rfc3339(by).unwrap()
    };
    assert!(due.is_sorted_by_key(moment), "in order of time: {due:?}");
    due
}

fn of_task<'a>(due: &'a [Value], task: &str) -> Vec<&'a Value> {
    due.iter().filter(|line| line["task"] == task).collect()
}

#[test]
fn nothing_is_due_in_an_empty_book() {
    let kitchen = Kitchen::new();
    assert_eq!(kitchen.json("today")["due"], json!([]));
    let words = kitchen.ok("today");
    assert!(
        words.contains("Nothing is due and no grain is on hand."),
        "{words}"
    );
}

/// 60 to 21 °C within 2 h (FSANZ Standard 3.2.2 clause 7(3)), the clock running from mash-out, then to 5 °C within a
/// further 4 h.
#[test]
fn a_hot_tub_asks_for_its_temperatures_until_they_are_shown() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 18kg");
    let first = &due(&kitchen)[0];
    assert_eq!(first["task"], "take-temperature");
    assert_eq!(first["lot"], lot);
    assert_eq!(first["at_most_c"], 21.0);
    assert_eq!(first["by"], "2026-11-20T11:30:00+00:00");
    let words = one_line(&kitchen.ok("today"));
    assert!(words.contains("11:30"), "{words}");
    assert!(
        words.contains(&format!("draff probe {lot} TEMPERATURE")),
        "{words}"
    );

    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("probe {lot} 20C"));
    let next = &due(&kitchen)[0];
    assert_eq!(next["at_most_c"], 5.0);
    kitchen.at("2026-11-20T14:00:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    assert_eq!(due(&kitchen), Vec::<Value>::new());
}

/// Seven calendar days with the mash-out day as day 1 (Food Code 3-501.17(A)); use-first from day 5 is our own.
#[test]
fn what_goes_first_is_told_and_what_is_past_is_thrown_away() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-24T08:00:00Z");
    let found = due(&kitchen);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0]["task"], "use-first");
    assert_eq!(found[0]["by"], "2026-11-26T23:59:59+00:00");
    kitchen.at("2026-11-27T08:00:00Z");
    let found = due(&kitchen);
    assert_eq!(found[0]["task"], "throw-away");
    assert_eq!(found[0]["by"], json!(null));
    kitchen.ok(&format!("discard {lot} --reason past"));
    assert_eq!(due(&kitchen), Vec::<Value>::new());
}

#[test]
fn a_sample_in_the_oven_is_weighed_again() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g"));
    kitchen.at("2026-11-20T15:00:00Z");
    let found = due(&kitchen);
    let sample = of_task(&found, "weigh-again");
    assert_eq!(sample.len(), 1);
    assert_eq!(sample[0]["lot"], lot);
    assert_eq!(sample[0]["since"], "2026-11-20T10:00:00+00:00");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 12.0g,112.0g,35.4g,35.4g"
    ));
    assert!(of_task(&due(&kitchen), "weigh-again").is_empty());
}

#[test]
fn a_bake_is_due_with_its_grain_and_overdue_until_it_is_written_down() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4 --piece 800g --lot {lot}"
    ));
    let found = due(&kitchen);
    let bakes = of_task(&found, "bake");
    assert!(!bakes.is_empty());
    assert!(bakes.iter().all(|line| line["bake"] == "B-1S"));
    let with_grain: Vec<_> = bakes
        .iter()
        .filter(|line| line["grain"] != json!([]))
        .collect();
    assert_eq!(
        with_grain.len(),
        1,
        "the grain is weighed out once: {bakes:?}"
    );
    assert_eq!(with_grain[0]["grain"][0]["lot"], lot);
    kitchen.at("2026-11-21T09:00:00Z");
    let found = due(&kitchen);
    let overdue = of_task(&found, "overdue-bake");
    assert_eq!(overdue.len(), 1);
    assert_eq!(overdue[0]["late"], true);
    kitchen.ok("bake done B-1S");
    let found = due(&kitchen);
    assert!(found.iter().all(|line| line["bake"] != "B-1S"), "{found:?}");
}

#[test]
fn what_the_accepted_plan_asks_for_is_due_until_it_is_done() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("30kg");
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 12 --piece 800g");
    kitchen.ok("settings freezer yes");
    let plan = kitchen.json("plan --accept");
    let freeze = plan["actions"]
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["action"] == "freeze");
    let freeze = freeze.expect("30 kg are more than a bake takes");
    let found = Kitchen::json(&kitchen, "today --days 7");
    let found = found["due"].as_array().unwrap();
    let task = of_task(found, "freeze");
    assert_eq!(task.len(), 1, "{found:?}");
    assert_eq!(
        (&task[0]["lot"], &task[0]["by"]),
        (&json!(lot), &freeze["by"])
    );
    assert_eq!(task[0]["wet_g"], freeze["wet_g"]);
    let grain = found
        .iter()
        .find(|line| line["grain"] != json!([]))
        .unwrap();
    assert_eq!(grain["grain"][0]["lot"], lot);
    assert!(
        grain["grain"][0]["wet_g"].as_f64().unwrap() > 0.0,
        "what the plan promised"
    );
    let wet = freeze["wet_g"].as_f64().unwrap();
    kitchen.ok(&format!("move {lot} --wet {wet}g --to freezer"));
    let found = Kitchen::json(&kitchen, "today --days 7");
    assert!(of_task(found["due"].as_array().unwrap(), "freeze").is_empty());
}

/// Nobody freezes or mixes what has to be thrown away, and what is late says of which day it is.
#[test]
fn spoiled_grain_is_neither_frozen_nor_mixed() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-21T09:00:00Z");
    let late = kitchen.ok("today");
    assert!(
        late.contains("was due Fri 20 Nov 21:00; do it now: freeze"),
        "{late}"
    );
    kitchen.ok(&format!("probe {lot} --spoiled mould"));
    let due = due(&kitchen);
    assert_eq!(of_task(&due, "throw-away").len(), 1);
    assert!(due.iter().all(|line| line["task"] != "freeze"), "{due:?}");
    let bakes = of_task(&due, "bake");
    assert!(
        bakes.iter().all(|line| line["grain"] == json!([])),
        "{due:?}"
    );
    assert!(
        bakes.iter().any(|line| line["unusable"] == json!([lot])),
        "{due:?}"
    );
    let words = one_line(&kitchen.ok("today"));
    assert!(
        words.contains(&format!("NOT of {lot}: it is past")),
        "{words}"
    );
}

#[test]
fn a_ticket_that_is_not_true_any_more_is_named_with_what_is_right() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("move {lot} --to freezer"));
    assert!(of_task(&due(&kitchen), "print-ticket").is_empty());
    kitchen.ok(&format!("ticket {lot}"));
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok(&format!("move {lot} --to fridge"));
    let found = due(&kitchen);
    let ticket = of_task(&found, "print-ticket")[0];
    assert_eq!(ticket["lot"], lot);
    assert_eq!(ticket["by"], json!(null));
    assert_eq!(ticket["since"], "2026-11-20T10:00:00+00:00");
    let words = one_line(&kitchen.ok("today"));
    assert!(
        words.contains("says \"no date\", right is \"use by"),
        "{words}"
    );
    assert!(words.contains(&format!("draff ticket {lot}")), "{words}");
    kitchen.ok(&format!("ticket {lot} --html label.html"));
    assert!(of_task(&due(&kitchen), "print-ticket").is_empty());
}

#[test]
fn what_goes_first_names_the_bakes_that_take_it_as_it_lies() {
    let (kitchen, _) = Kitchen::with_accepted_plan(12);
    let today = one_line(&kitchen.ok("today --days 7"));
    has(
        &today,
        "keep until Thu 26 Nov: all 5.009 kg goes into B-1S !",
    );
    has(&today, "freeze 2.505 kg");
}

/// What `today` says of one kind of task.
fn due_of(kitchen: &Kitchen, task: &str) -> Vec<Value> {
    let all = due(kitchen).into_iter();
    all.filter(|one| one["task"] == task).collect()
}

/// The later bake takes what is frozen on Friday: 13 h of thawing before the night of the 30th. The days of the grain end on
/// Thursday 26, so that freezing it on Tuesday 24 leaves the two days that thawing and baking take.
#[test]
fn missed_freezing_is_asked_for_as_long_as_it_saves_the_grain_for_its_bake() {
    let (mut kitchen, lot) = Kitchen::with_accepted_plan(24);
    for now in [
        "2026-11-21T20:59:00Z",
        "2026-11-21T21:01:00Z",
        "2026-11-23T12:00:00Z",
        "2026-11-24T20:00:00Z",
    ] {
        kitchen.at(now);
        let freeze = due_of(&kitchen, "freeze");
        assert_eq!(freeze.len(), 1, "{now}: {freeze:?}");
        assert_eq!(
            (&freeze[0]["bake"], &freeze[0]["late"]),
            (&"B-2Q".into(), &true.into())
        );
        assert!(due_of(&kitchen, "too-late").is_empty(), "{now}");
        has(
            &one_line(&kitchen.ok("today")),
            "was due Fri 20 Nov 21:00; do it now: freeze ",
        );
    }
    let wet = grams(&due_of(&kitchen, "freeze")[0], "wet_g");
    kitchen.ok(&format!("move {lot} --wet {wet}g --to freezer"));
    assert!(due_of(&kitchen, "freeze").is_empty());
}

#[test]
fn what_was_frozen_too_late_for_a_bake_is_said_until_the_bake_is_mixed() {
    let (mut kitchen, lot) = Kitchen::with_accepted_plan(24);
    // Frozen on its last day but one, it has a single day left, on which it thaws; on Friday it is past.
    for now in ["2026-11-25T20:00:00Z", "2026-11-27T12:00:00Z"] {
        kitchen.at(now);
        assert!(due_of(&kitchen, "freeze").is_empty(), "{now}");
        let late = due_of(&kitchen, "too-late");
        assert_eq!(late.len(), 1, "{now}: {late:?}");
        assert_eq!(
            (text(&late[0], "lot"), text(&late[0], "bake")),
            (lot.as_str(), "B-2Q")
        );
        let said = one_line(&kitchen.ok("today"));
        has(&said, "too late for B-2Q: ");
        has(
            &said,
            &format!("of {lot} was not frozen in time. Plan again: draff plan"),
        );
        assert!(!said.contains("for B-2Q (accepted plan)"), "{said}");
    }
    kitchen.at("2026-11-25T20:00:00Z");
    let first = due_of(&kitchen, "use-first");
    let bakes = list(&first[0], "grain").iter();
    assert!(bakes.clone().all(|one| one["bake"] != "B-2Q"), "{first:?}");
    kitchen.at("2026-11-30T12:00:00Z");
    assert!(due_of(&kitchen, "too-late").is_empty());
}

#[test]
fn grain_for_no_bake_is_asked_to_be_frozen_until_it_would_not_last() {
    let (mut kitchen, _) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    let plan = one_line(&kitchen.ok("plan --accept"));
    has(&plan, "by 21:00: freeze ");
    has(&plan, "frozen by the list above, for no bake yet: ");
    has(
        &plan,
        "Keep a bag tied only while it is frozen: open it to thaw.",
    );
    has(&plan, "Never vacuum-pack.");
    has(&one_line(&kitchen.ok("today")), "by 21:00 freeze ");
    kitchen.at("2026-11-23T12:00:00Z");
    assert_eq!(due_of(&kitchen, "freeze").len(), 1);
    kitchen.at("2026-11-27T12:00:00Z");
    assert!(due_of(&kitchen, "freeze").is_empty());
    assert!(
        due_of(&kitchen, "too-late").is_empty(),
        "it was for no bake"
    );
}

/// Its days end on Thursday 26: frozen on Wednesday it has one left when it is thawed, whenever that is. Frozen on Thursday
/// it has none.
#[test]
fn grain_for_no_bake_is_asked_to_be_frozen_as_long_as_a_plan_freezes_it() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-22T06:00:00Z");
    kitchen.ok("bake done B-1S");
    kitchen.at("2026-11-25T12:00:00Z");
    let other = kitchen.tub("Tarn Fell", "--wet 2kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-27 06:00\" mix --pieces 8 --lot {other}"
    ));
    let of_lot = |all: &[Value], key: &str| -> f64 {
        let freezes = |one: &&Value| one[key] == "freeze" && one["lot"] == lot;
        let freezes = all.iter().filter(freezes);
        freezes.map(|one| grams(one, "wet_g")).sum()
    };
    for (now, is_frozen) in [
        ("2026-11-25T12:00:00Z", true),
        ("2026-11-25T20:30:00Z", true),
        ("2026-11-26T12:00:00Z", false),
    ] {
        kitchen.at(now);
        let asked = of_lot(&due(&kitchen), "task");
        let planned = of_lot(list(&kitchen.json("plan"), "actions"), "action");
        assert!((asked - planned).abs() <= 5.0, "{now}: {asked}, {planned}");
        assert_eq!(asked > 0.0, is_frozen, "{now}: {asked}");
        let shelf = one_line(&kitchen.ok("shelf"));
        assert_eq!(
            shelf.contains("freeze all of it in freezer now"),
            is_frozen,
            "{shelf}"
        );
    }
}
