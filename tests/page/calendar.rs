//! What is due as a calendar; copies of the book while it is served.

use crate::house::{House, words};
use axum::http::StatusCode;

#[test]
fn what_is_due_goes_into_a_calendar_and_nothing_else_can_be_read_there() {
    let house = House::new();
    let phone = house.paired("Ada");
    let booked = phone.book(
        "/grain-in/from",
        &[
            ("source", "Alder, Lane"),
            ("mash_out_time", "09:30"),
            ("wet", "10"),
            ("temp", "58"),
        ],
    );
    let lot = house.json("shelf")["lots"][0]["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let address = format!("/lot/{lot}/due.ics");
    assert!(
        booked.contains(&format!("href=\"{address}\"")),
        "{}",
        words(&booked)
    );
    let file = phone.page(&address);
    // RFC 5545: lines end in CR LF, none is longer than 75 octets, the alarm stands inside the event.
    assert!(file.split("\r\n").all(|line| line.len() <= 75), "{file}");
    assert!(!file.replace("\r\n", "").contains('\n'), "{file}");
    let whole = file.replace("\r\n ", "");
    let due = house.json("today")["due"][0]["by"]
        .as_str()
        .unwrap()
        .to_owned();
    let start = due.replace(['-', ':'], "").replace("+0000", "Z");
    for line in [
        "BEGIN:VCALENDAR".to_owned(),
        format!("DTSTART:{start}"),
        format!("UID:draffbook/book/due/{lot}/temperature/{start}"),
        "DESCRIPTION:! Food law comes first.".to_owned(),
        "\\n! Hot grain scalds: insulated gloves\\, lids on".to_owned(),
        "TRIGGER:-PT10M".to_owned(),
        "END:VALARM\r\nEND:VEVENT".to_owned(),
    ] {
        assert!(whole.contains(&line), "{line}: {whole}");
    }
    assert_eq!(phone.page("/due.ics"), file);
    // Subscribed to, without a cookie.
    let today = phone.page("/");
    let token = today
        .split("/calendar/")
        .nth(1)
        .unwrap()
        .split('<')
        .next()
        .unwrap()
        .to_owned();
    let stranger = house.stranger();
    assert_eq!(stranger.page(&format!("/calendar/{token}")), file);
    assert_eq!(stranger.get("/due.ics").status, StatusCode::UNAUTHORIZED);
    assert_eq!(
        stranger
            .get(&format!("/calendar/{}", "0".repeat(32)))
            .status,
        StatusCode::NOT_FOUND
    );
    // The token is no cookie, and ends with its device.
    let mut thief = house.stranger();
    let name = phone.cookie.clone().unwrap();
    thief.cookie = Some(format!("{}={token}", name.split('=').next().unwrap()));
    assert_eq!(thief.get("/").status, StatusCode::UNAUTHORIZED);
    house.draff("device end 1");
    assert_eq!(
        stranger.get(&format!("/calendar/{token}")).status,
        StatusCode::NOT_FOUND
    );
}

#[test]
fn a_form_that_freezes_or_thaws_says_how_to_pack() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("10kg");
    for (act, is_said) in [("freeze", true), ("thaw", true), ("move", false)] {
        let form = words(&phone.page(&format!("/lot/{lot}/{act}")));
        assert_eq!(
            form.contains("No airtight or vacuum packs"),
            is_said,
            "{act}"
        );
    }
}

#[test]
fn a_copy_a_day_is_kept_and_an_old_one_is_told() {
    let house = House::with_backups();
    let phone = house.paired("Ada");
    assert!(words(&phone.page("/")).contains("no copy of the book was made yet"));
    for (now, copies) in [
        ("2026-11-20T10:00:00Z", 1),
        ("2026-11-20T18:00:00Z", 1),
        ("2026-11-21T10:00:00Z", 2),
    ] {
        house.at(now);
        house.served.back_up().unwrap();
        assert_eq!(house.copies().len(), copies, "{now}");
        assert!(
            !words(&phone.page("/")).contains("copy of the book"),
            "{now}"
        );
    }
    house.at("2026-11-23T10:00:00Z");
    let told = words(&phone.page("/"));
    assert!(
        told.contains("the newest copy of the book is of Sat 21 Nov 10:00"),
        "{told}"
    );
    // A server that starts again finds what is there; sixteen days leave fourteen copies, each whole.
    for day in 23..39 {
        let moment = "2026-11-01T10:00:00Z"
            .parse::<draffbook::quantity::Instant>()
            .unwrap();
        let now = moment + chrono::Duration::days(day - 1);
        house.at(&now.to_rfc3339());
        house.served.back_up().unwrap();
    }
    assert_eq!(house.copies().len(), 14);
    house.draff(&format!("--book {} check", house.copies()[13].display()));
}
