//! Files as a logger writes them.

use crate::env::Kitchen;
use chrono::{DateTime, TimeDelta};
use std::fmt::Write;

/// When the grain of `two_fridges` is in the first of them.
pub const MONDAY: &str = "2026-11-09T08:00:00Z";

/// A file of so many readings in winter time, each so many minutes after the one before; the first row is row 0.
pub fn logged(from: &str, minutes: i64, readings: usize, celsius: impl Fn(usize) -> f64) -> String {
    let mut at = DateTime::parse_from_rfc3339(from).unwrap();
    let mut rows = String::from("time,temp C\n");
    for row in 0..readings {
        writeln!(rows, "{},{}", at.format("%Y-%m-%d %H:%M"), celsius(row)).unwrap();
        at += TimeDelta::minutes(minutes);
    }
    rows
}

/// A kitchen with a second fridge that nobody measures, and so much grain that was cold on Sunday 8 November; its code.
pub fn two_fridges(wet: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at(MONDAY);
    kitchen.ok("place add fr2 --kind fridge --temp 3C");
    let lot = kitchen.pickup(&format!(
        "--brewed 2026-11-08 --mash-out \"2026-11-08 09:00\" --cooled \"2026-11-08 14:00\" --wet {wet}"
    ));
    (kitchen, lot)
}
