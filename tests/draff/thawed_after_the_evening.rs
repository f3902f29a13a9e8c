//! A frozen block that was not taken out by the evening still thaws in time: the plan says what `today` says.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{list, text};

/// A frozen block, evenings that end at 18:00, thawing of 13 h, and a bake on Saturday at 14:00 for which it comes out by
/// 01:00 of that night.
fn block() -> Kitchen {
    let (kitchen, lot) = Kitchen::with_bakes("2kg", &[]);
    kitchen.ok(&format!("move {lot} freezer"));
    for setting in ["evening 18:00", "thaw 13h"] {
        kitchen.ok(&format!("settings {setting}"));
    }
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 14:00\" mix --pieces 10");
    kitchen
}

/// By when the plan takes it out; nothing where it does not.
fn out_by(kitchen: &Kitchen) -> Option<String> {
    let plan = kitchen.json("plan");
    let mut actions = list(&plan, "actions").iter();
    let thaw = actions.find(|one| one["action"] == "thaw")?;
    Some(text(thaw, "by").to_owned())
}

#[test]
fn a_plan_takes_a_block_out_after_the_evening_as_long_as_it_thaws_in_time() {
    let mut kitchen = block();
    for (now, by) in [
        ("2026-11-20T17:00:00+00:00", "2026-11-20T18:00:00+00:00"),
        ("2026-11-20T18:01:00+00:00", "2026-11-20T18:01:00+00:00"),
        ("2026-11-21T00:30:00+00:00", "2026-11-21T00:30:00+00:00"),
    ] {
        kitchen.at(now);
        assert_eq!(out_by(&kitchen).as_deref(), Some(by), "{now}");
    }
    kitchen.at("2026-11-21T01:01:00+00:00");
    assert_eq!(out_by(&kitchen), None);
}

#[test]
fn an_accepted_plan_of_the_late_evening_keeps_its_promise() {
    let mut kitchen = block();
    kitchen.at("2026-11-20T19:00:00+00:00");
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-20T19:05:00+00:00");
    let today = one_line(&kitchen.ok("today"));
    assert!(
        today.contains("was due 18:00; do it now, by Sat 21 Nov 01:00 at the latest: "),
        "{today}"
    );
    assert!(!today.contains("SHORT"), "{today}");
    let plan = kitchen.json("plan");
    assert!(list(&plan, "changes").is_empty(), "{plan}");
}

/// Nobody works in the night that belongs to a day off.
#[test]
fn nothing_is_taken_out_after_midnight_on_a_day_off() {
    let mut kitchen = block();
    kitchen.ok("settings days-off sat");
    kitchen.at("2026-11-20T18:30:00+00:00");
    assert!(out_by(&kitchen).is_some());
    kitchen.at("2026-11-21T00:30:00+00:00");
    assert_eq!(out_by(&kitchen), None);
}

/// Whenever it is asked for, the moment up to which the block thaws in time is the same, in words and in JSON.
#[test]
fn plan_today_and_sheet_say_until_when_a_late_block_thaws_in_time() {
    let mut kitchen = block();
    for now in [
        "2026-11-20T18:01:00+00:00",
        "2026-11-20T23:30:00+00:00",
        "2026-11-21T00:30:00+00:00",
    ] {
        kitchen.at(now);
        has(
            &one_line(&kitchen.ok("plan")),
            "now, by Sat 21 Nov 01:00 at the latest: take all 2 kg",
        );
        has(
            &one_line(&kitchen.ok("today")),
            "do it now, by Sat 21 Nov 01:00 at the latest: take 2 kg",
        );
        has(
            &one_line(&kitchen.ok("sheet B-1S")),
            "it is thawed in time if it comes out by Sat 21 Nov 01:00",
        );
        for (answer, key) in [("plan", "actions"), ("today", "due")] {
            let found = kitchen.json(answer);
            let mut jobs = list(&found, key).iter();
            let thaw = jobs.find(|one| !one["latest"].is_null()).unwrap();
            assert_eq!(text(thaw, "latest"), "2026-11-21T01:00:00+00:00", "{found}");
        }
    }
}

/// A block for two bakes thaws in time for the first of them.
#[test]
fn a_late_block_for_two_bakes_has_the_moment_of_the_first() {
    let mut kitchen = block();
    kitchen.ok("bake change B-1S --pieces 4");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 13:30\" mix --pieces 4");
    kitchen.at("2026-11-20T18:30:00+00:00");
    for words in ["plan --accept", "today"] {
        has(
            &one_line(&kitchen.ok(words)),
            "now, by Sat 21 Nov 00:30 at the latest: ",
        );
    }
}
