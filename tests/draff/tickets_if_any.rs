//! An act that moves the date of a lot asks for a new ticket if there is one: it claims none that nobody printed.

use crate::env::{Kitchen, has};

#[test]
fn nobody_is_told_that_a_ticket_is_untrue_that_was_never_printed() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let told = kitchen.told(&format!("move {lot} --to freezer"));
    has(
        &told,
        &format!("if a ticket is on it, print a new one: `draff ticket {lot}`"),
    );
    let entry = kitchen.last_entry("cooled");
    let told = kitchen.told(&format!("strike {entry} --reason \"nobody looked\""));
    assert!(!told.contains("its ticket"), "{told}");
    assert!(!told.contains("the old one"), "{told}");
}
