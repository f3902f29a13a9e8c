//! What the page's own script relies on: where an act led to, when it was typed, whether the book changed; and what is
//! asked back where an act would be booked otherwise than it was meant.

use crate::house::{House, filled_in, words};
use axum::http::{StatusCode, header};

fn milliseconds(moment: &str) -> i64 {
    moment
        .parse::<draffbook::quantity::Instant>()
        .unwrap()
        .timestamp_millis()
}

fn with_a_lot() -> (House, String) {
    let house = House::new();
    let lot = house.lot("10kg");
    (house, lot)
}

/// The newest entry of a kind.
fn newest(house: &House, kind: &str) -> serde_json::Value {
    let log = house.json("log");
    let entries = log["entries"].as_array().unwrap().clone();
    let found = entries.into_iter().rfind(|entry| entry["kind"] == kind);
    found.unwrap_or_else(|| panic!("no {kind} in {log}"))
}

#[test]
fn what_waited_is_booked_at_the_moment_at_which_it_was_typed() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/temperature");
    let fields = phone.fields(&path, &[("temp", "4")]);
    // Typed at 10:00, sent at 10:45, on a phone whose clock is an hour ahead all the time.
    house.at("2026-11-20T10:45:00Z");
    let typed = milliseconds("2026-11-20T11:00:00Z");
    let sent = milliseconds("2026-11-20T11:45:00Z");
    let keyed = format!("{typed} {sent} 3600000");
    let made = phone.post_keyed(&path, &fields.all(), Some(&keyed));
    assert_eq!(made.status, StatusCode::CREATED, "{}", words(&made.body));
    let entry = newest(&house, "reading");
    assert_eq!(entry["at"], "2026-11-20T10:00:00+00:00");
    let to = made.headers[header::LOCATION].to_str().unwrap();
    assert!(
        to.starts_with(&format!("/entry/{}", entry["entry"])),
        "{to}"
    );
    assert!(words(&phone.page(to)).contains("Booked."));
    // The answer was lost on the way: sent again an hour later, it is named and not booked again.
    house.at("2026-11-20T11:45:00Z");
    let keyed = format!("{typed} {} 3600000", sent + 3_600_000);
    let again = phone.post_keyed(&path, &fields.all(), Some(&keyed));
    assert_eq!(again.status, StatusCode::CREATED);
    assert_eq!(
        again.headers[header::LOCATION],
        made.headers[header::LOCATION]
    );
    assert_eq!(newest(&house, "reading")["entry"], entry["entry"]);
    // A pickup and a sample that waited: the same.
    let fields = phone.fields(
        "/grain-in/from?source=Alder+Lane",
        &[("mash_out_time", "09:30"), ("wet", "5"), ("temp", "30")],
    );
    let sample = phone.fields(
        &format!("/lot/{lot}/sample"),
        &[("pan_0", "12"), ("wet_0", "112"), ("dry_0", "35")],
    );
    house.at("2026-11-20T12:15:00Z");
    let half_an_hour = |now: &str| {
        let now = milliseconds(now);
        format!("{} {now} 0", now - 1_800_000)
    };
    let keyed = half_an_hour("2026-11-20T12:15:00Z");
    let made = phone.post_keyed(
        "/grain-in/from?source=Alder+Lane",
        &fields.all(),
        Some(&keyed),
    );
    assert_eq!(made.status, StatusCode::CREATED, "{}", words(&made.body));
    assert_eq!(newest(&house, "pickup")["at"], "2026-11-20T11:45:00+00:00");
    let made = phone.post_keyed(&format!("/lot/{lot}/sample"), &sample.all(), Some(&keyed));
    assert_eq!(made.status, StatusCode::CREATED, "{}", words(&made.body));
    assert_eq!(
        newest(&house, "moisture")["at"],
        "2026-11-20T11:45:00+00:00"
    );
}

#[test]
fn a_clock_that_was_turned_is_asked_about() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/temperature");
    let fields = phone.fields(&path, &[("temp", "4")]);
    house.at("2026-11-20T11:00:00Z");
    let now = milliseconds("2026-11-20T11:00:00Z");
    phone.page("/");
    let before = house.bytes();
    // An hour ahead when it was typed, right when it is sent.
    let keyed = format!("{} {now} 3600000", now + 3_000_000);
    let asked = phone.post_keyed(&path, &fields.all(), Some(&keyed));
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        words(&asked.body).contains("say when it was"),
        "{}",
        words(&asked.body)
    );
    assert!(
        asked.body.contains("value=\"4\""),
        "what was typed is still there"
    );
    assert!(before == house.bytes());
    // Asked once; then it is booked, at the time that was filled in.
    let mut fields = filled_in(&asked.body);
    fields
        .iter_mut()
        .find(|(name, _)| name == "at_time")
        .unwrap()
        .1 = "10:40".to_owned();
    let fields = crate::house::Fields(fields);
    let made = phone.post_keyed(&path, &fields.all(), Some(&keyed));
    assert_eq!(made.status, StatusCode::CREATED, "{}", words(&made.body));
    assert_eq!(newest(&house, "reading")["at"], "2026-11-20T10:40:00+00:00");
    let odd = phone.post_keyed(&path, &fields.all(), Some("yesterday"));
    assert_eq!(odd.status, StatusCode::BAD_REQUEST);
}

#[test]
fn what_was_typed_for_somebody_else_is_not_booked_under_another_name() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/temperature");
    let fields = phone.fields(&path, &[("temp", "4")]);
    phone.fill("/bench", &[("other", "Ben")]);
    let before = house.bytes();
    let refused = phone.post(&path, &fields.all());
    assert_eq!(refused.status, StatusCode::CONFLICT);
    let told = words(&refused.body);
    assert!(
        told.contains("typed for Ada") && told.contains("as Ben"),
        "{told}"
    );
    assert!(before == house.bytes());
    let again = crate::house::Fields(filled_in(&refused.body));
    assert_eq!(
        phone.post(&path, &again.all()).status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(newest(&house, "reading")["by"], "Ben");
    // What is booked already is named, whoever is at the bench by now.
    phone.fill("/bench", &[("other", "Ada")]);
    assert_eq!(
        phone.post(&path, &again.all()).status,
        StatusCode::SEE_OTHER
    );
}

#[test]
fn nothing_is_booked_while_the_clock_stands_before_the_newest_entry() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/use");
    let fields = phone.fields(&path, &[("wet", "1"), ("bake", "bread")]);
    house.draff("pickup --source Brook --brewed today --mash-out 07:30 --wet 3kg --now 2026-11-20T15:00:00Z");
    let before = house.bytes();
    let refused = phone.post(&path, &fields.all());
    assert_eq!(refused.status, StatusCode::SERVICE_UNAVAILABLE);
    let told = words(&refused.body);
    assert!(told.contains("2026-11-20T15:00:00+00:00"), "{told}");
    assert!(refused.body.contains("value=\"bread\""), "{told}");
    assert!(before == house.bytes());
    let is_told = || words(&phone.page("/shelf")).contains("Lots are shown as of that entry");
    assert!(is_told());
    // Struck at the machine, it is no reason any more.
    let wrong = newest(&house, "pickup")["entry"].to_string();
    house.draff(&format!("strike {wrong} --reason clock"));
    assert!(!is_told());
    assert_eq!(
        phone.post(&path, &fields.all()).status,
        StatusCode::SEE_OTHER
    );
}

#[test]
fn a_number_that_was_converted_is_shown_before_it_is_booked() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/give");
    for (typed, unit, shown) in [
        ("1,5", "kg", "1.5 kg"),
        ("2", "lb", "907.2 g"),
        ("8 oz", "g", "226.8 g"),
    ] {
        let before = house.bytes();
        let asked = phone.fill(
            &path,
            &[("wet", typed), ("wet_unit", unit), ("to", "the school")],
        );
        assert_eq!(asked.status, StatusCode::OK, "{typed}");
        let told = words(&asked.body);
        assert!(
            told.contains("Is this right?") && told.contains(shown),
            "{typed}: {told}"
        );
        assert!(before == house.bytes(), "{typed}");
        let seen = crate::house::Fields(filled_in(&asked.body));
        let booked = phone.post(&path, &seen.all());
        assert_eq!(
            booked.status,
            StatusCode::SEE_OTHER,
            "{}",
            words(&booked.body)
        );
    }
    let path = format!("/lot/{lot}/temperature");
    let asked = phone.fill(&path, &[("temp", "39"), ("temp_unit", "F")]);
    assert!(
        words(&asked.body).contains("39 °F is 3.9 °C"),
        "{}",
        words(&asked.body)
    );
    // A form that keeps nothing asks nothing.
    let sum = phone.fill(
        "/dough/water",
        &[("wet", "460,5"), ("flour", "900"), ("hydration", "70")],
    );
    assert!(
        words(&sum.body).contains("Pour first"),
        "{}",
        words(&sum.body)
    );
}

#[test]
fn codes_in_forms_are_whole() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let end = lot.rsplit('-').next().unwrap();
    let found = phone.get(&format!("/lot/{end}"));
    assert_eq!(found.status, StatusCode::NOT_FOUND);
    assert!(
        found.body.contains(&format!("/lot/{lot}")),
        "{}",
        words(&found.body)
    );
}

#[test]
fn open_pages_are_told_that_the_book_changed() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let page = phone.page("/shelf");
    let version = page
        .split("data-version=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .unwrap()
        .to_owned();
    assert_eq!(phone.page("/changes"), version);
    // By the command line, while the page waits for it.
    let told = std::thread::scope(|threads| {
        let waits = threads.spawn(|| phone.page(&format!("/changes?since={version}")));
        house.draff(&format!("use {lot} 1kg --for bread"));
        waits.join().unwrap()
    });
    assert_ne!(told, version);
    assert_eq!(phone.page("/changes?since=nothing"), told);
    // Who pairs and who is at the bench is no change of the book.
    house.paired("Ben");
    assert_eq!(phone.page("/changes"), told);
    // An answer to a form is not looked at again by itself.
    let answer = phone.fill(
        &format!("/lot/{lot}/use"),
        &[("wet", "99"), ("bake", "bread")],
    );
    assert!(!answer.body.contains("data-version"));
}

#[test]
fn open_pages_are_told_of_what_is_no_entry() {
    let (house, lot) = with_a_lot();
    let phone = house.paired("Ada");
    let loaf = house.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    let mut told = phone.page("/changes");
    for (minute, line) in [
        (10, format!("ticket {lot}")),
        (11, format!("ticket {lot}")),
        (12, format!("formula add {}", loaf.display())),
        (13, "place add box --kind fridge".to_owned()),
        (14, "settings tap 11C".to_owned()),
    ] {
        house.at(&format!("2026-11-20T10:{minute}:00Z"));
        house.draff(&line);
        let now = phone.page("/changes");
        assert_ne!(now, told, "{line}");
        told = now;
    }
}

#[test]
fn the_cookie_lives_on_while_it_is_used() {
    let house = House::new();
    let phone = house.paired("Ada");
    let cookie = |path: &str| {
        let found = phone.get(path).headers.get(header::SET_COOKIE).cloned();
        found.map(|cookie| cookie.to_str().unwrap().to_owned())
    };
    assert_eq!(cookie("/"), None);
    house.at("2026-11-21T10:00:00Z");
    let renewed = cookie("/shelf").unwrap();
    let own = phone.cookie.clone().unwrap();
    assert_eq!(
        renewed,
        format!("{own}; HttpOnly; SameSite=Lax; Path=/; Max-Age=2592000")
    );
    assert_eq!(cookie("/"), None, "once an hour");
}
