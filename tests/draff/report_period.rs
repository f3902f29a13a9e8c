//! `report` of a period that is still to come or goes on beyond now: nothing is told of what has not happened.

use crate::env::{Kitchen, has, one_line};

#[test]
fn a_period_that_has_not_begun_has_no_report() {
    let kitchen = Kitchen::new();
    kitchen.lot("4kg");
    for (period, begins) in [
        ("--month 2030-01", "Tue 1 Jan 2030 00:00"),
        ("--season 2026-12", "Tue 1 Dec 2026 00:00"),
        ("--from 2026-11-21 --to 2026-11-30", "Sat 21 Nov 2026 00:00"),
    ] {
        let told = kitchen.refused(2, &format!("report {period}"));
        has(
            &told,
            &format!("the period has not begun: it begins at {begins}, and now is Fri 20 Nov 2026"),
        );
    }
    // Nor as a file.
    kitchen.refused(2, "report --month 2030-01 --html page.html");
}

#[test]
fn a_report_of_a_period_that_goes_on_beyond_now_says_so() {
    let kitchen = Kitchen::new();
    kitchen.lot("4kg");
    for period in [
        "--month 2026-11",
        "--season",
        "--from 2026-11-01 --to 2026-11-30",
    ] {
        let report = one_line(&kitchen.ok(&format!("report {period}")));
        has(
            &report,
            "to Fri 20 Nov 2026 so far: it goes on to Mon 30 Nov 2026",
        );
        has(&report, "4 kg is on hand now.");
        assert!(!report.contains("at the end"), "{report}");
        let page = kitchen.ok(&format!("report {period} --html -"));
        has(
            &page,
            "to Fri 20 Nov 2026 so far: it goes on to Mon 30 Nov 2026",
        );
    }
    // What has ended, and what has no end.
    for period in ["--to 2026-11-19", ""] {
        let report = kitchen.ok(&format!("report {period}"));
        assert!(!report.contains("goes on"), "{report}");
    }
}
