//! The form of a move takes the time at which grain was back.

use crate::house::House;

#[test]
fn grain_that_was_out_for_an_hour_is_booked_in_one_form() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("10kg");
    house.at("2026-11-20T20:00:00Z");
    let out = [
        ("to", "counter"),
        ("at_time", "13:00"),
        ("until_time", "14:00"),
    ];
    phone.book(&format!("/lot/{lot}/move"), &out);
    let tub = &house.json("shelf")["lots"][0];
    assert_eq!(tub["place"], "fridge", "{tub}");
    assert_eq!(tub["verdict"], "good", "{tub}");
}
