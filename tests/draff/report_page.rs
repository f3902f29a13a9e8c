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
                says.starts_with(title) || title.starts_with(of_source),
                "{title}\n{says}"
            );
            titles += 1;
        }
    }
    assert!(titles >= 5, "{titles}: {page}");
}

/// Columns of a wide table as lines: on paper the last of them were cut off.
#[test]
fn a_table_with_more_columns_than_fit_on_paper_is_turned() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.lot_from("Corrow Weir", "--wet 4kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls"));
    kitchen.ok(&format!("give {lot} --wet 500g --to café"));
    kitchen.ok(&format!("move {lot} freezer --wet 500g"));
    let page = kitchen.ok("report --html -");
    let table = between(&page, "<caption>Wet grain by source</caption>", "</table>");
    let head = between(table, "<thead>", "</thead>");
    assert_eq!(head.matches("<th").count(), 4, "{head}");
    has(head, ">Alder Lane</th>");
    has(head, ">Corrow Weir</th>");
    has(head, ">all sources</th>");
    for line in ["Came in", "Given as food", "Frozen"] {
        has(table, &format!(">{line}</td>"));
    }
    // A word breaks only where it is longer than a column can be.
    has(&page, ".breaks { overflow-wrap: anywhere; }");
    assert_eq!(page.matches("overflow-wrap").count(), 1, "{page}");
    assert!(!page.contains("breaks\">"), "{page}");
}

#[test]
fn long_tables_stand_behind_all_questions() {
    let kitchen = Kitchen::new();
    let lots: Vec<String> = (1..14)
        .map(|wet| kitchen.lot(&format!("{wet}kg")))
        .collect();
    let page = kitchen.ok("report --html -");
    let (questions, figures) = page.split_once("<section class=\"figures\">").unwrap();
    for table in [
        "Moisture of the lots that came in",
        "Lots on hand, the most urgent first",
    ] {
        has(questions, &format!("{table}: 13 lines under "));
        assert!(!questions.contains(&format!("<caption>{table}</caption>")));
        has(figures, &format!("<caption>{table}</caption>"));
    }
    for lot in &lots {
        assert_eq!(
            figures.matches(&format!(">{lot}</td>")).count(),
            2,
            "{figures}"
        );
    }
    // The page of a shorter one has none.
    let kitchen = Kitchen::new();
    kitchen.lot("4kg");
    assert!(!kitchen.ok("report --html -").contains("Figures"));
}

#[test]
fn a_picture_of_flour_saved_has_one_unit() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!("use {lot} --wet 6kg --for loaves"));
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls"));
    let page = kitchen.ok("report --html -");
    let picture = between(&page, "aria-label=\"Flour saved, by formula\"", "</svg>");
    has(picture, ">1.38 kg</text>");
    has(picture, ">0.23 kg</text>");
}
