//! A frozen block that was not taken out by the evening still thaws in time: the plan says what `today` says.

use crate::env::{Kitchen, one_line};
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
    assert!(today.contains("was due 18:00; do it now"), "{today}");
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
