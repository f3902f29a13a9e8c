//! `report --html`: the page of a report.

use crate::env::{Kitchen, has};

#[test]
fn codes_stand_on_one_line() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    let page = kitchen.ok("report --html -");
    has(&page, ".whole { white-space: nowrap; }");
    assert_eq!(
        page.matches(&format!("whole\">{lot}</td>")).count(),
        2,
        "of the lots that came in and of those on hand: {page}"
    );
    assert!(!page.contains("whole\">Alder Lane"), "{page}");
}
