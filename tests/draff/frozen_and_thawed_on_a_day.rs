//! A day on which a lot is frozen and thawed counts once, in the plan and in what follows from it.

use crate::env::Kitchen;
use crate::plan::list;
use serde_json::Value;

/// The jobs of thawing in one answer.
fn thaws<'a>(answer: &'a Value, key: &str, what: &str) -> Vec<&'a Value> {
    let all = list(answer, key).iter();
    let thaws = all.filter(|one| one[what] == "thaw" && one["dropped"] != true);
    thaws.collect()
}

/// Grain of Friday that is frozen on Saturday and comes out that day for Sunday keeps until Thursday, its seventh day.
#[test]
fn a_block_that_comes_out_on_the_day_it_was_frozen_is_one_job() {
    let (mut kitchen, lot) = Kitchen::with_bakes("2kg", &[]);
    kitchen.at("2026-11-21T08:00:00Z");
    kitchen.ok(&format!("move {lot} freezer"));
    for (mix, pieces) in [("2026-11-22 06:00", 4), ("2026-11-26 21:00", 5)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{mix}\" mix --pieces {pieces}"
        ));
    }
    let plan = kitchen.json("plan --accept");
    let (today, calendar) = (
        kitchen.json("today --days 8"),
        kitchen.json("bake calendar"),
    );
    for (jobs, told) in [
        (thaws(&plan, "actions", "action"), &plan),
        (thaws(&today, "due", "task"), &today),
        (thaws(&calendar, "tasks", "action"), &calendar),
    ] {
        assert_eq!(jobs.len(), 1, "{told}");
    }
    let job = thaws(&today, "due", "task")[0];
    assert_eq!(list(job, "grain").len(), 2, "{job}");
}
