//! Acts that wait on a device: what the page's script takes for an answer about an act, and what not.

use crate::house::{Fields, House, words};
use axum::http::StatusCode;

/// The script goes by the form in an answer: where the act's form does not come back, the act waits on.
#[test]
fn a_refusal_of_the_device_is_no_answer_about_the_act() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/temperature");
    let refused = phone.fill(&path, &[]);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("name=\"act_id\""), "{}", refused.body);
    let fields = phone.fields(&path, &[("temp", "4")]);
    house.draff("device end 1");
    let refused = phone.post(&path, &fields.all());
    assert_eq!(refused.status, StatusCode::UNAUTHORIZED);
    assert!(
        !refused.body.contains("name=\"act_id\""),
        "{}",
        refused.body
    );
    // Paired anew, the same act is booked: the script sends it with the new token.
    let again = house.paired("Ada");
    let refused = again.post(&path, &fields.all());
    assert_eq!(refused.status, StatusCode::FORBIDDEN);
    assert!(
        !refused.body.contains("name=\"act_id\""),
        "{}",
        refused.body
    );
    let page = again.fields(&path, &[]);
    let token = page.0.into_iter().find(|(name, _)| name == "form_token");
    let mut kept = fields.0;
    kept.retain(|(name, _)| name != "form_token");
    kept.extend(token);
    let booked = again.post(&path, &Fields(kept).all());
    assert_eq!(
        booked.status,
        StatusCode::SEE_OTHER,
        "{}",
        words(&booked.body)
    );
}

#[test]
fn a_turned_clock_asks_for_no_field_that_a_form_lacks() {
    let house = House::new();
    let phone = house.paired("Ada");
    let path = "/book/places/add";
    let fields = phone.fields(path, &[("name", "box")]);
    let now = "2026-11-20T10:00:00Z"
        .parse::<draffbook::quantity::Instant>()
        .unwrap()
        .timestamp_millis();
    let asked = phone.post_keyed(path, &fields.all(), Some(&format!("{now} {now} 3600000")));
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    let told = words(&asked.body);
    assert!(
        told.contains("Nobody can tell when this was typed") && !told.contains("Not now"),
        "{told}"
    );
}
