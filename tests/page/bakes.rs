//! Bakes on the page: what stays as it was booked.

use crate::house::{House, words};

#[test]
fn a_new_time_of_a_bake_is_of_the_point_that_was_booked() {
    let house = House::with_pan_loaf();
    house.draff("bake add \"Quern pan loaf\" --at \"2026-11-28 16:00\" ready");
    let phone = house.paired("Ada");
    phone.book(
        "/bake/B-1S/change",
        &[("at_day", "2026-11-28"), ("at_time", "18:00")],
    );
    let bake = house.json("bake show B-1S");
    assert_eq!(bake["ready_at"], "2026-11-28T18:00:00+00:00", "{bake}");
    // The choices are the same where a bake is planned.
    let choices = |path: &str| {
        let page = phone.page(path);
        let list = page.split("name=\"point\"").nth(1).unwrap();
        let list = list.split("</select>").next().unwrap();
        list.replace(" selected", "")
    };
    assert_eq!(choices("/bake/B-1S/change"), choices("/bakes/add"));
}

#[test]
fn the_use_of_a_lot_leads_to_the_forms_of_bakes_only_where_it_may_be_used() {
    let (house, lot) = House::with_a_bake();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/use");
    let good = phone.page(&path);
    assert!(good.contains("href=\"/bake/B-1S/done\""), "{good}");
    let told = words(&good);
    assert!(
        told.contains("Its form names the lots of its sheet"),
        "{told}"
    );
    house.at("2026-11-28T10:00:00Z");
    let past = phone.page(&path);
    assert!(words(&past).contains("✕ past"), "{past}");
    assert!(!past.contains("/bake/"), "{past}");
    let unknown = house.json("pickup --source Brook --brewed today --mash-out 07:30 --wet 3kg");
    let unknown = unknown["lot"].as_str().unwrap();
    let page = phone.page(&format!("/lot/{unknown}/use"));
    assert!(words(&page).contains("? unknown"), "{page}");
    assert!(!page.contains("/bake/"), "{page}");
}
