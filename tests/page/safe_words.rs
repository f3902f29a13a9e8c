//! What the page says of grain that may not be used.

use crate::house::{House, words};

#[test]
fn a_past_lot_is_to_be_thrown_away() {
    let house = House::new();
    let lot = house.lot("6kg");
    let phone = house.paired("Ada");
    let says = || words(&phone.page(&format!("/lot/{lot}"))).contains("Throw it away");
    assert!(!says());
    house.at("2026-12-20T10:00:00Z");
    assert!(says());
}

#[test]
fn the_word_of_somebody_has_its_temperature_and_its_moment() {
    let house = House::new();
    let booked =
        house.json("pickup --source \"Alder Lane\" --brewed today --mash-out 05:30 --wet 10kg");
    let lot = booked["lot"].as_str().unwrap();
    let phone = house.paired("Ada");
    let asked = words(&phone.page(&format!("/lot/{lot}/cooled")));
    assert!(
        asked.contains("all of it was at 5 °C or colder by then")
            && asked.contains("It had to be by"),
        "{asked}"
    );
}
