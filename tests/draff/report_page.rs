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

/// The text from one mark to the next.
fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let (_, rest) = text.split_once(from).unwrap();
    rest.split_once(to).unwrap().0
}

#[test]
fn the_title_of_each_picture_says_what_is_seen_in_it() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls"));
    let page = kitchen.ok("report --html -");
    let mut titles = 0;
    for question in page.split("<section").skip(1) {
        let says = between(question, "class=\"says\">", "</p>");
        for picture in question.split("<svg class=\"chart\"").skip(1) {
            let title = between(picture, "<title>", "</title>");
            let of_source = "Nobody can tell yet whether Alder Lane is steady: ";
            assert!(
                title == says || title.starts_with(of_source),
                "{title}\n{says}"
            );
            titles += 1;
        }
    }
    assert!(titles >= 5, "{titles}: {page}");
}
