//! `--quiet` leaves out why, and never what to do: no caution, warning, verdict or figure to act on.

use crate::env::{Kitchen, one_line};

/// Lines of an answer that nothing hides.
fn kept(answer: &str) -> Vec<&str> {
    answer
        .lines()
        .filter(|line| line.starts_with("! ") || line.starts_with("Warning"))
        .collect()
}

/// What both answers say and what only the whole one says.
#[track_caller]
fn leaves_out(kitchen: &Kitchen, line: &str, reasons: &[&str], to_act_on: &[&str]) {
    let (whole, brief) = (kitchen.ok(line), kitchen.ok(&format!("{line} --quiet")));
    assert_eq!(kept(&brief), kept(&whole), "{line}");
    let (whole, brief) = (one_line(&whole), one_line(&brief));
    for reason in reasons {
        assert!(whole.contains(reason), "no `{reason}` in:\n{whole}");
        assert!(!brief.contains(reason), "`{reason}` in:\n{brief}");
    }
    for said in to_act_on {
        assert!(whole.contains(said), "no `{said}` in:\n{whole}");
        assert!(brief.contains(said), "no `{said}` in:\n{brief}");
    }
}

#[test]
fn quiet_leaves_out_what_the_water_of_a_dough_was_worked_out_from() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    leaves_out(
        &kitchen,
        &format!("hold-back {lot} --wet 440g --flour 1kg --hydration 70%"),
        &["Stojceska", "Thirst", "Held back", "worked out from"],
        &[
            "Weigh",
            &format!("({lot}, good)"),
            "Pour",
            "Hold back",
            "likely",
        ],
    );
    leaves_out(
        &kitchen,
        &format!("batch \"small loaf\" --pieces 12 --lot {lot}"),
        &[
            "Thirst",
            "Losses",
            "almost surely",
            "in case the grain is drier",
        ],
        &[
            &format!("Grain {lot}, good"),
            "Hold back",
            "most likely",
            "water, pour first",
            "water, hold back",
        ],
    );
    leaves_out(
        &kitchen,
        &format!("moisture {lot}"),
        &["From 1 moisture test"],
        &["77.0 ± 1.0 %"],
    );
}

#[test]
fn quiet_warns_of_grain_that_may_be_too_wet_for_the_dough() {
    let (kitchen, lot) = Kitchen::with_loaf("8kg");
    leaves_out(
        &kitchen,
        &format!("hold-back {lot} --wet 1.7kg --flour 2kg --hydration 60%"),
        &["Stojceska", "Thirst"],
        &["Warning at the wet end", "Pour", "Hold back"],
    );
}

#[test]
fn quiet_leaves_out_why_so_much_is_fetched_or_baked() {
    let (kitchen, lot) = Kitchen::with_bakes(
        "20kg",
        &[("2026-11-22 06:00", 24), ("2026-11-24 06:00", 40)],
    );
    leaves_out(
        &kitchen,
        "fetch",
        &[
            "Why (on average)",
            "Calculated tried out",
            "we assume",
            "Cost at the prices",
        ],
        &["Fetch nothing from Alder Lane", "WET GRAIN FETCHED"],
    );
    leaves_out(
        &kitchen,
        "bake advise",
        &["already hold as much grain"],
        &[
            &format!("of {lot} (1528 g dry) is frozen"),
            "draff bake change B-2Q --pieces 72",
        ],
    );
}

#[test]
fn quiet_leaves_out_why_of_plan_and_list_of_the_day() {
    let (mut kitchen, lot) = Kitchen::with_loaf("8kg");
    for (at, pieces) in [("2026-11-22 06:00", 24), ("2026-11-30 06:00", 40)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces {pieces}"
        ));
    }
    leaves_out(
        &kitchen,
        "plan",
        &["for moisture instead"],
        &[
            &format!("Worth a test: {lot}"),
            "freeze 5 kg",
            "Never vacuum-pack",
            "23 % risk of less than the minimum",
            "wanted 1152 g, minimum 576 g",
            "No better plan exists",
        ],
    );
    kitchen.at("2026-11-30T10:00:00Z");
    leaves_out(
        &kitchen,
        "today",
        &["7 days at most"],
        &[
            "throw away 8 kg: past, was good until Thu 26 Nov",
            &format!("draff discard {lot} --reason past"),
        ],
    );
}

#[test]
fn quiet_says_how_much_a_bake_is_short_and_not_why() {
    let (kitchen, _) = Kitchen::with_loaf("2kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 24");
    leaves_out(
        &kitchen,
        "plan",
        &["all grain that fits comes to"],
        &["SHORT 136 g dry", "440 g dry"],
    );
}
