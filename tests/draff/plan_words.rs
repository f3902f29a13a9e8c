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

#[test]
fn a_plan_says_in_one_line_whether_a_better_one_exists_and_shows_aims_where_asked_why() {
    let (kitchen, _) = Kitchen::with_two_bakes(24);
    let plan = kitchen.ok("plan");
    assert!(
        plan.lines().any(|line| line == "No better plan exists."),
        "{plan}"
    );
    for absent in ["AIM", "OLDEST", "do not count", "±"] {
        assert!(!plan.contains(absent), "{absent}: {plan}");
    }
    let why = one_line(&kitchen.ok("plan --why"));
    has(
        &why,
        "No better plan exists. AIMS, MOST IMPORTANT FIRST THIS PLAN OLDEST FIRST",
    );
    has(
        &why,
        "Less than 50 g of a lot is not put into a bake, frozen or dried.",
    );
    assert_eq!(kitchen.json("plan"), kitchen.json("plan --why"));
}

#[test]
fn where_promises_hold_the_plan_says_so_and_names_the_way_out() {
    let (kitchen, _) = Kitchen::with_two_bakes(24);
    kitchen.ok("plan --accept");
    let kept = "No better plan keeps these promises; draff plan --reopen plans without them.";
    has(&one_line(&kitchen.ok("plan")), kept);
    let reopened = one_line(&kitchen.ok("plan --reopen"));
    has(&reopened, "No better plan exists. ");
    assert!(!reopened.contains("promises made"), "{reopened}");
}

#[test]
fn a_time_is_the_latest_one_only_where_no_later_day_will_do_and_what_is_late_is_to_be_done_now() {
    let (mut kitchen, _) = Kitchen::with_two_bakes(24);
    let plan = one_line(&kitchen.ok("plan --accept"));
    has(&plan, "by 21:00: freeze ");
    has(&plan, "by 17:00 at the latest: take ");
    has(&plan, "If you miss a time, plan again.");
    has(&one_line(&kitchen.ok("today")), "by 21:00 freeze ");
    kitchen.at("2026-11-20T21:30:00Z");
    has(
        &one_line(&kitchen.ok("today")),
        "Late: do these first was due 21:00; do it now: freeze ",
    );
}

/// So much tested grain and a firm bake of Sunday that takes up to 5.009 kg of it.
fn sunday(wet: &str) -> (Kitchen, String) {
    Kitchen::with_bakes(wet, &[("2026-11-22 06:00", 24)])
}

#[test]
fn a_bake_without_grain_names_the_bakes_that_take_it() {
    for (wet, said) in [
        (
            "5kg",
            "no grain left: what fits, 1150 g dry in all, goes into B-1S",
        ),
        (
            "8kg",
            "all grain that fits comes to 1840 g dry, and part of it goes into B-1S",
        ),
    ] {
        let (kitchen, _) = sunday(wet);
        kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 200 --optional");
        has(&one_line(&kitchen.ok("plan")), said);
        let plan = kitchen.json("plan");
        assert_eq!(plan["bakes"][1]["short_because"], "too-little");
    }
}

#[test]
fn a_bake_that_was_promised_nothing_gets_its_grain_as_new() {
    let (kitchen, lot) = sunday("8kg");
    kitchen.ok("plan --accept");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 07:00\" mix --pieces 12");
    has(
        &one_line(&kitchen.ok("plan")),
        &format!(
            "Changed from what was promised Fri 20 Nov 10:00: new since then: B-2Q gets 2.505 kg of {lot}"
        ),
    );
}

#[test]
fn a_promise_of_grain_whose_moisture_changed_says_that_its_wet_weight_did() {
    let (kitchen, lot) = Kitchen::with_accepted_plan(12);
    let kept = "Each bake gets what was promised Fri 20 Nov 10:00.";
    has(&one_line(&kitchen.ok("plan")), kept);
    has(
        &kitchen.told("sheet B-1S"),
        "the grain is what the plan of Fri 20 Nov 10:00 promised to B-1S",
    );
    kitchen.ok(&format!("moisture {lot} --lab 75% --lab-sd 0.5%"));
    has(
        &one_line(&kitchen.ok("plan")),
        "Each bake gets as much dry grain as was promised Fri 20 Nov 10:00. The moisture of some grain is known otherwise since, so its wet weight changed.",
    );
    has(
        &kitchen.told("sheet B-1S"),
        "promised to B-1S: the same dry grain. Its moisture is known otherwise since, so its wet weight changed",
    );
}
