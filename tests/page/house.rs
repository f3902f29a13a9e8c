//! A house for one test: a book in a folder of its own, a clock that a test sets, devices that come to the page.

use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode, header};
use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::quantity::{Instant, Zone};
use draffbook::render::numbers::Units;
use draffbook::web::{self, ServerOptions, Shared};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tower::ServiceExt;

pub const HOST: &str = "bench.test:8080";

pub struct House {
    folder: tempfile::TempDir,
    now: Arc<Mutex<Instant>>,
    pub served: Arc<Shared>,
    pub log: Arc<Mutex<Vec<String>>>,
    runtime: tokio::runtime::Runtime,
}

/// What was answered.
#[derive(Debug)]
pub struct Answered {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: String,
}

/// Names and values of a form.
pub struct Fields(pub Vec<(String, String)>);

impl Fields {
    pub fn all(&self) -> Vec<(&str, &str)> {
        self.0
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .collect()
    }
}

/// A device with its cookie; without one nobody knows it.
#[derive(Clone)]
pub struct Visitor<'a> {
    pub house: &'a House,
    pub cookie: Option<String>,
}

impl House {
    /// With a new book in the zone Europe/Dublin on Friday 20 November 2026, 10:00.
    pub fn new() -> Self {
        Self::of(false, web::FORM_TAKES)
    }

    /// The same with the pan loaf of the demo.
    pub fn with_pan_loaf() -> Self {
        let house = Self::new();
        let loaf = house.file(
            "loaf.toml",
            include_str!("../../demo-data/formulas/pan-loaf.toml"),
        );
        house.draff(&format!("formula add {}", loaf.display()));
        house
    }

    /// The same with a bake of it in December and 10 kg of grain; gives the lot's code too.
    pub fn with_a_bake() -> (Self, String) {
        let house = Self::with_pan_loaf();
        house.draff("bake add \"Quern pan loaf\" --at \"2026-12-01 16:00\" ready");
        let lot = house.lot("10kg");
        (house, lot)
    }

    /// With a folder that takes a copy a day.
    pub fn with_backups() -> Self {
        Self::of(true, web::FORM_TAKES)
    }

    /// The same, where a form that is not there at once is too slow.
    pub fn impatient() -> Self {
        Self::of(false, Duration::ZERO)
    }

    /// The copies in that folder, the oldest first.
    pub fn copies(&self) -> Vec<PathBuf> {
        let found = std::fs::read_dir(self.folder.path().join("copies")).unwrap();
        let mut copies: Vec<PathBuf> = found.map(|found| found.unwrap().path()).collect();
        copies.sort();
        copies
    }

    fn of(has_backups: bool, form_takes: Duration) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let now: Instant = "2026-11-20T10:00:00Z".parse().unwrap();
        let now = Arc::new(Mutex::new(now));
        let (clock, log) = (now.clone(), Arc::new(Mutex::new(Vec::new())));
        let lines = log.clone();
        let served = Shared::new(ServerOptions {
            book: folder.path().join("book.draff"),
            units: Units::Metric,
            clock: Arc::new(move || *clock.lock().unwrap()),
            hosts: vec![HOST.to_owned()],
            backups: has_backups.then(|| folder.path().join("copies")),
            log: Arc::new(move |line| lines.lock().unwrap().push(line.to_owned())),
            tls: None,
            form_takes,
            greeting_takes: web::GREETING_TAKES,
        });
        let house = Self {
            folder,
            now,
            served: Arc::new(served),
            log,
            runtime: tokio::runtime::Builder::new_multi_thread()
                .worker_threads(2)
                .enable_all()
                .build()
                .unwrap(),
        };
        house.draff("new-book --zone Europe/Dublin --now 2026-01-02T08:00:00Z");
        house
    }

    pub fn at(&self, now: &str) -> &Self {
        *self.now.lock().unwrap() = now.parse().unwrap();
        self
    }

    /// From now on whoever asks for the time panics: a defect in the middle of each request.
    pub fn break_clock(&self) {
        let now = self.now.clone();
        let broken = std::thread::spawn(move || {
            let _held = now.lock().unwrap();
            panic!("the clock is broken on purpose");
        });
        broken.join().unwrap_err();
    }

    pub fn book(&self) -> PathBuf {
        self.folder.path().join("book.draff")
    }

    /// The bytes of the book.
    pub fn bytes(&self) -> Vec<u8> {
        std::fs::read(self.book()).unwrap()
    }

    /// Runs a command line on the same book at the same moment; gives its answer.
    #[track_caller]
    pub fn draff(&self, line: &str) -> String {
        let around = Surroundings {
            clock: *self.now.lock().unwrap(),
            now: None,
            book: Some(self.book()),
            usual_book: None,
            zone: || (Zone::named("Europe/Dublin").unwrap(), None),
        };
        let words = shlex::split(&format!("draff {line}")).unwrap();
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = commands::run(
            words.into_iter().map(Into::into),
            &around,
            &mut out,
            &mut err,
        );
        let err = String::from_utf8(err).unwrap();
        assert_eq!(code, 0, "{line}\n{err}");
        String::from_utf8(out).unwrap()
    }

    pub fn json(&self, line: &str) -> serde_json::Value {
        serde_json::from_str(&self.draff(&format!("--json {line}"))).unwrap()
    }

    /// Books in a tub of this morning, cooled in time; gives its code.
    pub fn lot(&self, wet: &str) -> String {
        let booked = self.json(&format!(
            "pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet {wet}"
        ));
        booked["lot"].as_str().unwrap().to_owned()
    }

    /// A file in the folder of the book.
    pub fn file(&self, name: &str, text: &str) -> PathBuf {
        let path = self.folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path
    }

    /// Sends any request.
    pub fn send(&self, request: Request<Body>) -> Answered {
        let router = web::router(self.served.clone());
        self.runtime.block_on(async {
            let response = router.oneshot(request).await.unwrap();
            let (head, body) = response.into_parts();
            let bytes = to_bytes(body, usize::MAX).await.unwrap();
            Answered {
                status: head.status,
                headers: head.headers,
                body: String::from_utf8_lossy(&bytes).into_owned(),
            }
        })
    }

    /// A device that nobody paired.
    pub fn stranger(&self) -> Visitor<'_> {
        Visitor {
            house: self,
            cookie: None,
        }
    }

    /// A device paired at the machine.
    pub fn paired(&self, whose: &str) -> Visitor<'_> {
        let invitation = self.served.invite().unwrap();
        self.stranger().paired_by(&invitation.key, whose)
    }
}

impl<'a> Visitor<'a> {
    /// Pairs by a key or a code.
    #[track_caller]
    pub fn paired_by(&self, key: &str, whose: &str) -> Visitor<'a> {
        let answer = self.post("/pair", &[("key", key), ("whose", whose)]);
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
        let cookie = answer.headers[header::SET_COOKIE].to_str().unwrap();
        Visitor {
            house: self.house,
            cookie: Some(cookie.split(';').next().unwrap().to_owned()),
        }
    }

    /// A request of this device with what a browser sends.
    pub fn request(&self, method: &str, path: &str) -> axum::http::request::Builder {
        let mut request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, HOST);
        if method == "POST" {
            request = request.header(header::ORIGIN, format!("http://{HOST}"));
        }
        if let Some(cookie) = &self.cookie {
            request = request.header(header::COOKIE, cookie);
        }
        request
    }

    pub fn get(&self, path: &str) -> Answered {
        let request = self.request("GET", path).body(Body::empty()).unwrap();
        self.house.send(request)
    }

    /// A page that is there.
    #[track_caller]
    pub fn page(&self, path: &str) -> String {
        let answer = self.get(path);
        assert_eq!(answer.status, StatusCode::OK, "{path}\n{}", answer.body);
        answer.body
    }

    /// Sends fields as they are.
    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answered {
        self.post_keyed(path, fields, None)
    }

    /// Sends fields as the page's script does, with the clocks of the device.
    pub fn post_keyed(&self, path: &str, fields: &[(&str, &str)], keyed: Option<&str>) -> Answered {
        let body = form_urlencoded::Serializer::new(String::new())
            .extend_pairs(fields)
            .finish();
        let mut request = self
            .request("POST", path)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        if let Some(keyed) = keyed {
            request = request.header("draff-typed", keyed);
        }
        self.house.send(request.body(Body::from(body)).unwrap())
    }

    /// The bytes of a file that is there.
    pub fn send_get(&self, path: &str) -> Vec<u8> {
        let request = self.request("GET", path).body(Body::empty()).unwrap();
        let router = web::router(self.house.served.clone());
        self.house.runtime.block_on(async {
            let response = router.oneshot(request).await.unwrap();
            assert_eq!(response.status(), StatusCode::OK, "{path}");
            to_bytes(response.into_body(), usize::MAX)
                .await
                .unwrap()
                .to_vec()
        })
    }

    /// Sends fields with a file, as a browser does.
    pub fn upload(
        &self,
        path: &str,
        fields: &[(String, String)],
        (name, text): (&str, &str),
    ) -> Answered {
        let mut body = String::new();
        for (field, value) in fields {
            body.push_str(&format!(
                "--edge\r\nContent-Disposition: form-data; name=\"{field}\"\r\n\r\n{value}\r\n"
            ));
        }
        body.push_str(&format!("--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\nContent-Type: text/csv\r\n\r\n{text}\r\n--edge--\r\n"));
        let request = self
            .request("POST", path)
            .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
            .body(Body::from(body))
            .unwrap();
        self.house.send(request)
    }

    /// The form of a page as a browser sends it: all that is filled in, with what somebody types over it.
    #[track_caller]
    pub fn form(&self, path: &str, typed: &[(&str, &str)]) -> Vec<(String, String)> {
        let mut fields = filled_in(&self.page(path));
        for (name, value) in typed {
            match fields.iter_mut().find(|(known, _)| known == name) {
                Some((_, filled)) => *filled = (*value).to_owned(),
                None => fields.push(((*name).to_owned(), (*value).to_owned())),
            }
        }
        fields
    }

    /// The same as slices.
    #[track_caller]
    pub fn fields(&self, path: &str, typed: &[(&str, &str)]) -> Fields {
        Fields(self.form(path, typed))
    }

    /// Opens a form, fills it in and sends it.
    #[track_caller]
    pub fn fill(&self, path: &str, typed: &[(&str, &str)]) -> Answered {
        let fields = self.form(path, typed);
        let fields: Vec<(&str, &str)> = fields
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .collect();
        self.post(path, &fields)
    }

    /// The same where it must be booked: gives the page of its entry.
    #[track_caller]
    pub fn book(&self, path: &str, typed: &[(&str, &str)]) -> String {
        let answer = self.fill(path, typed);
        assert_eq!(
            answer.status,
            StatusCode::SEE_OTHER,
            "{path}\n{}",
            words(&answer.body)
        );
        let to = answer.headers[header::LOCATION].to_str().unwrap();
        assert!(to.starts_with("/entry/"), "{to}");
        self.page(to)
    }
}

/// Names and values of the first form that is posted, as a browser would send them untouched.
pub fn filled_in(page: &str) -> Vec<(String, String)> {
    let Some((_, form)) = page.split_once("<form method=\"post\"") else {
        panic!("no form on the page: {}", words(page));
    };
    let form = form.split("</form>").next().unwrap();
    let mut fields = Vec::new();
    for tag in form.split('<').skip(1) {
        let attribute = |name: &str| attribute(tag, name);
        if tag.starts_with("input") {
            let kind = attribute("type").unwrap_or_default();
            let is_sent = !matches!(kind.as_str(), "checkbox" | "file") || tag.contains(" checked");
            if let (true, Some(name)) = (is_sent, attribute("name")) {
                fields.push((name, attribute("value").unwrap_or_default()));
            }
        } else if tag.starts_with("select") {
            let name = attribute("name").unwrap();
            let rest = &form[form.find(tag).unwrap()..];
            let options = rest.split("</select>").next().unwrap();
            let chosen = options
                .split("<option")
                .skip(1)
                .find(|option| option.contains(" selected"))
                .or(options.split("<option").nth(1))
                .and_then(|option| self::attribute(option, "value"));
            fields.push((name, chosen.unwrap_or_default()));
        }
    }
    fields
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let tag = tag.split('>').next()?;
    let (_, value) = tag.split_once(&format!(" {name}=\""))?;
    let value = value.split('"').next()?;
    Some(
        value
            .replace("&quot;", "\"")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&amp;", "&"),
    )
}

/// The words of a page without its marks.
pub fn words(page: &str) -> String {
    let mut out = String::new();
    for part in page.split('<') {
        out.push_str(part.split_once('>').map_or(part, |(_, text)| text));
        out.push(' ');
    }
    let out = out.replace("&amp;", "&").replace("&quot;", "\"");
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every row of every table that entries are kept in: not who may come in, and not which acts were sent.
pub fn tables(book: &std::path::Path) -> BTreeMap<String, Vec<Vec<rusqlite::types::Value>>> {
    let book = rusqlite::Connection::open(book).unwrap();
    let names: Vec<String> = book
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let outside = ["device", "act_once", "book_identity"];
    names
        .into_iter()
        .filter(|name| !outside.contains(&name.as_str()))
        .map(|name| {
            let mut statement = book.prepare(&format!("SELECT * FROM \"{name}\"")).unwrap();
            let columns = statement.column_count();
            let rows = statement
                .query_map([], |row| (0..columns).map(|at| row.get(at)).collect())
                .unwrap()
                .collect::<Result<_, _>>()
                .unwrap();
            (name, rows)
        })
        .collect()
}
