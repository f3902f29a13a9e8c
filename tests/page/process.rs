//! `draff serve` as a process: it tells where it is, answers, logs what is wrong, and ends when it is told to.

use crate::serving::{Serving, book, draff};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::Duration;

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
        let version = today
            .split("data-version=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        let mut waits = TcpStream::connect(&serving.address).unwrap();
        let head = format!(
            "GET /changes?since={version} HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\n\r\n",
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
fn a_unit_of_systemd_is_printed() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let out = draff(&book)
        .args([
            "serve",
            "--lan",
            "--port",
            "8181",
            "--backups",
            "/media/a stick",
            "--unit",
        ])
        .output()
        .unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    let line = text
        .lines()
        .find(|line| line.starts_with("ExecStart="))
        .unwrap();
    let wanted = format!(
        "ExecStart=\"{}\" --book \"{}\" serve --port 8181 --lan --backups \"/media/a stick\"",
        this_program(),
        book.display()
    );
    assert_eq!(line, wanted);
}

fn this_program() -> String {
    let path = std::fs::canonicalize(env!("CARGO_BIN_EXE_draff")).unwrap();
    path.display().to_string()
}

#[test]
fn a_unit_keeps_the_options_of_every_command() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let unit = |before: &[&str]| {
        draff(&book)
            .args(before)
            .args(["serve", "--unit"])
            .output()
            .unwrap()
    };
    let out = unit(&["--us", "--quiet", "--by", "Ada B"]);
    let text = String::from_utf8(out.stdout).unwrap();
    let wanted = format!(
        "ExecStart=\"{}\" --book \"{}\" --by \"Ada B\" --us --quiet serve --port 8080\n",
        this_program(),
        book.display()
    );
    assert!(text.contains(&wanted), "{text}");
    // A moment would begin anew at each start.
    let out = unit(&["--now", "2026-11-20T10:30:00Z"]);
    assert_eq!(out.status.code(), Some(2));
    let talk = String::from_utf8(out.stderr).unwrap();
    assert!(talk.contains("leave --now out"), "{talk}");
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
