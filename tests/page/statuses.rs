//! Statuses that need a story of their own: too many codes, a book that may not be written, uploads, other methods.

use crate::house::{House, words};
use axum::body::Body;
use axum::http::{StatusCode, header};

#[test]
fn who_tries_codes_is_stopped() {
    let house = House::new();
    let code = |code: &str| {
        house
            .stranger()
            .post("/pair", &[("key", code), ("whose", "Eve")])
    };
    for _ in 0..5 {
        assert_eq!(code("ABCDEFGH").status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let stopped = code("ABCDEFGH");
    assert_eq!(stopped.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(words(&stopped.body).contains("Wait ten minutes"));
    // A code that is right is stopped too, and a link is not.
    let invitation = house.served.invite().unwrap();
    assert_eq!(code(&invitation.code).status, StatusCode::TOO_MANY_REQUESTS);
    assert_eq!(code(&invitation.key).status, StatusCode::SEE_OTHER);
}

#[test]
fn a_book_that_may_not_be_written_still_shows_itself() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/use");
    let fields = phone.fields(&path, &[("wet", "1"), ("bake", "bread")]);
    let before = house.bytes();
    let mut rights = std::fs::metadata(house.book()).unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(house.book(), rights).unwrap();
    // The superuser writes into any file.
    let is_superuser = std::fs::OpenOptions::new()
        .append(true)
        .open(house.book())
        .is_ok();
    if !is_superuser {
        let sent = phone.post(&path, &fields.all());
        assert_eq!(sent.status, StatusCode::SERVICE_UNAVAILABLE);
        assert!(
            words(&sent.body).contains("Nothing was written"),
            "{}",
            words(&sent.body)
        );
    }
    assert_eq!(phone.get("/shelf").status, StatusCode::OK);
    assert!(before == house.bytes());
}

#[test]
fn uploads_are_bounded_and_files_that_are_none_are_named() {
    let house = House::new();
    let phone = house.paired("Ada");
    phone.page("/");
    let before = house.bytes();
    let upload = |name: &str, text: &str| {
        let fields = phone.form("/place/fridge/readings", &[]);
        phone.upload("/place/fridge/readings", &fields, (name, text))
    };
    let large = upload("air.csv", &"2026-11-20 08:00,4\n".repeat(2_700_000));
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(words(&large.body).contains("Nothing was booked"));
    for (name, text) in [
        ("photo.jpg", "\u{1}\u{2}\u{3}"),
        ("empty.csv", ""),
        ("words.csv", "this is\nno table\n"),
    ] {
        let refused = upload(name, text);
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        assert!(
            words(&refused.body).contains("Nothing was booked"),
            "{name}: {}",
            words(&refused.body)
        );
    }
    assert!(before == house.bytes());
}

#[test]
fn a_field_sent_twice_and_other_methods_book_nothing() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/use");
    let mut fields = phone.form(&path, &[("wet", "1"), ("bake", "bread")]);
    fields.push(("wet".to_owned(), "9".to_owned()));
    let fields = crate::house::Fields(fields);
    phone.page("/");
    let before = house.bytes();
    let twice = phone.post(&path, &fields.all());
    assert_eq!(
        twice.status,
        StatusCode::BAD_REQUEST,
        "{}",
        words(&twice.body)
    );
    assert!(before == house.bytes());
    // HEAD tells of a page what GET would, and shows nothing.
    let head = phone.request("HEAD", "/shelf").body(Body::empty()).unwrap();
    let head = house.send(head);
    assert_eq!((head.status, head.body.len()), (StatusCode::OK, 0));
    assert!(head.headers.contains_key(header::CONTENT_SECURITY_POLICY));
    let options = phone.request("OPTIONS", &path).body(Body::empty()).unwrap();
    assert_eq!(house.send(options).status, StatusCode::METHOD_NOT_ALLOWED);
}
