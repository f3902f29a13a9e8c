//! A plan that takes long is spoken of, and Ctrl-C takes the best so far.

use crate::env::{Kitchen, LOAF};
use serde_json::Value;
use std::io::{BufRead, BufReader, Read};
use std::process::{Command, Stdio};

/// Many lots, many bakes of one lot each, no freezer: what spoils depends on how the lots are fitted together, and
/// there are far too many ways to try them all.
fn crowded() -> Kitchen {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings freezer none");
    kitchen.at("2026-11-20T12:00:00Z");
    for index in 0..30 {
        let wet = 4100 + 197 * (index * 7 % 30);
        kitchen.lot(&format!("{wet}g"));
    }
    for index in 0..60 {
        let (day, hour) = (21 + index % 6, 6 + index % 11);
        let pieces = 17 + index * 5 % 23;
        let firm = if index % 3 == 2 {
            "--optional"
        } else {
            "--firm"
        };
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-{day} {hour:02}:00\" mix --pieces {pieces} --most-lots 1 {firm}"
        ));
    }
    kitchen
}

#[test]
fn a_long_search_is_spoken_of_and_ctrl_c_takes_the_best_so_far() {
    let kitchen = crowded();
    let mut plan = kitchen
        .command()
        .args(["plan", "--days", "20", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut talk = BufReader::new(plan.stderr.take().unwrap());
    let mut line = String::new();
    talk.read_line(&mut line).unwrap();
    assert!(line.starts_with("looking for the best plan for "), "{line}");
    let pressed = Command::new("kill")
        .args(["-INT", &plan.id().to_string()])
        .status()
        .unwrap();
    assert!(pressed.success());
    let mut answer = String::new();
    plan.stdout
        .take()
        .unwrap()
        .read_to_string(&mut answer)
        .unwrap();
    assert_eq!(plan.wait().unwrap().code(), Some(0));
    let answer: Value = serde_json::from_str(&answer).unwrap();
    assert_eq!(answer["status"], "stopped");
    assert!(answer["gap"].as_f64().unwrap() >= 0.0);
    assert!(!answer["bakes"].as_array().unwrap().is_empty());
}
