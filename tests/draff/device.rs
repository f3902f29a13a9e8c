//! `device`: who may come in by the page, and who may no more.

use crate::env::{FRIDAY, Kitchen};
use draffbook::desk::{Desk, NewDevice};
use draffbook::ledger::Book;
use serde_json::json;

/// Pairs a device as the page does.
pub fn pair(kitchen: &Kitchen, whose: &str, secret: [u8; 32]) -> i64 {
    let now = FRIDAY.parse().unwrap();
    let book = Book::open(&kitchen.book(), now).unwrap();
    let new = NewDevice {
        secret,
        whose,
        writes: true,
        paired_by: None,
    };
    Desk::new(book, now, None).pair(&new).unwrap()
}

fn opens(kitchen: &Kitchen, secret: [u8; 32]) -> bool {
    let now = FRIDAY.parse().unwrap();
    let book = Book::open(&kitchen.book(), now).unwrap();
    let found = Desk::new(book, now, None).device_of(secret).unwrap();
    found.is_some()
}

#[test]
fn an_ended_device_opens_nothing() {
    let kitchen = Kitchen::new();
    assert!(kitchen.ok("device").starts_with("No device is paired."));
    let (one, other) = (
        pair(&kitchen, "Ada", [1; 32]),
        pair(&kitchen, "Ben", [2; 32]),
    );
    let listed = kitchen.json("device list");
    assert_eq!(listed["devices"][1]["whose"], "Ben");
    assert_eq!(listed["devices"][1]["ended_at"], json!(null));
    assert!(opens(&kitchen, [1; 32]) && opens(&kitchen, [2; 32]) && !opens(&kitchen, [3; 32]));
    kitchen.ok(&format!("device end {one}"));
    assert!(!opens(&kitchen, [1; 32]) && opens(&kitchen, [2; 32]));
    let told = kitchen.refused(1, &format!("device end {one}"));
    assert!(told.contains("no device 1 is paired"), "{told}");
    assert_eq!(other, 2);
}

#[test]
fn a_book_that_is_brought_back_or_copied_has_no_devices() {
    let kitchen = Kitchen::new();
    pair(&kitchen, "Ada", [1; 32]);
    kitchen.ok("backup copy.draff");
    kitchen.ok("export-all tables");
    kitchen.ok("--book other.draff import-all tables");
    let other = kitchen.json("--book other.draff device");
    assert_ne!(other["devices"][0]["ended_at"], json!(null));
    assert!(opens(&kitchen, [1; 32]));
    kitchen.ok("restore copy.draff");
    assert!(!opens(&kitchen, [1; 32]));
    kitchen.ok("check");
}
