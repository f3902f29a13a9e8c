//! What a form has filled in before anybody types, and what it takes.

use crate::house::{House, words};
use axum::http::StatusCode;

fn place_filled_in(house: &House, act: &str, lot: &str) -> String {
    let fields = house.paired("Ada").form(&format!("/lot/{lot}/{act}"), &[]);
    let to = fields.into_iter().find(|(name, _)| name == "to");
    to.expect("a place").1
}

#[test]
fn freezing_and_thawing_go_into_a_place_that_is_cold_enough() {
    let house = House::new();
    for place in [
        "change freezer --temp -10C",
        "add \"chest 1\" --kind freezer --temp -20C",
        "change fridge --temp 9C",
        "add walk-in --kind fridge --temp 3C",
    ] {
        house.draff(&format!("place {place}"));
    }
    let lot = house.lot("10kg");
    assert_eq!(place_filled_in(&house, "freeze", &lot), "chest 1");
    assert_eq!(place_filled_in(&house, "thaw", &lot), "walk-in");
}

#[test]
fn a_full_freezer_is_not_filled_in_where_another_has_room() {
    let house = House::new();
    house.draff("place add chest --kind freezer --temp -25C --capacity 4kg");
    let lot = house.lot("10kg");
    assert_eq!(place_filled_in(&house, "freeze", &lot), "freezer");
}

#[test]
fn where_no_freezer_is_cold_enough_somebody_has_to_choose() {
    let house = House::new();
    house.draff("place change freezer --temp -10C");
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/freeze");
    assert_eq!(place_filled_in(&house, "freeze", &lot), "");
    let asked = phone.fill(&path, &[]);
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    let told = words(&asked.body);
    assert!(told.contains("the place is missing"), "{told}");
    phone.book(&path, &[("to", "freezer")]);
}

#[test]
fn a_count_is_corrected_to_nothing() {
    let house = House::new();
    let lot = house.lot("10kg");
    house.draff(&format!("use {lot} 1kg --for rolls"));
    house.draff(&format!("count {lot} --wet 8kg"));
    let log = house.json("log");
    let number = |kind: &str| {
        let mut entries = log["entries"].as_array().unwrap().iter();
        let entry = entries.find(|entry| entry["kind"] == kind).unwrap();
        entry["entry"].to_string()
    };
    let phone = house.paired("Ada");
    let nothing = [("wet", "0"), ("reason", "the tub was empty")];
    // Of a use it is half typed.
    let refused = phone.fill(&format!("/entry/{}/correct", number("use")), &nothing);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    phone.book(&format!("/entry/{}/correct", number("count")), &nothing);
    assert_eq!(house.json("shelf")["lots"], serde_json::json!([]));
}
