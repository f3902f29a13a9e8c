//! Answers that were read wrongly: each says what is so and what to do, in words that have one reading.

use crate::env::{Kitchen, has, one_line};
use crate::plan::list;

/// 3 kg of tested grain of Friday, of which a bake of Wednesday, 06:00, was promised 2.505 kg, and its sponge is due on
/// Tuesday at 18:00. On Tuesday somebody takes 1 kg for buns.
fn short_of_grain() -> (Kitchen, String, String) {
    let (mut kitchen, lot) = Kitchen::with_loaf("3kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-25 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-24T17:00:00Z");
    let told = kitchen.told(&format!("use {lot} 1kg --for buns"));
    (kitchen, lot, told)
}

#[test]
fn a_missed_stage_says_that_the_bake_cannot_keep_its_time_and_moves_it() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.at("2026-11-21T06:00:20Z");
    let said = one_line(&kitchen.ok("today"));
    has(
        &said,
        "Now Fri 20 Nov 20:00: B-1S small loaf: make the sponge. If it is made, nothing to do. If not, make it now; it stands 12 h, so mix Sat 21 Nov 18:01 or later: ",
    );
    let moved = "bake change B-1S --at \"2026-11-21 18:01\" mix";
    has(&said, &format!("or later: draff {moved}"));
    assert!(!said.contains("Late"), "{said}");
    has(
        &said,
        "08:00 B-1S small loaf: mix the final dough (not possible unless the sponge was made in time)",
    );
    let today = kitchen.json("today");
    let mut due = list(&today, "due").iter();
    assert!(due.all(|one| one["late"] == false), "{today}");
    let missed = format!(
        "B-1S: its sponge was to be made Fri 20 Nov 20:00. If nobody made it, this bake is not possible at its time: make it now, move the bake (draff {moved}) and plan again."
    );
    has(&one_line(&kitchen.ok("plan")), &missed);
    kitchen.ok(moved);
    assert!(!kitchen.ok("plan").contains("If nobody made it"));
    assert!(!kitchen.ok("today").contains("not possible"));
    let today = kitchen.json("today");
    let mut due = list(&today, "due").iter();
    assert!(due.all(|one| one["late"] == false), "{today}");
}

#[test]
fn what_begins_at_this_moment_and_what_is_to_be_done_at_once_stand_under_one_heading() {
    let (mut kitchen, past) = Kitchen::with_tested_lot();
    let unknown = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 9kg");
    kitchen.at("2026-11-27T10:00:00Z");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-27 22:00\" mix --pieces 4");
    let today = kitchen.ok("today");
    for heading in ["Now", "Fri 27 Nov"] {
        let found = today.lines().filter(|line| *line == heading).count();
        assert_eq!(found, 1, "{heading}: {today}");
    }
    let (_, now) = today.split_once("\nNow\n").unwrap();
    let now = one_line(now.split_once("\n\n").unwrap().0);
    for part in [
        past.as_str(),
        unknown.as_str(),
        "10:00 B-1S small loaf: make the sponge",
    ] {
        has(&now, part);
    }
}

#[test]
fn a_plan_says_of_late_freezing_what_today_says() {
    let (mut kitchen, _) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    let late = "now, was due Fri 20 Nov 21:00: freeze ";
    let accepted = one_line(&kitchen.ok("plan --accept"));
    has(&accepted, "by 21:00: freeze ");
    assert!(!accepted.contains(late), "{accepted}");
    kitchen.at("2026-11-20T21:30:00Z");
    has(&one_line(&kitchen.ok("plan")), late);
    let again = one_line(&kitchen.ok("plan --accept"));
    assert!(!again.contains(late), "{again}");
}

#[test]
fn grain_that_is_missing_is_no_more_to_be_used() {
    let (kitchen, lot, told) = short_of_grain();
    has(
        &told,
        "B-1S is short by 505 g. `draff plan --accept` shares out what is left",
    );
    has(
        &one_line(&kitchen.ok("today")),
        "use 2 kg first, keep until Thu 26 Nov; promised: 2 kg for B-1S (505 g of 2.505 kg is missing)",
    );
    has(
        &one_line(&kitchen.ok("shelf")),
        &format!("of {lot}: 2 kg to B-1S (505 g of 2.505 kg is missing)"),
    );
}

#[test]
fn a_bake_that_lacks_grain_says_so_where_it_goes_in_and_plans_first() {
    let (kitchen, lot, _) = short_of_grain();
    let today = one_line(&kitchen.ok("today"));
    let short = "SHORT: 505 g of the grain promised to it is missing; plan again first: draff plan --accept, then draff sheet B-1S";
    has(&today, &format!("make the sponge; {short}"));
    has(
        &today,
        &format!("mix the final dough; grain: 2 kg of {lot}; {short}"),
    );
    kitchen.ok("plan --accept");
    let today = kitchen.ok("today");
    assert!(!today.contains("SHORT"), "{today}");
}

#[test]
fn unknown_grain_is_thrown_away_before_the_exception_is_named() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 9kg");
    kitchen.at("2026-11-20T18:00:00Z");
    let discard = format!("discard {lot} --reason unknown");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        let (before, after) = said
            .split_once(&format!("throw it away: draff {discard}. Keep it only if "))
            .unwrap_or_else(|| panic!("{said}"));
        assert!(!before.contains("draff probe"), "{said}");
        has(after, &format!("draff probe {lot} --cooled WHEN"));
    }
    kitchen.ok(&discard);
}

#[test]
fn past_grain_says_until_when_it_was_good_and_how_its_days_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.at("2026-11-27T08:00:00Z");
    let refused = kitchen.refused(1, &format!("use {lot} 1kg --for buns"));
    has(
        &refused,
        "7 days at most, the mash-out day counted as the first; over since Thu 26 Nov, end of day",
    );
    has(
        &one_line(&kitchen.ok("today")),
        &format!(
            "{lot} in fridge: throw away 3 kg: past, was good until Thu 26 Nov, end of day; 7 days at most, the mash-out day counted as the first: draff discard {lot} --reason past"
        ),
    );
}

#[test]
fn grain_that_is_not_shown_cold_yet_is_good_so_far() {
    let kitchen = Kitchen::new();
    let said = one_line(
        &kitchen.ok("pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 9kg"),
    );
    has(
        &said,
        "Verdict good so far: take its temperature by Fri 20 Nov 11:30 (day 1)",
    );
    has(
        &said,
        "Because it has to cool to 21 °C within 2 h of mash-out, and nothing shows it so far",
    );
    has(
        &said,
        "take the temperature in the middle of the grain, where it is thickest: it must show 21 °C or less by",
    );
}

#[test]
fn grain_that_the_plan_freezes_is_named_with_it_on_the_shelf() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    kitchen.ok("plan --accept");
    let freeze = kitchen.json("today")["due"][0].clone();
    assert_eq!(freeze["task"], "freeze", "{freeze}");
    let wet = freeze["wet_g"].as_f64().unwrap() / 1000.0;
    let planned = format!("> accepted plan: freeze {wet} kg of it in freezer");
    let shelf = one_line(&kitchen.ok("shelf"));
    has(&shelf, &format!("{planned} by Fri 20 Nov 21:00"));
    kitchen.at("2026-11-20T21:30:00Z");
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        &format!("{planned} now: it was due Fri 20 Nov 21:00"),
    );
    kitchen.ok(&format!("move {lot} --wet {wet}kg --to freezer"));
    assert!(!kitchen.ok("shelf").contains("accepted plan"));
}

#[test]
fn a_plan_freezes_in_portions_where_it_says_to_freeze() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 06:00\" mix --pieces 12");
    let plan = kitchen.json("plan");
    let portions = list(&list(&plan, "actions")[0], "bags");
    assert_eq!(portions.len(), 2, "{plan}");
    let [for_bake, spare] = [0, 1].map(|at| portions[at]["wet_g"].as_f64().unwrap() / 1000.0);
    let said = one_line(&kitchen.ok("plan"));
    has(
        &said,
        &format!(
            "by 21:00: freeze all 8 kg of {lot} in freezer, in 2 portions: {for_bake} kg for B-1S, {spare} kg to spare"
        ),
    );
    has(
        &said,
        "It may fill several flat bags: write its bake on each.",
    );
}

#[test]
fn hold_back_begins_with_three_lines_to_work_by() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    let said = kitchen.ok(&format!(
        "hold-back {lot} --wet 440g --flour 1kg --hydration 70%"
    ));
    let lines: Vec<&str> = said.lines().collect();
    for (line, label) in lines.iter().zip(["Weigh ", "Pour ", "Hold back ", ""]) {
        assert!(line.starts_with(label), "{said}");
    }
    assert_eq!(lines[3], "", "{said}");
    let said = one_line(&said);
    has(&said, "Water 771 g at 70 % hydration: 339 g in the grain, ");
    assert!(!said.contains("432 g"), "{said}");
    has(
        &said,
        "77.0 % of the grain is water (tested), almost surely 76.0 % to 78.0 %",
    );
}

#[test]
fn the_water_held_back_of_a_sheet_stands_beside_the_mixer() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 4 --lot {lot}"
    ));
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        "HOLD BACK: water, beside the mixer and as warm as the rest: most likely ",
    );
}

#[test]
fn a_lot_that_nobody_tested_asks_for_one_test() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let said = one_line(&kitchen.ok(&format!("moisture {lot}")));
    has(&said, "Tests not tested yet");
    has(&said, "Test one sample of 100 g would narrow ± ");
    has(
        &said,
        "1 sample of this lot is enough: a second is not needed",
    );
    assert!(!said.contains("One more"), "{said}");
}

#[test]
fn today_says_first_how_much_there_is_to_do_and_by_when() {
    let (kitchen, _, _) = short_of_grain();
    has(
        &one_line(&kitchen.ok("today")),
        "1 thing to do today, 1 more by the end of Wed 25 Nov. Below: which grain to use first after that",
    );
}

#[test]
fn the_water_of_a_dough_with_dried_grain_calls_it_dried() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.at("2026-11-20T15:00:00Z");
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 4kg --wet-out 1kg --minutes 180 --temp 60C"
    ));
    let dried = made["lot"].as_str().unwrap();
    kitchen.ok(&format!("probe {dried} --aw 0.4"));
    let said = kitchen.ok(&format!(
        "hold-back {dried} --wet 430g --flour 4kg --hydration 70%"
    ));
    let first = said.lines().next().unwrap();
    assert_eq!(
        first,
        format!("Weigh       430 g of dried grain ({dried}, use-first) and 4000 g of flour")
    );
    has(
        &one_line(&said),
        "measured with dried, milled grain. Yours may drink differently, so add the held-back water slowly (",
    );
    has(&kitchen.ok("shelf"), "dry: no end date");
}

#[test]
fn two_samples_where_one_would_do_say_so_for_the_next_time() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let said = one_line(&kitchen.ok(&format!(
        "moisture {lot} --weighing 14.2g,114.5g,37.2g --weighing 13.8g,114.1g,37.0g"
    )));
    has(
        &said,
        "1 sample of this lot is enough: more of them narrow the range by less than a fifth",
    );
}

#[test]
fn a_sheet_has_a_box_for_each_of_several_lots_and_none_for_their_sum() {
    let (kitchen, lot) = Kitchen::with_bakes("2kg", &[]);
    let other = kitchen.lot("1kg");
    kitchen.ok(&format!("moisture {other} --lab 77% --lab-sd 0.5%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 12 --lot {lot} --lot {other}"
    ));
    let sheet = kitchen.ok("sheet B-1S");
    let boxed = |end: &str| {
        let line = sheet.lines().find(|line| line.contains(end));
        line.unwrap_or_else(|| panic!("no `{end}` in:\n{sheet}"))
            .contains("[ ]")
    };
    assert!(!boxed("wet grain in all:"), "{sheet}");
    for lot in [lot, other] {
        assert!(boxed(&format!(" g of {lot}")), "{sheet}");
    }
}
