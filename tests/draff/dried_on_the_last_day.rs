//! Grain that is dried on its last day can be shown dry before that day ends.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{list, text};

/// Grain of Friday on Thursday, its last day, that is dried for a bake on Sunday by the accepted plan; drying takes 3 h.
fn accepted() -> (Kitchen, String) {
    let (mut kitchen, lot) = Kitchen::with_bakes("2kg", &[]);
    for setting in ["freezer none", "dryer 6kg", "drying-time 3h"] {
        kitchen.ok(&format!("settings {setting}"));
    }
    kitchen.at("2026-11-26T08:00:00Z");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-29 06:00\" mix --pieces 8");
    let plan = kitchen.json("plan --accept");
    let job = &list(&plan, "actions")[0];
    assert_eq!(text(job, "action"), "dry", "{plan}");
    assert!(text(job, "by").starts_with("2026-11-26T20:29:59"), "{job}");
    (kitchen, lot)
}

#[test]
fn what_is_begun_at_the_last_moment_is_shown_dry_in_time() {
    let (mut kitchen, lot) = accepted();
    kitchen.at("2026-11-26T23:29:59Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 2kg --wet-out 500g --minutes 180 --temp 60C"
    ));
    let dried = text(&dried, "lot");
    kitchen.at("2026-11-26T23:50:00Z");
    kitchen.ok(&format!("probe {dried} --aw 0.35"));
    assert_eq!(kitchen.on_shelf(dried)["verdict"], "use-first");
}

/// Nobody writes down that drying has begun.
#[test]
fn what_may_be_drying_now_is_not_said_to_be_lost() {
    let (mut kitchen, _) = accepted();
    kitchen.at("2026-11-26T22:00:00Z");
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        "was not dried in time, unless it is drying now: write that down when it ends. Otherwise plan again: draff plan --accept",
    );
}
