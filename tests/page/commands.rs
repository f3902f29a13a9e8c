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

#[test]
fn the_moisture_of_a_joined_lot_leads_to_the_lot_that_holds_its_grain() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lots = [house.lot("4kg"), house.lot("5kg")];
    let joined = house.json(&format!("join {} {}", lots[0], lots[1]));
    let link = format!(
        "<a href=\"/lot/{}/moisture\">",
        joined["lot"].as_str().unwrap()
    );
    let page = phone.page(&format!("/lot/{}/moisture", lots[0]));
    assert!(page.contains(&link), "{page}");
    assert!(!words(&page).contains("draff "), "{page}");
}
