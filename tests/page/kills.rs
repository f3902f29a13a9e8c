//! Many devices book at once while the server is killed between and started again: nothing that was acknowledged is
//! lost, nothing is there twice.

use crate::serving::{At, Serving, book, draff};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// So long everything together may take before the test gives up.
const PATIENCE: Duration = Duration::from_secs(500);

/// The server that runs now.
type Running = Arc<Mutex<Option<Serving>>>;

/// Asks the server that runs, and again after a kill, until it answers.
fn asked(running: &Running, ask: impl Fn(At<'_>) -> std::io::Result<String>) -> String {
    let begun = Instant::now();
    loop {
        let address = {
            let running = running.lock().unwrap();
            running.as_ref().map(|at| at.address.clone())
        };
        if let Some(address) = address
            && let Ok(answer) = ask(At(&address))
            && answer.starts_with("HTTP/1.1 ")
            && !answer.starts_with("HTTP/1.1 503")
            && answer.contains("\r\n\r\n")
        {
            return answer;
        }
        assert!(begun.elapsed() < PATIENCE, "the server does not come back");
        std::thread::sleep(Duration::from_millis(5));
    }
}

fn hidden(page: &str, name: &str) -> String {
    let (_, rest) = page
        .split_once(&format!("name=\"{name}\" value=\""))
        .unwrap_or_else(|| panic!("no {name}: {page}"));
    rest.split('"').next().unwrap().to_owned()
}

/// Books so many temperatures, each sent again until the book names its entry.
fn device(
    running: &Running,
    cookie: &str,
    lot: &str,
    acts: usize,
    done: &AtomicUsize,
) -> Vec<String> {
    let path = format!("/lot/{lot}/temperature");
    (0..acts)
        .map(|act| {
            let form = loop {
                let form = asked(running, |at| at.get(&path, cookie));
                if form.contains("name=\"act_id\"") && form.ends_with("</html>") {
                    break form;
                }
            };
            let body = format!(
                "form_token={}&act_id={}&bench={}&temp={}&temp_unit=C",
                hidden(&form, "form_token"),
                hidden(&form, "act_id"),
                hidden(&form, "bench"),
                format_args!("{:.2}", 2.0 + act as f64 / 50.0)
            );
            let answer = asked(running, |at| at.post(&path, cookie, &body));
            assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
            let (_, to) = answer.split_once("location: /entry/").unwrap();
            done.fetch_add(1, Ordering::SeqCst);
            to.split('?').next().unwrap().to_owned()
        })
        .collect()
}

/// A server whose clock stands after that of all before it, as clocks do.
fn started(book: &Path, number: usize) -> Serving {
    let begin: draffbook::quantity::Instant = "2026-11-20T10:30:00Z".parse().unwrap();
    let now = begin + chrono::Duration::minutes(20 * number as i64);
    Serving::new(book, &["--now", &now.to_rfc3339()])
}

/// Ends the killer even where a device fails.
struct Over<'a>(&'a AtomicBool);

impl Drop for Over<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::SeqCst);
    }
}

#[test]
fn nothing_acknowledged_is_lost_and_nothing_is_there_twice() {
    let is_long = std::env::var_os("DRAFF_LONG").is_some();
    let (devices, acts) = if is_long { (20, 50) } else { (4, 5) };
    let folder = tempfile::tempdir().unwrap();
    let (book, lot) = book(folder.path());
    let running: Running = Arc::default();
    // The invitation that a server prints lets one device in.
    let cookies: Vec<String> = (0..devices)
        .map(|number| {
            let serving = started(&book, number);
            let cookie = serving.paired("Ada");
            serving.end(9);
            cookie
        })
        .collect();
    *running.lock().unwrap() = Some(started(&book, devices));
    let (done, is_over) = (AtomicUsize::new(0), AtomicBool::new(false));
    let (entries, kills) = std::thread::scope(|threads| {
        let devices: Vec<_> = cookies
            .iter()
            .map(|cookie| threads.spawn(|| device(&running, cookie, &lot, acts, &done)))
            .collect();
        // Killed whenever so many more acts were acknowledged.
        let killer = threads.spawn(|| {
            let step = cookies.len() * acts / 5;
            let mut kills = 0;
            while !is_over.load(Ordering::SeqCst) {
                if done.load(Ordering::SeqCst) > (kills + 1) * step {
                    let serving = running.lock().unwrap().take();
                    if let Some(serving) = serving {
                        serving.end(9);
                    }
                    kills += 1;
                    *running.lock().unwrap() = Some(started(&book, cookies.len() + kills));
                }
                std::thread::sleep(Duration::from_millis(2));
            }
            kills
        });
        let over = Over(&is_over);
        let entries: Vec<String> = devices
            .into_iter()
            .flat_map(|device| device.join().unwrap())
            .collect();
        drop(over);
        (entries, killer.join().unwrap())
    });
    assert!(kills >= 3, "the server was killed: {kills}");
    if let Some(serving) = running.lock().unwrap().take() {
        serving.end(15);
    }
    let named: BTreeSet<&String> = entries.iter().collect();
    assert_eq!(
        named.len(),
        cookies.len() * acts,
        "each act has an entry of its own"
    );
    let out = draff(&book).args(["--json", "log"]).output().unwrap();
    let log: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let booked: BTreeSet<String> = log["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["kind"] == "reading")
        .map(|entry| entry["entry"].to_string())
        .collect();
    assert_eq!(booked, named.into_iter().cloned().collect());
    let check = draff(&book).arg("check").output().unwrap();
    assert!(
        check.status.success(),
        "{}",
        String::from_utf8_lossy(&check.stdout)
    );
}
