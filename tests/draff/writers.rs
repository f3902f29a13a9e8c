//! Several programs writing to one book at once: nothing is lost, nothing refused.
//!
//! With `DRAFF_LONG` set, two, four and eight of them write 10,000 acts each time.

use crate::env::Kitchen;
use serde_json::json;
use std::process::{Child, Stdio};

/// Acts of all writers together. Each is a process of its own, as a baker starts them.
fn acts() -> usize {
    if std::env::var_os("DRAFF_LONG").is_some() {
        10_000
    } else {
        240
    }
}

/// Starts the acts of one writer one after the other; gives what went wrong.
fn write(kitchen: &Kitchen, lot: &str, writer: usize, acts: usize) -> Vec<String> {
    let mut wrong = Vec::new();
    for act in 0..acts {
        let child: Child = kitchen
            .command()
            .args([
                "--quiet",
                "use",
                lot,
                "--wet",
                "1mg",
                "--for",
                &format!("writer {writer} act {act}"),
            ])
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let output = child.wait_with_output().unwrap();
        if !output.status.success() || !output.stderr.is_empty() {
            wrong.push(String::from_utf8_lossy(&output.stderr).into_owned());
        }
    }
    wrong
}

fn writers(number: usize) {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("1kg");
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let (kitchen, lot) = (&kitchen, &lot);
        let threads: Vec<_> = (0..number)
            .map(|writer| scope.spawn(move || write(kitchen, lot, writer, acts() / number)))
            .collect();
        threads
            .into_iter()
            .flat_map(|thread| thread.join().unwrap())
            .collect()
    });
    assert_eq!(wrong, Vec::<String>::new(), "none is refused");
    let taken = acts() / number * number;
    let grams = (1_000_000 - taken) as f64 / 1000.0;
    assert_eq!(
        kitchen.on_shelf(&lot)["wet_g"],
        json!(grams),
        "nothing is lost"
    );
    let usage = kitchen.json("usage");
    let mut words: Vec<String> = usage["usage"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["bake"].as_str().unwrap().to_owned())
        .collect();
    words.sort();
    words.dedup();
    assert_eq!(words.len(), taken, "every act is in the book once");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn two_at_once_lose_nothing() {
    writers(2);
}

#[test]
fn four_at_once_lose_nothing() {
    writers(4);
}

#[test]
fn eight_at_once_lose_nothing() {
    writers(8);
}

/// The first write makes the book; two of them at once make one, and both lots are in it.
#[test]
fn two_first_pickups_make_one_book() {
    let kitchen = Kitchen::bare();
    let children: Vec<Child> = ["Alder Lane", "Mill Brook", "Quarry Hill"]
        .iter()
        .map(|source| {
            kitchen
                .command()
                .args([
                    "pickup", "--source", source, "--brewed", "today", "--wet", "1kg",
                ])
                .stdout(Stdio::null())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
    }
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 3);
    assert!(kitchen.ok("check").contains("whole"));
}
