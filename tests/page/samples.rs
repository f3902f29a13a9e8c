//! Samples in the oven on the page: weighed one by one, and a form that was left empty books nothing.

use crate::house::{House, words};
use axum::http::StatusCode;

#[test]
fn pans_are_weighed_one_by_one_and_an_empty_form_books_nothing() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    let drying = || house.json(&format!("moisture {lot}"))["unfinished_samples"].clone();
    phone.book(
        &sample,
        &[
            ("pan_0", "14.2"),
            ("wet_0", "64.5"),
            ("pan_1", "13.9"),
            ("wet_1", "63.9"),
        ],
    );
    assert_eq!(drying(), 2);
    house.at("2026-11-20T14:00:00Z");
    phone.book(&sample, &[("dry_0", "27.9")]);
    assert_eq!(drying(), 2, "weighed once");
    let written = house.bytes();
    let empty = phone.fill(&sample, &[]);
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        words(&empty.body).contains("no pan was weighed"),
        "{}",
        words(&empty.body)
    );
    assert_eq!(house.bytes(), written);
    house.at("2026-11-20T14:30:00Z");
    phone.book(&sample, &[("dry_0", "27.9")]);
    assert_eq!(drying(), 1, "the first is dry");
    // Only the other is asked for. It lost weight, and then no more, as is ticked.
    for (time, twice) in [("15:00", None), ("15:20", Some(("twice", "1")))] {
        house.at(&format!("2026-11-20T{time}:00Z"));
        let page = words(&phone.page(&sample));
        assert!(
            page.contains("so far 13.9g, 63.9g") && !page.contains("Pan 2"),
            "{page}"
        );
        let mut typed = vec![("dry_0", if twice.is_some() { "27.5" } else { "30" })];
        typed.extend(twice);
        phone.book(&sample, &typed);
    }
    assert_eq!(drying(), 0);
    let known = house.json(&format!("moisture {lot}"));
    assert_eq!(known["samples"].as_array().unwrap().len(), 2, "{known}");
}
