//! How fast the page answers, on a book of a million entries with 40 lots open: against a fixed answer of the same server,
//! against the desk's question in this process, and acts against `SQLite` committing one row with the same settings. Run
//! with `cargo bench --bench page`; it asserts nothing. With `-- --soak` it runs ten minutes of use instead, and fails where
//! memory or open files grew.

#[allow(dead_code, reason = "the speed of commands needs more of it")]
mod books;
#[path = "../common/serving.rs"]
mod serving;
mod soak;

use anyhow::Context;
use draffbook::desk::Desk;
use draffbook::ledger::Book;
use serving::Serving;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::time::{Duration, Instant};

/// Requests of one measurement, over all connections.
const REQUESTS: usize = 2_000;
/// Requests after which memory is looked at.
const MANY: usize = 20_000;
const ACTS: usize = 300;

fn main() -> anyhow::Result<()> {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?;
    if std::env::args().any(|argument| argument == "--soak") {
        return soak::soak(&books::short(folder.path())?, books::NOW);
    }
    let long = books::long(folder.path())?;
    let (lots, entries) = books::size(&long)?;
    let bytes = std::fs::metadata(&long)?.len();
    println!(
        "a book of {entries} entries about {lots} lots, {} MB, {} lots open",
        bytes / 1_000_000,
        books::OPEN
    );
    let serving = Serving::new(&long, &["--now", books::NOW]);
    let cookie = serving.paired("Ada");
    let shelf = serving.get("/shelf", &cookie)?;
    let lot = between(&shelf, "href=\"/lot/", "\"").context("a lot is on hand")?;
    let style = format!(
        "/part/{}",
        between(&shelf, "href=\"/part/", "\"").context("a style")?
    );

    println!("\nThe desk's question in this process, the book opened each time");
    let shelf_asked = asked(&long, "shelf", |desk| desk.shelf().map(drop))?;
    let today_asked = asked(&long, "today", |desk| desk.today(2).map(drop))?;
    let lot_asked = asked(&long, "lot", |desk| desk.lot(lot).map(drop))?;

    println!(
        "\n{:<28} {:>7} {:>11} {:>9} {:>9} {:>8} {:>9}",
        "page", "bytes", "connections", "median", "p99", "a second", "× desk"
    );
    for connections in [1, 50] {
        let pages = [
            (style.as_str(), None),
            ("/", Some(today_asked)),
            ("/shelf", Some(shelf_asked)),
            (&*format!("/lot/{lot}"), Some(lot_asked)),
        ];
        for (path, desk) in pages {
            let measured = requests(&serving.address, path, &cookie, connections, REQUESTS)?;
            // Many at once wait for each other: then the ratio says nothing of the page.
            let alone = desk.filter(|_| connections == 1);
            let ratio = alone.map_or(String::new(), |desk| {
                format!("{:.2}", measured.median.as_secs_f64() / desk.as_secs_f64())
            });
            println!(
                "{:<28} {:>7} {connections:>11} {:>9} {:>9} {:>8.0} {ratio:>9}",
                if desk.is_some() {
                    path
                } else {
                    "a file that is fixed"
                },
                measured.bytes,
                milliseconds(measured.median),
                milliseconds(measured.late),
                measured.a_second
            );
        }
    }
    requests(&serving.address, "/shelf", &cookie, 8, MANY)?;
    println!(
        "\nmemory after {MANY} requests: {} MB",
        memory(&serving)? / 1_000
    );
    serving.end(15);

    acts(&long, folder.path())
}

/// The median of a question, in a desk of its own each time.
fn asked(
    book: &Path,
    what: &str,
    ask: impl Fn(&Desk) -> anyhow::Result<()>,
) -> anyhow::Result<Duration> {
    let mut times = Vec::new();
    for _ in 0..200 {
        let begun = Instant::now();
        ask(&Desk::new(
            Book::open(book, books::now())?,
            books::now(),
            None,
        ))?;
        times.push(begun.elapsed());
    }
    times.sort();
    println!("  {what:<6} {}", milliseconds(times[times.len() / 2]));
    Ok(times[times.len() / 2])
}

struct Measured {
    bytes: usize,
    median: Duration,
    /// 99 of 100 are faster.
    late: Duration,
    a_second: f64,
}

fn requests(
    address: &str,
    path: &str,
    cookie: &str,
    connections: usize,
    number: usize,
) -> anyhow::Result<Measured> {
    let begun = Instant::now();
    let answers = std::thread::scope(|threads| {
        let clients: Vec<_> = (0..connections)
            .map(|_| threads.spawn(|| client(address, path, cookie, number / connections)))
            .collect();
        clients
            .into_iter()
            .map(|client| client.join().expect("a client ends"))
            .collect::<anyhow::Result<Vec<_>>>()
    })?;
    let took = begun.elapsed();
    let bytes = answers[0].1;
    let mut times: Vec<Duration> = answers.into_iter().flat_map(|(times, _)| times).collect();
    times.sort();
    Ok(Measured {
        bytes,
        median: times[times.len() / 2],
        late: times[times.len() * 99 / 100],
        a_second: times.len() as f64 / took.as_secs_f64(),
    })
}

/// Asks again and again on one connection; gives the times and the length of an answer.
fn client(
    address: &str,
    path: &str,
    cookie: &str,
    number: usize,
) -> anyhow::Result<(Vec<Duration>, usize)> {
    let mut stream = TcpStream::connect(address)?;
    stream.set_nodelay(true)?;
    let mut answers = BufReader::new(stream.try_clone()?);
    let request = format!("GET {path} HTTP/1.1\r\nHost: {address}\r\nCookie: {cookie}\r\n\r\n");
    let (mut times, mut length) = (Vec::new(), 0);
    for _ in 0..number {
        let begun = Instant::now();
        stream.write_all(request.as_bytes())?;
        let mut line = String::new();
        answers.read_line(&mut line)?;
        anyhow::ensure!(line.contains(" 200 "), "{path}: {line}");
        while line != "\r\n" {
            line.clear();
            answers.read_line(&mut line)?;
            if let Some(bytes) = line.strip_prefix("content-length: ") {
                length = bytes.trim().parse()?;
            }
        }
        let mut body = vec![0; length];
        answers.read_exact(&mut body)?;
        times.push(begun.elapsed());
    }
    Ok((times, length))
}

/// Acts of one device, one after the other, on all tubs in turn and on one tub alone, whose history grows with each. Against
/// one row of `SQLite` with the same settings on the same disk.
fn acts(book: &Path, folder: &Path) -> anyhow::Result<()> {
    let serving = Serving::new(book, &["--now", books::NOW]);
    let cookie = serving.paired("Ada");
    let shelf = serving.get("/shelf", &cookie)?;
    let lots = soak::lots(&shelf);
    let in_turn = booked(&serving, &cookie, &lots, "turn")?;
    let on_one = booked(&serving, &cookie, &lots[..1], "alone")?;
    serving.end(15);

    let row = rusqlite::Connection::open(folder.join("row.sqlite"))?;
    row.execute_batch("PRAGMA page_size = 8192; PRAGMA synchronous = FULL; CREATE TABLE row (id INTEGER PRIMARY KEY, text TEXT) STRICT")?;
    let begun = Instant::now();
    for _ in 0..ACTS {
        row.execute(
            "INSERT INTO row (text) VALUES ('a temperature of 4 degrees')",
            [],
        )?;
    }
    let theirs = ACTS as f64 / begun.elapsed().as_secs_f64();
    println!(
        "\nacts a second: {in_turn:.0} on {} tubs in turn, {on_one:.0} on one; SQLite with one row a transaction: {theirs:.0}; ratio {:.2}",
        lots.len(),
        in_turn / theirs
    );
    Ok(())
}

/// How many acts a second the server books, each on the next of these lots.
fn booked(serving: &Serving, cookie: &str, lots: &[String], name: &str) -> anyhow::Result<f64> {
    let first = lots.first().context("a lot is on hand")?;
    let form = serving.get(&format!("/lot/{first}/temperature"), cookie)?;
    let token = between(&form, "name=\"form_token\" value=\"", "\"").context("a token")?;
    let begun = Instant::now();
    for (number, lot) in lots.iter().cycle().take(ACTS).enumerate() {
        let path = format!("/lot/{lot}/temperature");
        let body = format!("form_token={token}&act_id={name}{number:08}&temp=4&temp_unit=C");
        let answer = serving.at().post(&path, cookie, &body)?;
        anyhow::ensure!(answer.starts_with("HTTP/1.1 303"), "{answer}");
    }
    Ok(ACTS as f64 / begun.elapsed().as_secs_f64())
}

/// Memory that the process holds, in kB.
fn memory(serving: &Serving) -> anyhow::Result<u64> {
    let status = std::fs::read_to_string(format!("/proc/{}/status", serving.process.id()))?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let number = line.and_then(|line| line.split_whitespace().next());
    Ok(number.context("the system tells memory")?.parse()?)
}

fn between<'a>(text: &'a str, begin: &str, end: &str) -> Option<&'a str> {
    text.split_once(begin)?.1.split(end).next()
}

fn milliseconds(time: Duration) -> String {
    format!("{:.2} ms", time.as_secs_f64() * 1000.0)
}
