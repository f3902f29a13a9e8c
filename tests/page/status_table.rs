//! The table of statuses in `docs/page.md`, each row provoked: its status, all headers, and a book that stays as it was
//! where it refuses.

use crate::house::{Answered, House, Visitor, words};
use axum::body::{Body, Bytes, HttpBody};
use axum::http::header;
use hyper::body::Frame;
use std::collections::BTreeSet;
use std::convert::Infallible;
use std::path::Path;
use std::pin::Pin;
use std::task::{Context, Poll};

/// A body of which nothing ever arrives.
struct Never;

impl HttpBody for Never {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        Poll::Pending
    }
}

/// A use of grain as its form sends it.
struct Use {
    path: String,
    fields: Vec<(String, String)>,
}

impl Use {
    fn of(phone: &Visitor<'_>) -> Self {
        let house = phone.house;
        let booked = house.json("pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg");
        let path = format!("/lot/{}/use", booked["lot"].as_str().unwrap());
        let fields = phone.form(&path, &[("wet", "1"), ("bake", "bread")]);
        // That the device was seen is written down with its first page of the day.
        Self { path, fields }
    }

    /// With other values in some fields.
    fn with(&self, typed: &[(&str, &str)]) -> Vec<(&str, String)> {
        let value = |name: &str, filled: &str| {
            let over = typed.iter().find(|(known, _)| *known == name);
            over.map_or(filled, |(_, value)| value).to_owned()
        };
        let fields = self.fields.iter();
        fields
            .map(|(name, filled)| (name.as_str(), value(name, filled)))
            .collect()
    }

    fn sent(&self, phone: &Visitor<'_>, typed: &[(&str, &str)]) -> Answered {
        self.keyed(phone, typed, None)
    }

    fn keyed(&self, phone: &Visitor<'_>, typed: &[(&str, &str)], keyed: Option<&str>) -> Answered {
        let fields = self.with(typed);
        let fields: Vec<(&str, &str)> = fields
            .iter()
            .map(|(name, value)| (*name, value.as_str()))
            .collect();
        phone.post_keyed(&self.path, &fields, keyed)
    }
}

/// The statuses that the documents list.
fn listed() -> BTreeSet<u16> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/page.md");
    let text = std::fs::read_to_string(path).unwrap();
    let (_, table) = text.split_once("## Statuses").unwrap();
    let table = table.split("\n## ").next().unwrap();
    let first_cells = table.lines().filter_map(|line| line.split('|').nth(1));
    first_cells
        .filter_map(|cell| cell.trim().parse().ok())
        .collect()
}

/// Looks at one answer: the headers are on it, and a refusal says what to do next and leaves the book as it was.
fn looked_at(house: &House, before: &[u8], answer: &Answered, tried: &mut BTreeSet<u16>) {
    let status = answer.status.as_u16();
    for name in [
        header::CONTENT_SECURITY_POLICY,
        header::X_CONTENT_TYPE_OPTIONS,
        header::REFERRER_POLICY,
        header::X_FRAME_OPTIONS,
        header::CACHE_CONTROL,
    ] {
        assert!(answer.headers.contains_key(&name), "{status}: {name}");
    }
    if answer.status.is_client_error() || answer.status.is_server_error() {
        let shown = words(&answer.body);
        let next = [
            "Nothing was",
            "Today",
            "Wait ten minutes",
            "Go back",
            "Look at the newest",
        ];
        assert!(
            next.iter().any(|words| shown.contains(words)),
            "{status}: {shown}"
        );
        assert!(before == house.bytes(), "{status}: the book was changed");
    }
    tried.insert(status);
}

#[test]
fn each_row_of_the_table_is_answered_so() {
    let house = House::new();
    let phone = house.paired("Ada");
    let form = Use::of(&phone);
    let mut tried = BTreeSet::new();
    let mut row = |status: u16, answer: &Answered, before: &[u8]| {
        assert_eq!(answer.status.as_u16(), status, "{}", words(&answer.body));
        looked_at(&house, before, answer, &mut tried);
    };
    row(200, &phone.get("/shelf"), &[]);
    let milliseconds = 1_795_168_800_000_i64;
    let keyed = format!("{milliseconds} {milliseconds} 0");
    row(201, &form.keyed(&phone, &[], Some(&keyed)), &[]);
    let again = Use {
        fields: phone.form(&form.path, &[("wet", "1"), ("bake", "bread")]),
        ..form
    };
    row(303, &again.sent(&phone, &[]), &[]);
    let form = Use {
        fields: phone.form(&again.path, &[("wet", "1"), ("bake", "bread")]),
        ..again
    };
    phone.page("/");
    let before = house.bytes();

    row(400, &phone.get("/lot/%00"), &before);
    row(400, &phone.get("/lot/%ff"), &before);
    row(401, &house.stranger().get("/shelf"), &before);
    row(401, &form.sent(&house.stranger(), &[]), &before);
    let foreign = phone.request("GET", "/shelf").body(Body::empty()).unwrap();
    let (mut head, body) = foreign.into_parts();
    head.headers
        .insert(header::HOST, "book.example:8080".parse().unwrap());
    row(
        403,
        &house.send(axum::http::Request::from_parts(head, body)),
        &before,
    );
    row(
        403,
        &form.sent(&phone, &[("form_token", "of another device")]),
        &before,
    );
    row(404, &phone.get("/nowhere"), &before);
    row(404, &phone.get("/lot/COR-261120-99"), &before);
    row(405, &phone.post("/shelf", &[]), &before);
    row(409, &form.sent(&phone, &[("bench", "Eve")]), &before);
    let long = "x".repeat(65 * 1024);
    row(413, &form.sent(&phone, &[("bake", &long)]), &before);
    let plain = phone
        .request("POST", &form.path)
        .header(header::CONTENT_TYPE, "text/plain");
    row(
        415,
        &house.send(plain.body(Body::from("wet=1")).unwrap()),
        &before,
    );
    row(422, &form.sent(&phone, &[("wet", "")]), &before);
    row(422, &form.sent(&phone, &[("wet", "99")]), &before);
    let code = || {
        house
            .stranger()
            .post("/pair", &[("key", "ABCDEFGH"), ("whose", "Eve")])
    };
    for _ in 0..5 {
        row(422, &code(), &before);
    }
    row(429, &code(), &before);

    // The book is gone for a while.
    let away = house.book().with_extension("away");
    std::fs::rename(house.book(), &away).unwrap();
    let gone = form.sent(&phone, &[]);
    std::fs::rename(&away, house.book()).unwrap();
    row(503, &gone, &before);
    assert!(gone.body.contains("bread"), "what was typed is still there");

    row(408, &slow(&mut BTreeSet::new()), &before);

    // A defect: nothing of it reaches the visitor.
    house.break_clock();
    for defect in [phone.get("/shelf"), form.sent(&phone, &[])] {
        row(500, &defect, &before);
        let page = defect.body.to_lowercase();
        for inner in ["poison", "panic", "unwrap", ".rs", "book.draff"] {
            assert!(!page.contains(inner), "{inner}: {page}");
        }
    }
    assert_eq!(tried, listed());
}

/// A form that is begun and never ends, in a house that waits for none; its own book is looked at here.
fn slow(tried: &mut BTreeSet<u16>) -> Answered {
    let house = House::impatient();
    let phone = house.paired("Ada");
    let form = Use::of(&phone);
    phone.page("/");
    let before = house.bytes();
    let begun = phone
        .request("POST", &form.path)
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::new(Never))
        .unwrap();
    let answer = house.send(begun);
    looked_at(&house, &before, &answer, tried);
    assert!(
        words(&answer.body).contains("is not booked twice"),
        "{}",
        words(&answer.body)
    );
    // A whole form is taken as before: it was there at once.
    assert_eq!(form.sent(&phone, &[]).status.as_u16(), 303);
    answer
}
