//! The ticket on the page, and Today that names it when it is not true any more; the page of a brewery.

use crate::house::{House, words};
use axum::http::StatusCode;

#[test]
fn a_printed_ticket_is_named_on_today_when_the_date_moves() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/ticket");
    let page = phone.page(&path);
    assert!(
        page.contains(&format!("action=\"{path}/printed\"")),
        "{page}"
    );
    let before = house.json("log")["entries"].clone();
    let fields = phone.fields(&format!("{path}/printed"), &[]);
    house.at("2026-11-20T11:00:00Z");
    house.draff(&format!("move {lot} --to freezer"));
    // The paper was printed before the lot was moved: what stands on it is what counts.
    let hung = phone.post(&format!("{path}/printed"), &fields.all());
    assert_eq!(hung.status, StatusCode::SEE_OTHER, "{}", hung.body);
    let entries = house.json("log")["entries"].clone();
    assert_eq!(
        entries.as_array().unwrap().len(),
        before.as_array().unwrap().len() + 1,
        "the move alone is an entry"
    );
    let today = phone.page("/");
    assert!(today.contains(&format!("href=\"{path}\"")), "{today}");
    assert!(
        words(&today).contains("print a new ticket"),
        "{}",
        words(&today)
    );
    let again = phone.fields(&format!("{path}/printed"), &[]);
    assert!(
        phone
            .post(&format!("{path}/printed"), &again.all())
            .status
            .is_redirection()
    );
    assert!(!words(&phone.page("/")).contains("print a new ticket"));
    let rubbish = phone.fields(&format!("{path}/printed"), &[("says", "true tomorrow")]);
    let refused = phone.post(&format!("{path}/printed"), &rubbish.all());
    assert_eq!(refused.status, StatusCode::BAD_REQUEST);
}

#[test]
fn a_brewery_has_a_page_that_says_what_its_command_says() {
    let house = House::new();
    let mut last = String::new();
    for percent in [76, 77, 76, 78, 77] {
        let booked = house.json("pickup --source \"Tarn & Fell\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg");
        last = booked["lot"].as_str().unwrap().to_owned();
        house.draff(&format!("moisture {last} --lab {percent}%"));
    }
    let phone = house.paired("Ada");
    let lot = phone.page(&format!("/lot/{last}"));
    let path = "/source/Tarn%20%26%20Fell";
    assert!(lot.contains(&format!("href=\"{path}\"")), "{lot}");
    assert!(phone.page("/book/sources").contains(path));
    let page = phone.page(path);
    let shown = words(&page);
    let command = house.draff("source show \"Tarn & Fell\"");
    let next = command
        .split("whole: ")
        .nth(1)
        .unwrap()
        .split('\n')
        .next()
        .unwrap();
    assert!(
        shown.contains(&format!("The next lot, whole: {next}")),
        "{next}: {shown}"
    );
    assert!(
        page.contains("<svg") && page.contains(&format!("href=\"/lot/{last}\"")),
        "{page}"
    );
    assert!(page.contains("/trace?source=Tarn%20%26%20Fell"), "{page}");
    let recall = phone.page("/trace?source=Tarn%20%26%20Fell");
    assert!(recall.contains(&last));
    assert_eq!(phone.get("/source/Nowhere").status, StatusCode::NOT_FOUND);
}
