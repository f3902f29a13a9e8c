//! A calendar holds the jobs of the accepted plan that is in force.

use crate::env::{Kitchen, SLIP};
use crate::plan::list;

#[test]
fn the_jobs_of_a_plan_come_back_where_a_newer_one_is_struck() {
    let (kitchen, _) = Kitchen::with_accepted_plan(24);
    let first = kitchen.json("bake calendar");
    let mut tasks = list(&first, "tasks").iter();
    assert!(tasks.len() > 1 && tasks.all(|task| task["dropped"] == false));
    kitchen.ok("plan --accept");
    let newest = kitchen.last_entry("plan");
    kitchen.ok(&format!("strike {newest} {SLIP}"));
    let again = kitchen.json("bake calendar");
    assert_eq!(again["tasks"], first["tasks"]);
}
