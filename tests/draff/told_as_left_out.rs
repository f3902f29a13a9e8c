//! Wherever a bake is told that the accepted plan leaves out, it is told as left out: nobody bakes it by a calendar.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{list, text};

/// A loaf that goes into the oven, 12 of it mixed on Monday (B-1S), and the plan accepted: the 2 kg are for Thursday (B-2Q).
fn accepted(how: &str) -> Kitchen {
    let (kitchen, _) = Kitchen::with_bakes("2kg", &[]);
    let steps = "\n[[step]]\ndo = \"mix\"\ntakes = \"10min\"\n\n[[step]]\ndo = \"rise\"\ntakes = \"60min\"\n\n[[step]]\ndo = \"bake\"\ntakes = \"40min\"\ntemperature = \"230C\"\n";
    kitchen.file("oven.toml", LOAF.replace("small loaf", "oven loaf") + steps);
    kitchen.ok("formula add oven.toml");
    kitchen.ok(&format!(
        "bake add \"oven loaf\" --at \"2026-11-23 06:00\" mix --pieces 12 {how}"
    ));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-26 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    kitchen
}

const LEFT_OUT: &str = "the accepted plan leaves it out";

#[test]
fn every_line_of_today_says_it_the_oven_too() {
    let kitchen = accepted("--optional");
    let today = one_line(&kitchen.ok("today --days 7"));
    for task in ["make the sponge", "mix the dough", "bake at 230 °C"] {
        has(
            &today,
            &format!("B-1S oven loaf: {task}; {LEFT_OUT} (optional): draff sheet B-1S"),
        );
    }
    assert_eq!(today.matches(LEFT_OUT).count(), 3, "{today}");
}

#[test]
fn after_its_time_it_is_not_said_that_it_should_have_been_mixed() {
    let mut kitchen = accepted("--optional");
    kitchen.at("2026-11-23T06:30:00Z");
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        &format!("B-1S oven loaf: {LEFT_OUT}, and its time is over; drop it, or write down"),
    );
    has(&today, "if you made it: draff bake drop B-1S");
    has(
        &today,
        &format!("bake at 230 °C; {LEFT_OUT} (optional): draff sheet B-1S"),
    );
    assert!(!today.contains("should have been mixed"), "{today}");
}

#[test]
fn a_calendar_says_it_in_each_event_and_calls_nobody() {
    let kitchen = accepted("--optional");
    let file = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    let events: Vec<&str> = file.split("BEGIN:VEVENT").skip(1).collect();
    let is_of = |event: &&&str, bake: &str| event.contains(&format!("/{bake}/"));
    let left_out: Vec<_> = events.iter().filter(|one| is_of(one, "B-1S")).collect();
    assert_eq!(left_out.len(), 4, "{file}");
    for event in left_out {
        has(event, &format!(" ({LEFT_OUT})\r\n"));
        has(event, "STATUS:TENTATIVE\r\n");
        assert!(!event.contains("VALARM"), "{event}");
    }
    for event in events.iter().filter(|one| is_of(one, "B-2Q")) {
        has(event, "STATUS:CONFIRMED\r\n");
        has(event, "VALARM");
        assert!(!event.contains(LEFT_OUT), "{event}");
    }
    let calendar = kitchen.json("bake calendar");
    let told = list(&calendar, "bakes").iter();
    let told: Vec<_> = told
        .map(|one| (text(one, "bake"), one["left_out_by_plan"] == true))
        .collect();
    assert_eq!(told, [("B-1S", true), ("B-2Q", false)]);
}

#[test]
fn the_list_the_bake_and_its_sheet_say_it() {
    let kitchen = accepted("--optional");
    has(
        &one_line(&kitchen.ok("bake list")),
        &format!("oven loaf, optional, {LEFT_OUT}"),
    );
    has(
        &one_line(&kitchen.ok("bake show B-1S")),
        &format!("Plan {LEFT_OUT}"),
    );
    let heading = format!("only if grain is left; {LEFT_OUT}");
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        &heading.to_uppercase(),
    );
    has(&kitchen.ok("sheet B-1S --html -"), &heading);
    for answer in ["bake show", "sheet"] {
        for (bake, is_left_out) in [("B-1S", true), ("B-2Q", false)] {
            let found = kitchen.json(&format!("{answer} {bake}"));
            assert_eq!(found["left_out_by_plan"], is_left_out, "{found}");
        }
    }
}

/// A firm one is short, as its plan said; its sheet and its calendar say that nothing is planned for it too.
#[test]
fn a_firm_bake_without_grain_is_told_as_left_out_too() {
    let kitchen = Kitchen::with_bakes("300g", &[("2026-11-30 06:00", 12)]).0;
    for setting in ["freezer none", "dryer none"] {
        kitchen.ok(&format!("settings {setting}"));
    }
    kitchen.ok("plan --accept");
    has(
        &one_line(&kitchen.ok("bake list")),
        &format!("small loaf, {LEFT_OUT}"),
    );
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        &format!("({LEFT_OUT})").to_uppercase(),
    );
    let file = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    has(&file, &format!("make the sponge ({LEFT_OUT})"));
}

/// Who states it anew decides it anew.
#[test]
fn a_bake_that_was_changed_since_is_told_as_any_other() {
    let kitchen = accepted("--optional");
    kitchen.ok("bake change B-1S --firm");
    for words in [
        "bake list",
        "bake show B-1S",
        "today --days 7",
        "bake calendar --ics -",
    ] {
        let said = one_line(&kitchen.ok(words));
        assert!(!said.contains(LEFT_OUT), "{words}: {said}");
    }
}

/// A calendar that read an earlier file takes over that the bake is left out, and that it is not any more.
#[test]
fn a_calendar_replaces_the_events_of_a_bake_whenever_the_plan_is_another() {
    let (kitchen, _) = Kitchen::with_bakes("2kg", &[("2026-11-23 06:00", 12)]);
    let sequence = || {
        let file = kitchen.ok("bake calendar B-1S --ics -");
        let number = file.split("SEQUENCE:").nth(1).unwrap();
        number.split("\r\n").next().unwrap().parse::<u32>().unwrap()
    };
    let before = sequence();
    kitchen.ok("plan --accept");
    let accepted = sequence();
    let plan = kitchen.last_entry("plan");
    kitchen.ok(&format!("strike {plan} --reason slip"));
    assert!(before < accepted && accepted < sequence());
}
