//! The report on the page: the same answers and files as the command's.

use crate::house::{House, words};
use axum::http::{StatusCode, header};

/// A bake and a lot left over, with a moisture test.
fn house() -> House {
    let house = House::new();
    let lot = house.lot("10kg");
    house.draff(&format!("moisture {lot} 12 112 35.4 g"));
    house.draff(&format!("use {lot} 4kg --for \"pan loaf\""));
    house
}

#[test]
fn the_page_answers_as_the_command_does_and_shows_the_pictures_of_its_page() {
    let house = house();
    let phone = house.paired("Ada");
    let command = house.json("report --month 2026-11");
    let heading = command["heading"].as_str().unwrap();
    for query in [
        "",
        "?month=2026-11",
        "?season=2026-11",
        "?from=2026-11-01&to=2026-11-30",
        "?whole=1",
    ] {
        let page = phone.page(&format!("/book/report{query}"));
        let text = words(&page);
        assert!(text.contains(heading), "{query}: {text}");
        assert!(
            text.contains("Balance closes to the milligram."),
            "{query}: {text}"
        );
        assert!(
            page.contains("aria-label=\"Wet grain in and out, by source\""),
            "{query}"
        );
        assert!(!text.contains("draff "), "no commands on the page: {text}");
        assert!(!page.contains("<td class=\"\""), "an empty class in a cell");
    }
    let file = house.file("report.html", "");
    std::fs::remove_file(&file).unwrap();
    house.draff(&format!("report --month 2026-11 --html {}", file.display()));
    let written = std::fs::read_to_string(&file).unwrap();
    let figures = |page: &str| -> Vec<String> {
        let parts = page.split("<figure").skip(1);
        parts
            .map(|part| part.split("</figure>").next().unwrap().to_owned())
            .collect()
    };
    let shown = figures(&phone.page("/book/report?month=2026-11"));
    assert!(shown.len() >= 4, "{}", shown.len());
    assert_eq!(shown, figures(&written));
    let kept = phone.get("/book/report.html?month=2026-11");
    assert_eq!(
        kept.headers[header::CONTENT_DISPOSITION],
        "attachment; filename=\"report.html\""
    );
    assert_eq!(shown, figures(&kept.body));
}

#[test]
fn its_files_are_those_of_the_command() {
    let house = house();
    let phone = house.paired("Ada");
    let folder = house.file("tables", "");
    std::fs::remove_file(&folder).unwrap();
    house.draff(&format!(
        "report --month 2026-11 --csv {}",
        folder.display()
    ));
    let mut compared = 0;
    for file in std::fs::read_dir(&folder).unwrap() {
        let file = file.unwrap().path();
        let table = file.file_stem().unwrap().to_str().unwrap();
        let sent = phone.get(&format!("/book/report.csv?table={table}&month=2026-11"));
        assert_eq!(
            sent.headers[header::CONTENT_TYPE],
            "text/csv; charset=utf-8"
        );
        assert_eq!(
            sent.body,
            std::fs::read_to_string(&file).unwrap(),
            "{table}"
        );
        let link = format!("/book/report.csv?table={table}&amp;month=2026-11");
        assert!(
            phone.page("/book/report?month=2026-11").contains(&link),
            "{table}"
        );
        compared += 1;
    }
    assert!(compared >= 10, "{compared}");
    let sheet = phone.get("/book/report.xlsx?month=2026-11");
    assert_eq!(sheet.status, StatusCode::OK);
    assert!(sheet.body.starts_with("PK"));
}

#[test]
fn a_period_that_is_none_and_a_table_that_is_none_are_said_so() {
    let house = house();
    let phone = house.paired("Ada");
    for (query, said) in [
        ("?month=2026-13", "`2026-13` is no month"),
        ("?season=winter", "`winter` is no month"),
        ("?from=2026-11-20&to=2026-11-01", "From lies after to"),
        ("?month=2030-01", "it begins at Tue 1 Jan 2030 00:00"),
    ] {
        let answer = phone.get(&format!("/book/report{query}"));
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{query}");
        assert!(
            words(&answer.body).contains(said),
            "{query}: {}",
            words(&answer.body)
        );
    }
    let answer = phone.get("/book/report.csv?table=salt");
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
    assert!(
        words(&answer.body).contains("There are balance, breads"),
        "{}",
        words(&answer.body)
    );
}

#[test]
fn a_book_without_an_entry_has_a_report_without_a_picture() {
    let house = House::new();
    let page = house.paired("Ada").page("/book/report?whole=1");
    assert!(words(&page).contains("The book holds no entry for this period."));
    assert!(!page.contains("<figure") && !page.contains("NaN"), "{page}");
}

#[test]
fn a_lot_shows_why_its_moisture_is_known_so_with_the_lots_of_its_brewery() {
    let house = house();
    let phone = house.paired("Ada");
    let shelf = house.json("shelf");
    let lot = shelf["lots"][0]["lot"].as_str().unwrap();
    let link = format!("/lot/{lot}/moisture");
    assert!(phone.page(&format!("/lot/{lot}")).contains(&link));
    let page = phone.page(&link);
    let text = words(&page);
    assert!(
        text.contains("nobody can tell yet whether Alder Lane is steady"),
        "{text}"
    );
    assert!(text.contains("no bake is planned"), "{text}");
    assert!(
        page.contains("aria-label=\"Tested lots of Alder Lane (whole) by brew day"),
        "{page}"
    );
    assert!(!text.contains("draff "), "{text}");
}
