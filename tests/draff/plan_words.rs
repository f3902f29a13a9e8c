//! What `plan` says: whether a better one exists, what is promised, by when, and how far a dough may be off.

use crate::env::{Kitchen, has, one_line};

/// Untested, 971 g of 78 ± 7 % hold 214 ± 71 g of dry grain; a test makes that ± 10 g, less than a twentieth.
#[test]
fn an_exact_dough_is_told_how_far_it_may_be_off_where_that_is_much() {
    let kitchen = Kitchen::new();
    let lot = kitchen.exact_loaf();
    let said = one_line(&kitchen.ok("plan"));
    has(
        &said,
        "of dry grain under or over its 214 g (95 % range), as the moisture is uncertain",
    );
    assert!(!said.contains("risk of less"), "{said}");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 0g,100g,23g --weighing 0g,100g,23g --weighing 0g,100g,23g"
    ));
    let plan = kitchen.json("plan");
    assert!(plan["bakes"][0]["chance_below_min"].is_f64(), "{plan}");
    let said = one_line(&kitchen.ok("plan"));
    assert!(!said.contains("under or over"), "{said}");
    assert!(!said.contains("risk of less"), "{said}");
}

#[test]
fn a_plan_says_that_it_is_a_proposal_until_it_is_accepted() {
    let kitchen = Kitchen::new();
    let proposal =
        "This is a proposal. draff plan --accept takes it; draff today then says what to do when.";
    let unplanned = "No plan is accepted: draff plan makes one.";
    assert!(!kitchen.ok("today").contains(unplanned));
    kitchen.exact_loaf();
    has(&kitchen.ok("today"), unplanned);
    has(&one_line(&kitchen.ok("plan")), proposal);
    let accepted = one_line(&kitchen.ok("plan --accept"));
    assert!(!accepted.contains(proposal), "{accepted}");
    let today = kitchen.ok("today");
    has(&today, "freeze");
    assert!(!today.contains(unplanned), "{today}");
    let again = one_line(&kitchen.ok("plan"));
    assert!(!again.contains(proposal), "{again}");
}
