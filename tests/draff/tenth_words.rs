//! What a hurried baker did not understand at the first reading: plans, times, amounts to fetch, cooling, what to record.

use crate::env::{Kitchen, has, one_line};

/// 8 kg of tested grain and bakes of the next days.
fn planned() -> Kitchen {
    let (kitchen, _) = Kitchen::with_tested_lot();
    for at in ["2026-11-22 06:00", "2026-11-30 06:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces 24"
        ));
    }
    kitchen
}

#[test]
fn a_plan_says_in_one_line_whether_a_better_one_exists_and_shows_aims_where_asked_why() {
    let kitchen = planned();
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
    let kitchen = planned();
    kitchen.ok("plan --accept");
    let kept = "No better plan exists that keeps the promises made. draff plan --reopen plans as if nothing were promised.";
    has(&one_line(&kitchen.ok("plan")), kept);
    let reopened = one_line(&kitchen.ok("plan --reopen"));
    has(&reopened, "No better plan exists. ");
    assert!(!reopened.contains("promises made"), "{reopened}");
}

#[test]
fn a_time_is_the_latest_one_only_where_no_later_day_will_do_and_what_is_late_is_to_be_done_now() {
    let mut kitchen = planned();
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

#[test]
fn fetch_says_first_how_much_then_why_then_what_other_amounts_come_to() {
    let kitchen = planned();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 60");
    let words = kitchen.ok("fetch --at \"sat 12:00\"");
    let mut lines = words.lines();
    let first = lines.next().unwrap();
    assert!(
        first.starts_with("Fetch ") && first.ends_with(" kg from Alder Lane, Sat 21 Nov 12:00."),
        "{words}"
    );
    let second = lines.next().unwrap();
    assert!(second.starts_with("Why: With "), "{words}");
    let others = words.find("What each amount comes to on average");
    assert!(others > words.find("Calculated"), "{words}");
}

/// 60 °C and more starts the cooling anew (FSANZ Standard 3.2.2 clause 7(3)): below it the two hours run since mash-out.
#[test]
fn grain_that_comes_in_below_sixty_degrees_is_told_that_its_time_runs_since_mash_out() {
    let kitchen = Kitchen::new();
    let pickup = |source: &str, temp: &str| {
        kitchen.run(&format!(
            "pickup --source \"{source}\" --brewed today --mash-out 08:30 --wet 9kg --temp {temp}"
        ))
    };
    let warm = pickup("Alder Lane", "58C");
    let since = "the time to cool counts from mash-out, Fri 20 Nov 08:30, and not from the pickup";
    has(&warm.told(), &format!("58 °C is below 60 °C: {since}"));
    has(
        &one_line(&warm.out),
        "it must show 21 °C or less by Fri 20 Nov 10:30",
    );
    for (source, temp) in [("Birch Yard", "63C"), ("Tarn Fell", "18C")] {
        let told = pickup(source, temp).told();
        assert!(!told.contains("counts from mash-out"), "{temp}: {told}");
    }
}

#[test]
fn cooling_that_came_too_late_says_what_was_found_the_limit_and_what_to_do() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 9kg");
    kitchen.at("2026-11-20T11:40:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {lot} 40C")));
    has(
        &said,
        "cooling to 21 °C within 2 h of mash-out failed: a thermometer still showed 40 °C",
    );
    has(
        &said,
        &format!("throw it away: draff discard {lot} --reason past"),
    );
    let late = kitchen.pickup("--brewed today --mash-out 07:30 --wet 8kg");
    kitchen.at("2026-11-20T18:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {late} --cooled 17:00")));
    has(
        &said,
        "it was cold only from Fri 20 Nov 17:00 on, and had to be by Fri 20 Nov 13:30: throw it away. Only exception: somebody watched it cool",
    );
    has(&said, &format!("draff discard {late} --reason TEXT"));
}

#[test]
fn a_bake_without_figures_says_what_they_would_give_and_how_to_add_them() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4 --piece 800g --lot {lot}"
    ));
    kitchen.at("2026-11-21T09:00:00Z");
    let told = kitchen.told("bake done B-1S");
    has(
        &told,
        "no water and no dough temperature recorded: from them the book learns how much your grain drinks",
    );
    let entry = told.split("`draff correct ").nth(1).unwrap();
    let entry = entry.split(' ').next().unwrap();
    kitchen.ok(&format!("correct {entry} --water 900g --reason added"));
    assert_eq!(kitchen.json("bake show B-1S")["result"]["water_g"], 900.0);
}

#[test]
fn several_tests_of_a_lot_say_whether_they_agree_and_that_all_count() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let test =
        |weights: &str| one_line(&kitchen.ok(&format!("moisture {lot} --weighing {weights}")));
    let one = test("14.2g,114.5g,37.2g");
    assert!(!one.contains("count"), "{one}");
    has(
        &test("13.8g,114.1g,37.0g"),
        "2 moisture tests of this lot; the tests agree, and both count",
    );
    let apart = test("13.9g,114.1g,34.5g");
    has(&apart, "Both count, and the range is wider for it.");
    has(
        &apart,
        "3 moisture tests of this lot; the tests differ, and all count",
    );
}
