//! A process of `draff serve` for one test.

#![allow(dead_code, reason = "two test programs use it, each a part of it")]

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

/// Runs one line of words on a book; gives what it answers.
pub fn run(book: &Path, line: &str) -> String {
    let out = draff(book)
        .args(shlex::split(line).unwrap())
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).unwrap()
}

/// Where a server answers.
pub struct At<'a>(pub &'a str);

impl At<'_> {
    /// Sends a request and gives the whole answer.
    pub fn send(&self, request: &str) -> std::io::Result<String> {
        let mut stream = TcpStream::connect(self.0)?;
        stream.set_read_timeout(Some(Duration::from_secs(40)))?;
        stream.write_all(request.replace("HOST", self.0).as_bytes())?;
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
}

impl Serving {
    /// Who asks it.
    pub fn at(&self) -> At<'_> {
        At(&self.address)
    }

    pub fn get(&self, path: &str, cookie: &str) -> std::io::Result<String> {
        self.at().get(path, cookie)
    }

    /// Pairs a device and gives its cookie.
    pub fn paired(&self, whose: &str) -> String {
        let answer = self
            .at()
            .post("/pair", "", &format!("key={}&whose={whose}", self.key))
            .unwrap();
        let cookie = answer
            .split("set-cookie: ")
            .nth(1)
            .unwrap_or_else(|| panic!("{answer}"));
        cookie.split(';').next().unwrap().to_owned()
    }

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
            if let Some((_, rest)) = line.split_once("served at ") {
                let (_, rest) = rest.split_once("://").unwrap();
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
pub fn book(folder: &Path) -> (std::path::PathBuf, String) {
    let book = folder.join("book.draff");
    run(
        &book,
        "new-book --zone Europe/Dublin --now 2026-01-02T08:00:00Z",
    );
    let text = run(
        &book,
        "--json --now 2026-11-20T10:00:00Z pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg",
    );
    let booked: serde_json::Value = serde_json::from_str(&text).unwrap();
    (book, booked["lot"].as_str().unwrap().to_owned())
}

/// No test that fails or forgets it leaves a server behind.
impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
