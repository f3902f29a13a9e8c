//! A lot whose brew day was corrected keeps its code; where a trace lists it by that day, it says so.

use crate::env::{Kitchen, has, one_line};

#[test]
fn a_trace_by_brew_day_says_why_it_lists_a_lot_of_another_day() {
    let kitchen = Kitchen::on_monday();
    let lot = kitchen.pickup(
        "--brewed 2026-11-08 --mash-out 07:00 --cooled 09:00 --wet 4kg --collected \"2026-11-08 10:00\"",
    );
    let entry = kitchen.last_entry("pickup");
    let first = "first booked as brewed on Sun 8 Nov";
    let trace = |day: &str| one_line(&kitchen.ok(&format!("trace --between {day} {day}")));
    assert!(!trace("2026-11-08").contains(first));
    kitchen.ok(&format!(
        "correct {entry} --brewed 2026-11-07 --reason \"the sheet of the brewer\""
    ));
    for day in ["2026-11-07", "2026-11-08"] {
        let said = trace(day);
        has(&said, &lot);
        has(&said, &format!("brewed Sat 7 Nov, {first}"));
    }
}
