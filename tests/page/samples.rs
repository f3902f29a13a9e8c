//! Samples in the oven on the page: weighed one by one, and a form that was left empty books nothing.

use crate::house::{House, words};
use axum::http::StatusCode;

#[test]
fn pans_are_weighed_one_by_one_and_an_empty_form_books_nothing() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    let drying = || house.json(&format!("moisture {lot}"))["unfinished_samples"].clone();
    phone.book(
        &sample,
        &[
            ("pan_0", "14.2"),
            ("wet_0", "64.5"),
            ("pan_1", "13.9"),
            ("wet_1", "63.9"),
        ],
    );
    assert_eq!(drying(), 2);
    house.at("2026-11-20T14:00:00Z");
    phone.book(&sample, &[("dry_0", "27.9")]);
    assert_eq!(drying(), 2, "weighed once");
    let written = house.bytes();
    let empty = phone.fill(&sample, &[]);
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        words(&empty.body).contains("no pan was weighed"),
        "{}",
        words(&empty.body)
    );
    assert_eq!(house.bytes(), written);
    house.at("2026-11-20T14:30:00Z");
    phone.book(&sample, &[("dry_0", "27.9")]);
    assert_eq!(drying(), 1, "the first is dry");
    // Only the other is asked for. It lost weight, and then no more, as is ticked.
    for (time, twice) in [("15:00", None), ("15:20", Some(("twice", "1")))] {
        house.at(&format!("2026-11-20T{time}:00Z"));
        let page = words(&phone.page(&sample));
        assert!(
            page.contains("Booked: empty 13.9 g, wet 63.9 g") && !page.contains("Pan 2"),
            "{page}"
        );
        let mut typed = vec![("dry_0", if twice.is_some() { "27.5" } else { "30" })];
        typed.extend(twice);
        phone.book(&sample, &typed);
    }
    assert_eq!(drying(), 0);
    let known = house.json(&format!("moisture {lot}"));
    assert_eq!(known["samples"].as_array().unwrap().len(), 2, "{known}");
}

#[test]
fn the_weights_that_are_booked_are_confirmed_by_the_box_alone() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    let taken = "2026-11-20T10:00:00+00:00";
    phone.book(&sample, &[("pan_0", "14.2"), ("wet_0", "64.5")]);
    // Nothing was weighed dried yet: the box says nothing.
    let empty = phone.fill(&sample, &[("twice", "1")]);
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    house.at("2026-11-20T14:00:00Z");
    // The page's script says when it was typed: the sample was taken earlier all the same.
    let fields = phone.fields(&sample, &[("dry_0", "27.9")]);
    house.at("2026-11-20T14:00:01Z");
    let keyed = |now: i64| format!("{} {now} 0", now - 1_000);
    let sent = chrono::DateTime::parse_from_rfc3339("2026-11-20T14:00:01Z").unwrap();
    let made = phone.post_keyed(
        &sample,
        &fields.all(),
        Some(&keyed(sent.timestamp_millis())),
    );
    assert_eq!(made.status, StatusCode::CREATED, "{}", words(&made.body));
    let newest = || house.json("log --last 1")["entries"][0].clone();
    assert_eq!(newest()["at"], taken);
    let page = words(&phone.page(&sample));
    assert!(
        page.contains("Pan 1 now. Booked: empty 14.2 g, wet 64.5 g, dried 27.9 g"),
        "{page}"
    );
    // Minutes later it is too soon, as with a weight that is typed.
    house.at("2026-11-20T14:05:00Z");
    let soon = phone.fill(&sample, &[("twice", "1")]);
    assert_eq!(soon.status, StatusCode::UNPROCESSABLE_ENTITY);
    house.at("2026-11-20T14:20:00Z");
    phone.book(&sample, &[("twice", "1")]);
    let known = house.json(&format!("moisture {lot}"));
    assert_eq!(known["unfinished_samples"], 0, "{known}");
    assert_eq!(newest()["at"], taken);
}

#[test]
fn a_new_sample_may_have_been_taken_earlier() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    house.at("2026-11-20T12:00:00Z");
    phone.book(
        &format!("/lot/{lot}/sample"),
        &[("pan_0", "14.2"), ("wet_0", "64.5"), ("at_time", "11:15")],
    );
    let entry = &house.json("log --last 1")["entries"][0];
    assert_eq!(entry["at"], "2026-11-20T11:15:00+00:00");
}

#[test]
fn the_weights_of_a_test_are_corrected_in_one_act() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let newest = || {
        let log = house.json("log --last 1");
        log["entries"][0]["entry"].as_i64().unwrap()
    };
    let moisture = || house.json(&format!("moisture {lot}"))["samples"].clone();
    house.draff(&format!(
        "moisture {lot} --weighing 14g,114g,37g --weighing 12g,112g,36g"
    ));
    let correct = format!("/entry/{}/correct", newest());
    let page = words(&phone.page(&correct));
    assert!(page.contains("With wet grain, booked 112 g"), "{page}");
    let wrong = phone.fill(&correct, &[("weight_1_2", "120"), ("reason", "misread")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    phone.book(&correct, &[("weight_1_2", "35"), ("reason", "misread")]);
    house.draff("check");
    let first = moisture();
    phone.book(
        &format!("/entry/{}/correct", newest()),
        &[("weight_1_2", "36"), ("reason", "it was right")],
    );
    assert_ne!(moisture(), first, "the second sample alone changed");
    assert_eq!(moisture()[0], first[0]);
    // A sample that is still drying stays one, and a weight that was not booked can be added.
    house.draff(&format!("moisture {lot} --weighing 14g,115g"));
    let correct = format!("/entry/{}/correct", newest());
    phone.book(&correct, &[("weight_0_1", "116"), ("reason", "misread")]);
    let drying = || house.json(&format!("moisture {lot}"))["unfinished_samples"].clone();
    assert_eq!(drying(), 1);
    phone.book(
        &format!("/entry/{}/correct", newest()),
        &[("weight_0_2", "38"), ("reason", "forgotten")],
    );
    assert_eq!(drying(), 1, "one dried weight alone does not end it");
    // The figure of a laboratory.
    house.draff(&format!("moisture {lot} --lab 78%"));
    let correct = format!("/entry/{}/correct", newest());
    phone.book(&correct, &[("lab", "77"), ("reason", "misread")]);
    let said = words(&phone.page(&format!("/entry/{}", newest())));
    assert!(said.contains("77"), "{said}");
}

/// (114 − 33) ÷ 100 = 81 %: arithmetic.
#[test]
fn a_pan_that_got_heavier_stays_in_the_oven_also_where_it_is_weighed_twice() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    house.json(&format!("moisture {lot} --weighing 14g,114g,36g,33g"));
    house.at("2026-11-20T14:00:00Z");
    phone.book(&sample, &[("dry_0", "38"), ("twice", "1")]);
    let known = house.json(&format!("moisture {lot}"));
    assert_eq!(known["unfinished_samples"], 1, "{known}");
    assert!((known["at_least"].as_f64().unwrap() - 0.81).abs() < 1e-9);
    let page = words(&phone.page(&sample));
    assert!(
        page.contains("dried 36 g, dried 33 g, dried 38 g"),
        "{page}"
    );
}

#[test]
fn the_form_of_a_sample_says_to_stay_beside_it() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    let stay = "Stay beside a sample that dries";
    let first = words(&phone.page(&sample));
    assert!(
        first.contains(stay) && first.contains("Microwave:"),
        "{first}"
    );
    house.json(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    let next = words(&phone.page(&sample));
    assert_eq!(next.matches(stay).count(), 1, "{next}");
}

/// A form that was opened before the sample went in has fields for another dish.
#[test]
fn another_dish_is_booked_only_where_none_is_in_the_oven_or_it_is_said() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    let typed = [("pan_0", "14.2"), ("wet_0", "115.4"), ("dry_0", "50")];
    let fields = phone.fields(&sample, &typed);
    house.draff(&format!("moisture {lot} 14.2 114.5 g"));
    let refused = phone.post_keyed(&sample, &fields.all(), None);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let said = words(&refused.body);
    assert!(said.contains("with wet grain 114.5 g"), "{said}");
    // Two dishes that weigh the same.
    let lot = house.lot("6kg");
    let sample = format!("/lot/{lot}/sample");
    let typed = [("pan_0", "14"), ("wet_0", "114"), ("dry_0", "37")];
    phone.book(&sample, &typed);
    let [pan, wet, _] = typed;
    phone.book(&sample, &[pan, wet, ("dry_0", "36"), ("new_dish", "1")]);
    let known = house.json(&format!("moisture {lot}"));
    assert_eq!(known["samples"].as_array().unwrap().len(), 2, "{known}");
    assert_eq!(known["unfinished_samples"], 0);
}
