//! The codes that go on tubs after an act: each new lot has its own, large, with the way to its ticket.

use crate::house::House;
use axum::http::{StatusCode, header};

/// The codes that are shown to be written down.
fn tubs(page: &str) -> Vec<String> {
    let shown = page.split("<p class=\"tub\">").skip(1);
    shown
        .map(|rest| rest.split('<').next().unwrap().to_owned())
        .collect()
}

/// The codes of the lots on hand, but for some.
fn on_hand_but(house: &House, but: &[&str]) -> Vec<String> {
    let shelf = house.json("shelf");
    let mut codes: Vec<String> = shelf["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| lot["lot"].as_str().unwrap().to_owned())
        .filter(|code| !but.contains(&code.as_str()))
        .collect();
    codes.sort();
    codes
}

#[track_caller]
fn each_has_its_ticket(page: &str, mut wanted: Vec<String>) {
    let mut shown = tubs(page);
    shown.sort();
    wanted.sort();
    assert_eq!(shown, wanted, "{page}");
    for code in &shown {
        assert!(page.contains(&format!("href=\"/lot/{code}/ticket\"")));
    }
}

#[test]
fn every_tub_that_was_parted_has_its_code_and_its_ticket() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let page = phone.book(
        &format!("/lot/{lot}/portion"),
        &[("number", "3"), ("each", "2")],
    );
    let made = on_hand_but(&house, &[&lot]);
    assert_eq!(made.len(), 3);
    each_has_its_ticket(&page, made);
}

#[test]
fn every_pickup_of_a_file_has_its_code_and_its_ticket() {
    let house = House::new();
    let phone = house.paired("Ada");
    let fields = phone.form("/grain-in/file", &[]);
    let text = "source,brewed,wet\nAlder Lane,2026-11-19,5kg\nBrook,2026-11-19,3kg\n";
    let sent = phone.upload("/grain-in/file", &fields, ("pickups.csv", text));
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let page = phone.page(sent.headers[header::LOCATION].to_str().unwrap());
    each_has_its_ticket(&page, on_hand_but(&house, &[]));
}

#[test]
fn a_lot_that_was_made_of_another_shows_its_code() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let page = phone.book(
        &format!("/lot/{lot}/treat"),
        &[("step", "blend"), ("wet_in", "4"), ("wet_out", "4")],
    );
    each_has_its_ticket(&page, on_hand_but(&house, &[&lot]));
    // Of a use nothing is to be written.
    let page = phone.book(
        &format!("/lot/{lot}/use"),
        &[("wet", "1"), ("bake", "buns")],
    );
    assert_eq!(tubs(&page), Vec::<String>::new());
}
