//! Who comes in and who does not: hostile requests from a table, each with its status, all headers, and the book as it
//! was, byte for byte.

use crate::house::{Answered, HOST, House, words};
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use draffbook::web::{self, Right, Work};

/// Headers that stand on every answer (ASVS 5.0, 3.4).
#[track_caller]
fn check_headers(answer: &Answered, what: &str) {
    let value = |name: header::HeaderName| {
        let found = answer.headers.get(&name);
        found
            .unwrap_or_else(|| panic!("{what} has no {name}"))
            .to_str()
            .unwrap()
            .to_owned()
    };
    let policy = value(header::CONTENT_SECURITY_POLICY);
    for part in [
        "default-src 'none'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ] {
        assert!(policy.contains(part), "{what}: {policy}");
    }
    assert!(!policy.contains("unsafe"), "{policy}");
    assert_eq!(value(header::X_CONTENT_TYPE_OPTIONS), "nosniff", "{what}");
    assert_eq!(value(header::REFERRER_POLICY), "same-origin", "{what}");
    let cache = value(header::CACHE_CONTROL);
    assert!(
        cache == "no-store" || cache.contains("immutable"),
        "{what}: {cache}"
    );
    assert!(
        !answer
            .headers
            .contains_key(header::STRICT_TRANSPORT_SECURITY)
    );
}

/// An address of a route with its variable parts filled in.
fn filled(path: &str, lot: &str) -> String {
    path.replace("{lot}", lot)
        .replace("{bake}", "B-1S")
        .replace("{entry}", "1")
        .replace("{plan}", "none")
        .replace("{place}", "fridge")
        .replace("{source}", "Alder%20Lane")
        .replace("{setting}", "tap")
        .replace("{device}", "1")
        .replace("{token}", "none")
}

#[test]
fn every_route_has_its_headers_and_asks_who_comes() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let before = house.bytes();
    let mut forms = 0;
    for route in web::routes() {
        let path = filled(route.path, &lot);
        let known = phone.get(&path);
        check_headers(&known, &path);
        assert!(
            known.status == StatusCode::OK || known.status == StatusCode::NOT_FOUND,
            "{path}: {} {}",
            known.status,
            words(&known.body)
        );
        let stranger = house.stranger().get(&path);
        check_headers(&stranger, &path);
        let is_open = route.right == Right::Anyone;
        assert_eq!(
            stranger.status == StatusCode::UNAUTHORIZED,
            !is_open,
            "{path}"
        );
        if !is_open {
            assert!(!stranger.body.contains(&lot), "{path} shows nothing");
        }
        let posted = house.stranger().post(&path, &[]);
        check_headers(&posted, &path);
        match route.work {
            Work::Show(_) | Work::Changes => {
                assert_eq!(posted.status, StatusCode::METHOD_NOT_ALLOWED, "{path}")
            }
            Work::Form(_) if is_open => {
                assert_eq!(posted.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
            }
            Work::Form(_) => {
                forms += 1;
                assert_eq!(posted.status, StatusCode::UNAUTHORIZED, "{path}");
                // Without the token of the device.
                let forged = phone.post(&path, &[]);
                check_headers(&forged, &path);
                assert_eq!(forged.status, StatusCode::FORBIDDEN, "{path}");
            }
        }
    }
    assert!(forms > 10, "forms were found: {forms}");
    assert!(before == house.bytes(), "the book is as it was");
}

#[test]
fn hostile_requests_change_nothing() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let ended = house.paired("Ben");
    house.draff("device end 2");
    let path = format!("/lot/{lot}/use");
    let fields = phone.form(&path, &[("wet", "1"), ("bake", "bread")]);
    let body = form_urlencoded::Serializer::new(String::new())
        .extend_pairs(&fields)
        .finish();
    let before = house.bytes();
    let form = "application/x-www-form-urlencoded";
    let builder = |host: &str, origin: Option<&str>, cookie: Option<&str>| {
        let mut request = Request::builder()
            .method("POST")
            .uri(&path)
            .header(header::CONTENT_TYPE, form)
            .header(header::HOST, host);
        for (name, value) in [(header::ORIGIN, origin), (header::COOKIE, cookie)] {
            if let Some(value) = value {
                request = request.header(name, value);
            }
        }
        request.body(Body::from(body.clone())).unwrap()
    };
    let own = format!("http://{HOST}");
    let cookie = phone.cookie.clone().unwrap();
    let (cookie, old) = (cookie.as_str(), ended.cookie.clone().unwrap());
    let made_up = cookie.split('=').next().unwrap().to_owned() + "=" + &"0".repeat(32);
    let mut two_hosts = builder(HOST, Some(&own), Some(cookie));
    two_hosts
        .headers_mut()
        .append(header::HOST, "evil.example".parse().unwrap());
    let mut no_host = builder(HOST, Some(&own), Some(cookie));
    no_host.headers_mut().remove(header::HOST);
    let typed = |kind: &str, bytes: Vec<u8>| {
        phone
            .request("POST", &path)
            .header(header::CONTENT_TYPE, kind)
            .body(Body::from(bytes))
            .unwrap()
    };
    let get = |path: &str| phone.request("GET", path).body(Body::empty()).unwrap();
    let method = |method: &str| phone.request(method, "/shelf").body(Body::empty()).unwrap();
    let table: Vec<(&str, Request<Body>, u16)> = vec![
        ("no cookie", builder(HOST, Some(&own), None), 401),
        (
            "a made-up cookie",
            builder(HOST, Some(&own), Some(&made_up)),
            401,
        ),
        (
            "an ended device",
            builder(HOST, Some(&own), Some(&old)),
            401,
        ),
        ("no origin", builder(HOST, None, Some(cookie)), 403),
        (
            "origin null",
            builder(HOST, Some("null"), Some(cookie)),
            403,
        ),
        (
            "another origin",
            builder(HOST, Some("http://evil.example"), Some(cookie)),
            403,
        ),
        (
            "another port",
            builder(HOST, Some("http://bench.test:9"), Some(cookie)),
            403,
        ),
        (
            "another host",
            builder(
                "evil.example:8080",
                Some("http://evil.example:8080"),
                Some(cookie),
            ),
            403,
        ),
        ("two hosts", two_hosts, 403),
        ("no host", no_host, 403),
        ("too much", typed(form, vec![b'a'; 70_000]), 413),
        ("text", typed("text/plain", body.clone().into_bytes()), 415),
        ("JSON", typed("application/json", b"{}".to_vec()), 415),
        ("no UTF-8", typed(form, b"wet=%ff%fe".to_vec()), 400),
        ("NUL", typed(form, b"wet=1%00".to_vec()), 400),
        (
            "parts without a boundary",
            typed("multipart/form-data", b"x".to_vec()),
            400,
        ),
        (
            "cut parts",
            typed("multipart/form-data; boundary=x", b"--x\r\nConte".to_vec()),
            400,
        ),
        ("no token", typed(form, b"wet=1&bake=bread".to_vec()), 403),
        ("up in the path", get("/part/..%2f..%2fbook.draff"), 404),
        ("NUL in the path", get("/lot/%00"), 400),
        ("no UTF-8 in the path", get("/lot/%ff"), 400),
        ("an unknown page", get("/nowhere"), 404),
        ("an unknown lot", get("/lot/XYZ-261120-1A"), 404),
        ("no number", get("/entry/abc"), 404),
        ("PUT", method("PUT"), 405),
        ("DELETE", method("DELETE"), 405),
        ("TRACE", method("TRACE"), 405),
    ];
    for (what, request, status) in table {
        let answer = house.send(request);
        assert_eq!(
            answer.status.as_u16(),
            status,
            "{what}: {}",
            words(&answer.body)
        );
        check_headers(&answer, what);
        assert!(
            !answer.body.contains("src/") && !answer.body.contains(".draff"),
            "{what}: {}",
            answer.body
        );
        assert!(before == house.bytes(), "{what} changed the book");
    }
    // The form itself is sound.
    assert_eq!(
        house.send(builder(HOST, Some(&own), Some(cookie))).status,
        303
    );
}

#[test]
fn a_device_that_may_only_look_books_nothing() {
    let house = House::new();
    let ada = house.paired("Ada");
    let fields = ada.form("/devices", &[]);
    let fields: Vec<(&str, &str)> = fields
        .iter()
        .filter(|(name, _)| name != "writes")
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    let made = ada.post("/devices", &fields);
    assert_eq!(made.status, 200);
    let code = made
        .body
        .split("<p class=\"tub\">")
        .nth(1)
        .and_then(|rest| rest.split('<').next())
        .unwrap()
        .to_owned();
    let guest = house.stranger().paired_by(&code, "Guest");
    guest.page("/");
    guest.page("/shelf");
    assert_eq!(guest.get("/bench").status, 403);
    assert_eq!(guest.get("/grain-in/from").status, 403);
    // The code was spent.
    let again = house
        .stranger()
        .post("/pair", &[("key", &code), ("whose", "Eve")]);
    assert_eq!(again.status, 422);
    let devices = house.json("device");
    assert_eq!(devices["devices"][1]["paired_by"], "Ada");
    assert_eq!(devices["devices"][1]["may_write"], false);
}

#[test]
fn looking_at_an_invitation_spends_nothing() {
    let house = House::new();
    let invitation = house.served.invite().unwrap();
    let path = format!("/pair?key={}", invitation.key);
    for _ in 0..3 {
        assert_eq!(house.stranger().get(&path).status, 200);
    }
    house.stranger().paired_by(&invitation.key, "Ada").page("/");
}

#[test]
fn names_are_data_on_every_page() {
    let house = House::new();
    let name = "<script>alert(1)</script>\"'&";
    let phone = house.paired(name);
    let page = phone.page("/");
    assert!(!page.contains("<script>"), "{page}");
    assert!(page.contains("&lt;script&gt;"), "{page}");
    phone.book(
        "/grain-in/from",
        &[
            ("source", "<b>Alder</b>"),
            ("mash_out_time", "07:30"),
            ("wet", "10"),
            ("temp", "4"),
            ("note", "\"><i>x"),
        ],
    );
    for path in [
        "/",
        "/shelf",
        "/grain-in",
        "/book/log",
        "/book/usage",
        "/book/report?whole=1",
        "/devices",
    ] {
        let page = phone.page(path);
        assert!(
            !page.contains("<b>Alder") && !page.contains("<i>x"),
            "{path}"
        );
    }
}

#[test]
fn a_book_that_cannot_be_used_is_said_so_and_nothing_typed_is_lost() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/use");
    let fields = phone.form(&path, &[("wet", "1"), ("bake", "rye & wheat")]);
    let fields: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    let kept = house.bytes();
    let away = house.book().with_extension("away");
    let newer = |bytes: &[u8]| {
        std::fs::write(house.book(), bytes).unwrap();
        let book = rusqlite::Connection::open(house.book()).unwrap();
        book.execute_batch("PRAGMA user_version = 99; CREATE TABLE of_later (id INTEGER)")
            .unwrap();
    };
    type Spoil<'a> = Box<dyn Fn() + 'a>;
    let spoils: [(&str, Spoil<'_>); 4] = [
        (
            "gone",
            Box::new(|| std::fs::rename(house.book(), &away).unwrap()),
        ),
        (
            "empty",
            Box::new(|| std::fs::write(house.book(), b"").unwrap()),
        ),
        (
            "no book",
            Box::new(|| std::fs::write(house.book(), vec![b'x'; 9000]).unwrap()),
        ),
        ("of a newer program", Box::new(|| newer(&kept))),
    ];
    for (what, spoil) in spoils {
        spoil();
        let shown = phone.get("/");
        check_headers(&shown, what);
        let sent = phone.post(&path, &fields);
        check_headers(&sent, what);
        assert!(
            sent.body.contains("rye &amp; wheat"),
            "{what}: {}",
            sent.body
        );
        assert!(
            words(&sent.body).contains("Send again"),
            "{what}: {}",
            words(&sent.body)
        );
        for answer in [&shown, &sent] {
            assert_eq!(answer.status, 503, "{what}");
            for inner in ["book.draff", "SQL", "sql", "schema"] {
                assert!(!answer.body.contains(inner), "{what}: {}", answer.body);
            }
        }
        std::fs::write(house.book(), &kept).unwrap();
    }
    // Locked by another program for longer than anybody waits: the same again, then booked.
    let other = rusqlite::Connection::open(house.book()).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let locked = phone.post(&path, &fields);
    assert_eq!(locked.status, 503, "{}", words(&locked.body));
    assert!(
        words(&locked.body).contains("Nothing was written"),
        "{}",
        words(&locked.body)
    );
    other.execute_batch("ROLLBACK").unwrap();
    let again = crate::house::filled_in(&locked.body);
    let again: Vec<(&str, &str)> = again
        .iter()
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    assert_eq!(phone.post(&path, &again).status, 303);
    assert_eq!(house.json("usage")["usage"].as_array().unwrap().len(), 1);
    assert!(
        house.log.lock().unwrap().len() >= 9,
        "whoever runs it is told what is wrong"
    );
}
