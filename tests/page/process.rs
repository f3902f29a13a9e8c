//! `draff serve` as a process: it tells where it is, answers, logs what is wrong, and ends when it is told to.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A process that serves, and its first words.
pub struct Serving {
    pub process: Child,
    pub address: String,
    /// The key of its invitation.
    pub key: String,
}

pub fn draff(book: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_draff"));
    command.env_clear().env("DRAFF_BOOK", book);
    command
}

impl Serving {
    /// Serves the book at a free port.
    pub fn new(book: &Path, more: &[&str]) -> Self {
        let mut process = draff(book)
            .args(["serve", "--port", "0"])
            .args(more)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let (mut address, mut key) = (None, None);
        while address.is_none() || key.is_none() {
            let line = lines.next().expect("it says where it is").unwrap();
            if let Some((_, rest)) = line.split_once("served at http://") {
                address = Some(rest.trim_end_matches('/').to_owned());
            }
            if let Some((_, rest)) = line.split_once("/pair?key=") {
                key = Some(rest.to_owned());
            }
        }
        // What else it says is read, so that it never waits for a reader.
        std::thread::spawn(move || lines.for_each(drop));
        Self {
            process,
            address: address.unwrap(),
            key: key.unwrap(),
        }
    }

    /// Sends a request and gives the whole answer.
    pub fn send(&self, request: &str) -> std::io::Result<String> {
        let mut stream = TcpStream::connect(&self.address)?;
        stream.set_read_timeout(Some(Duration::from_secs(40)))?;
        stream.write_all(request.replace("HOST", &self.address).as_bytes())?;
        let mut answer = String::new();
        stream.read_to_string(&mut answer)?;
        Ok(answer)
    }

    pub fn get(&self, path: &str, cookie: &str) -> std::io::Result<String> {
        self.send(&format!(
            "GET {path} HTTP/1.1\r\nHost: HOST\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
        ))
    }

    pub fn post(&self, path: &str, cookie: &str, body: &str) -> std::io::Result<String> {
        self.send(&format!(
            "POST {path} HTTP/1.1\r\nHost: HOST\r\nOrigin: http://HOST\r\nCookie: {cookie}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        ))
    }

    /// Pairs a device and gives its cookie.
    pub fn paired(&self, whose: &str) -> String {
        let answer = self
            .post("/pair", "", &format!("key={}&whose={whose}", self.key))
            .unwrap();
        let cookie = answer
            .split("set-cookie: ")
            .nth(1)
            .unwrap_or_else(|| panic!("{answer}"));
        cookie.split(';').next().unwrap().to_owned()
    }

    /// Sends a signal and waits for the end; gives how long it took, the code and what stood on stderr.
    pub fn end(mut self, signal: i32) -> (Duration, Option<i32>, String) {
        let begun = Instant::now();
        tell(&self.process, signal);
        let code = self.process.wait().unwrap().code();
        let took = begun.elapsed();
        let mut talk = String::new();
        self.process
            .stderr
            .take()
            .unwrap()
            .read_to_string(&mut talk)
            .unwrap();
        (took, code, talk)
    }
}

fn tell(process: &Child, signal: i32) {
    let sent = Command::new("kill")
        .arg(format!("-{signal}"))
        .arg(process.id().to_string())
        .status()
        .unwrap();
    assert!(sent.success());
}

/// A new book with one lot; gives the code.
fn book(folder: &Path) -> (std::path::PathBuf, String) {
    let book = folder.join("book.draff");
    let ran = |line: &str| {
        let out = draff(&book)
            .args(shlex::split(line).unwrap())
            .output()
            .unwrap();
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        String::from_utf8(out.stdout).unwrap()
    };
    ran("new-book --zone Europe/Dublin --now 2026-01-02T08:00:00Z");
    let text = ran(
        "--json --now 2026-11-20T10:00:00Z pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg",
    );
    let booked: serde_json::Value = serde_json::from_str(&text).unwrap();
    (book, booked["lot"].as_str().unwrap().to_owned())
}

const NOW: [&str; 2] = ["--now", "2026-11-20T10:30:00Z"];

#[test]
fn it_ends_within_five_seconds_when_it_is_told_to() {
    const SIGINT: i32 = 2;
    const SIGTERM: i32 = 15;
    for signal in [SIGINT, SIGTERM] {
        let folder = tempfile::tempdir().unwrap();
        let (book, lot) = book(folder.path());
        let serving = Serving::new(&book, &NOW);
        let cookie = serving.paired("Ada");
        let today = serving.get("/shelf", &cookie).unwrap();
        assert!(
            today.starts_with("HTTP/1.1 200") && today.contains(&lot),
            "{today}"
        );
        // A page that waits for changes, and a client that never ends its request, do not hold it up.
        let mark = today
            .split("data-mark=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        let mut waits = TcpStream::connect(&serving.address).unwrap();
        let head = format!(
            "GET /changes?since={mark} HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\n\r\n",
            serving.address
        );
        waits.write_all(head.as_bytes()).unwrap();
        // The server has taken both connections when it answers a third.
        let mut slow = TcpStream::connect(&serving.address).unwrap();
        slow.write_all(b"GET / HTTP/1.1\r\nHo").unwrap();
        serving.get("/shelf", &cookie).unwrap();
        let (took, code, talk) = serving.end(signal);
        assert!(took < Duration::from_secs(5), "{took:?}");
        assert_eq!(code, Some(0), "{talk}");
        // Whose request was being worked on is answered; one that had not begun is closed.
        let mut answer = String::new();
        waits.read_to_string(&mut answer).unwrap();
        assert!(
            answer.is_empty() || answer.starts_with("HTTP/1.1 200"),
            "{answer}"
        );
    }
}

#[test]
fn what_is_wrong_with_the_book_is_told_where_it_runs() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let serving = Serving::new(&book, &NOW);
    let cookie = serving.paired("Ada");
    let away = folder.path().join("away");
    std::fs::rename(&book, &away).unwrap();
    let answer = serving.get("/", &cookie).unwrap();
    assert!(answer.starts_with("HTTP/1.1 503"), "{answer}");
    assert!(!answer.contains("book.draff"), "{answer}");
    let style = answer
        .split("href=\"/part/")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let style = serving.get(&format!("/part/{style}"), "").unwrap();
    assert!(
        style.starts_with("HTTP/1.1 200"),
        "the page keeps its looks: {style}"
    );
    std::fs::rename(&away, &book).unwrap();
    assert!(
        serving
            .get("/", &cookie)
            .unwrap()
            .starts_with("HTTP/1.1 200")
    );
    let (_, _, talk) = serving.end(2);
    assert!(talk.contains("book.draff"), "{talk}");
}

#[test]
fn a_port_that_is_taken_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let out = draff(&book)
        .args(["serve", "--port", &port])
        .output()
        .unwrap();
    assert_eq!(out.status.code(), Some(1));
    let talk = String::from_utf8(out.stderr).unwrap();
    assert!(talk.contains(&port) && talk.contains("--port 0"), "{talk}");
}
