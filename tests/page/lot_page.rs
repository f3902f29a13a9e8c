//! The page of a lot: what the accepted plan does with it, and that its story is longer than what is shown.

use crate::house::{House, words};

#[test]
fn a_job_of_the_plan_stands_on_the_page_of_its_lot_as_on_the_shelf() {
    let (house, lot) = House::with_a_bake();
    let phone = house.paired("Ada");
    let address = format!("/lot/{lot}");
    assert!(!words(&phone.page(&address)).contains("Accepted plan"));
    house.draff("plan --accept");
    let shelf = words(&phone.page("/shelf"));
    let (_, job) = shelf
        .split_once("Accepted plan: freeze ")
        .unwrap_or_else(|| panic!("{shelf}"));
    let job = job.split(" by ").next().unwrap();
    let page = phone.page(&address);
    let told = words(&page);
    assert!(
        told.contains(&format!("Accepted plan: freeze {job} by ")),
        "{told}"
    );
    assert!(
        page.contains(&format!("href=\"/lot/{lot}/freeze?wet=")),
        "{page}"
    );
}

#[test]
fn each_lot_has_the_jobs_that_the_shelf_names_for_it() {
    let (house, lot) = House::with_a_bake();
    house.draff("plan --accept");
    house.draff(&format!("portion {lot} --into 2x3kg"));
    let other = house.lot("2kg");
    let phone = house.paired("Ada");
    let shelf = phone.page("/shelf");
    let mut with_a_job = 0;
    for line in shelf.split("<li class=\"lot\">").skip(1) {
        let (_, code) = line.split_once("href=\"/lot/").unwrap();
        let code = code.split('"').next().unwrap();
        let line = line.split("</li>").next().unwrap();
        let has_job = line.contains("Accepted plan");
        with_a_job += usize::from(has_job);
        assert!(!has_job || code != other, "{line}");
        let page = words(&phone.page(&format!("/lot/{code}")));
        assert_eq!(page.contains("Accepted plan"), has_job, "{page}");
    }
    assert!(with_a_job > 0, "{}", words(&shelf));
}

#[test]
fn a_long_story_leads_to_the_log_of_the_lot() {
    let house = House::new();
    let lot = house.lot("40kg");
    let phone = house.paired("Ada");
    let address = format!("/lot/{lot}");
    let log = format!("href=\"/book/log?about={lot}\"");
    assert!(!phone.page(&address).contains(&log));
    for minute in 10..31 {
        house.at(&format!("2026-11-20T10:{minute}:00Z"));
        house.draff(&format!("use {lot} --wet 1kg --for \"dough {minute}\""));
    }
    let page = phone.page(&address);
    assert!(page.contains(&log), "{page}");
    let (_, story) = page.split_once("<ol class=\"story\">").unwrap();
    let story = story.split("</ol>").next().unwrap();
    assert_eq!(story.matches("<li").count(), 20);
    assert!(story.contains("dough 30"), "the newest ones");
}

#[test]
fn usage_says_when_it_shows_the_newest_only() {
    let house = House::new();
    let lot = house.lot("40kg");
    let phone = house.paired("Ada");
    assert!(!words(&phone.page("/book/usage")).contains("The newest"));
    for use_of in 0..101 {
        let minute = use_of % 60;
        let hour = 11 + use_of / 60;
        house.at(&format!("2026-11-20T{hour}:{minute:02}:00Z"));
        house.draff(&format!("use {lot} --wet 100g --for buns"));
    }
    let told = words(&phone.page("/book/usage"));
    assert!(told.contains("The newest 100 of 101."), "{told}");
}
