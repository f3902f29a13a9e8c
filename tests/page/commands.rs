//! Commands that warnings name are links on the page.

use crate::house::{House, words};

#[test]
fn a_warning_leads_to_the_act_and_names_no_command() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let give = || {
        phone.book(
            &format!("/lot/{lot}/give"),
            &[("wet", "1"), ("to", "Thornbury farm")],
        )
    };
    give();
    let told = give();
    assert!(words(&told).contains("if it was typed twice"), "{told}");
    let link = told.split("if it was typed twice").nth(1).unwrap();
    assert!(
        link.trim_start_matches(", ")
            .starts_with("<a href=\"/entry/"),
        "{link}"
    );
    assert!(!words(&told).contains("draff "), "{}", words(&told));
}
