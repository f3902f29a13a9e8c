//! Ten minutes of a busy bakery at the page: 20 devices that look and book all the time. What the process holds at the end is
//! compared with what it held after the first minute.

use super::{between, memory};
use crate::serving::Serving;
use anyhow::Context;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

const DEVICES: usize = 20;
/// Each of so many requests of a device is an act.
const AN_ACT_IN: usize = 20;
/// Requests that a new server answers on the book that the ten minutes left, to tell a leak from a book that grew.
const AFTERWARDS: usize = 2_000;
/// A device waits so long before it asks again.
const PAUSE: Duration = Duration::from_millis(100);
const FIRST: Duration = Duration::from_secs(60);
const LASTS: Duration = Duration::from_secs(600);
/// Memory at the end may be so many times that after the first minute.
const GROWS: f64 = 1.25;
/// Files and sockets that may be open at the end beyond those after the first minute: two books with what belongs to
/// them, for the requests that are under way just then differ.
const FILES: usize = 8;

/// What a process holds.
#[derive(Debug, Clone, Copy)]
struct Held {
    kilobytes: u64,
    files: usize,
}

/// Runs for ten minutes on a book.
pub fn soak(book: &Path, now: &str) -> anyhow::Result<()> {
    let serving = Serving::new(book, &["--now", now]);
    let cookie = serving.paired("Ada");
    let shelf = serving.get("/shelf", &cookie)?;
    let lots = lots(&shelf);
    anyhow::ensure!(!lots.is_empty(), "a lot is on hand");
    let (over, looked, acted, again) = (
        AtomicBool::new(false),
        AtomicUsize::new(0),
        AtomicUsize::new(0),
        AtomicUsize::new(0),
    );
    std::thread::scope(|threads| {
        let devices: Vec<_> = (0..DEVICES)
            .map(|number| {
                let (lot, cookie) = (&lots[number % lots.len()], &cookie);
                let (over, looked, acted, again) = (&over, &looked, &acted, &again);
                let address = serving.address.as_str();
                threads.spawn(move || {
                    let mut device = Device::new(address, cookie)?;
                    let form = device.get(&format!("/lot/{lot}/temperature"))?;
                    let token = between(&form, "name=\"form_token\" value=\"", "\"")
                        .context("a token")?
                        .to_owned();
                    let pages = ["/", "/shelf", &format!("/lot/{lot}"), "/book/log"];
                    for turn in 0.. {
                        if over.load(Ordering::Relaxed) {
                            break;
                        }
                        if turn % AN_ACT_IN == 0 {
                            let act = format!("form_token={token}&act_id=soak{number:02}{turn:08}&temp=4&temp_unit=C");
                            // Where the book was locked for too long, the page's script sends it again.
                            while !device.post(&format!("/lot/{lot}/temperature"), &act)? {
                                again.fetch_add(1, Ordering::Relaxed);
                            }
                            acted.fetch_add(1, Ordering::Relaxed);
                        } else {
                            device.get(pages[(turn + number) % pages.len()])?;
                            looked.fetch_add(1, Ordering::Relaxed);
                        }
                        std::thread::sleep(PAUSE);
                    }
                    anyhow::Ok(())
                })
            })
            .collect();
        std::thread::sleep(FIRST);
        let first = held(&serving)?;
        println!(
            "after a minute: {} MB, {} files and sockets",
            first.kilobytes / 1_000,
            first.files
        );
        std::thread::sleep(LASTS - FIRST);
        let last = held(&serving)?;
        over.store(true, Ordering::Relaxed);
        println!(
            "after ten minutes: {} MB, {} files and sockets",
            last.kilobytes / 1_000,
            last.files
        );
        for device in devices {
            device.join().expect("a device ends")?;
        }
        let (looked, acted) = (
            looked.load(Ordering::Relaxed),
            acted.load(Ordering::Relaxed),
        );
        println!(
            "{looked} pages and {acted} acts of {DEVICES} devices, each answered; {} acts were sent again",
            again.load(Ordering::Relaxed)
        );
        let is_small = last.kilobytes as f64 <= first.kilobytes as f64 * GROWS;
        anyhow::ensure!(is_small, "memory grew more than {GROWS} times");
        anyhow::ensure!(
            last.files <= first.files + FILES,
            "more than {FILES} files were left open"
        );
        anyhow::Ok(())
    })?;
    let begun = Instant::now();
    serving.end(15);
    println!("ended in {:.1} s", begun.elapsed().as_secs_f64());
    let serving = Serving::new(book, &["--now", now]);
    let cookie = serving.paired("Ada");
    let mut device = Device::new(&serving.address, &cookie)?;
    for turn in 0..AFTERWARDS {
        let lot = format!("/lot/{}", lots[turn % lots.len()]);
        device.get(["/", "/shelf", &lot, "/book/log"][turn % 4])?;
    }
    println!(
        "a new server on the same book after {AFTERWARDS} pages: {} MB",
        memory(&serving)? / 1_000
    );
    serving.end(15);
    Ok(())
}

/// The lots that a shelf shows, each once.
pub fn lots(shelf: &str) -> Vec<String> {
    let mut lots: Vec<String> = shelf
        .split("href=\"/lot/")
        .skip(1)
        .filter_map(|part| part.split(['"', '/']).next())
        .map(str::to_owned)
        .collect();
    lots.sort_unstable();
    lots.dedup();
    lots
}

/// The most of a second: requests under way hold a book each.
fn held(serving: &Serving) -> anyhow::Result<Held> {
    let mut most = Held {
        kilobytes: 0,
        files: 0,
    };
    for _ in 0..20 {
        let files = std::fs::read_dir(format!("/proc/{}/fd", serving.process.id()))?.count();
        most.files = most.files.max(files);
        most.kilobytes = most.kilobytes.max(memory(serving)?);
        std::thread::sleep(Duration::from_millis(50));
    }
    Ok(most)
}

/// One connection that stays open.
struct Device<'a> {
    stream: TcpStream,
    answers: BufReader<TcpStream>,
    head: String,
    address: &'a str,
}

impl<'a> Device<'a> {
    fn new(address: &'a str, cookie: &str) -> anyhow::Result<Self> {
        let stream = TcpStream::connect(address)?;
        stream.set_nodelay(true)?;
        stream.set_read_timeout(Some(Duration::from_secs(40)))?;
        Ok(Self {
            answers: BufReader::new(stream.try_clone()?),
            stream,
            head: format!("Host: {address}\r\nCookie: {cookie}\r\n"),
            address,
        })
    }

    fn get(&mut self, path: &str) -> anyhow::Result<String> {
        let request = format!("GET {path} HTTP/1.1\r\n{}\r\n", self.head);
        let (status, body) = self.answer(&request)?;
        anyhow::ensure!(status == 200, "{request}\n{body}");
        Ok(body)
    }

    /// Whether it was booked: otherwise others held the book.
    fn post(&mut self, path: &str, body: &str) -> anyhow::Result<bool> {
        let request = format!(
            "POST {path} HTTP/1.1\r\n{}Origin: http://{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.head,
            self.address,
            body.len()
        );
        let answer = self.answer(&request)?;
        anyhow::ensure!([303, 503].contains(&answer.0), "{request}\n{}", answer.1);
        Ok(answer.0 == 303)
    }

    /// The status and the body.
    fn answer(&mut self, request: &str) -> anyhow::Result<(u16, String)> {
        self.stream.write_all(request.as_bytes())?;
        let mut line = String::new();
        self.answers.read_line(&mut line)?;
        let status = line.split(' ').nth(1).context("a status")?.parse()?;
        let mut length = 0;
        while line != "\r\n" {
            line.clear();
            self.answers.read_line(&mut line)?;
            if let Some(bytes) = line.strip_prefix("content-length: ") {
                length = bytes.trim().parse()?;
            }
        }
        let mut body = vec![0; length];
        self.answers.read_exact(&mut body)?;
        Ok((status, String::from_utf8(body)?))
    }
}
