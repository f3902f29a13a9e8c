//! A logger's file of many megabytes is read in parts: its rows and their lines are the same as if it were read at once.

use crate::env::{Kitchen, has};

/// Rows of Wednesday, one a minute, each with a note of 60,000 bytes over two lines, blank lines between some of them; 18 MB in
/// all. One has another temperature. Gives the line of that one too.
fn noted(rows: usize, other: (usize, &str)) -> (String, usize) {
    let mut text = String::from("time,temp C,note\r\n");
    let mut line = 0;
    for row in 0..rows {
        if row % 7 == 0 {
            text.push_str("\r\n\r\n");
        }
        let is_other = row == other.0;
        if is_other {
            line = text.matches('\n').count() + 1;
        }
        let temperature = if is_other { other.1 } else { "3.5" };
        let half = "ß".repeat(15_000);
        text.push_str(&format!(
            "2026-11-18 {:02}:{:02},{temperature},\"{half}\n{half}\"\r\n",
            row / 60,
            row % 60
        ));
    }
    (text, line)
}

#[test]
fn a_bad_row_behind_many_megabytes_is_named_with_its_line() {
    let kitchen = Kitchen::new();
    for row in [0, 150, 299] {
        let (text, line) = noted(300, (row, "warm"));
        kitchen.file("air.csv", text);
        let said = kitchen.refused(1, "readings fridge --csv air.csv");
        has(&said, "1 row of 300 cannot be read");
        has(&said, &format!("line {line}: "));
    }
}

#[test]
fn every_row_of_many_megabytes_is_read_once() {
    let kitchen = Kitchen::new();
    let (text, _) = noted(300, (200, "4.5"));
    kitchen.file("air.csv", text);
    let read_in = kitchen.json("readings fridge --csv air.csv");
    assert_eq!(read_in["added"], 300, "{read_in}");
    let again = kitchen.json("readings fridge --csv air.csv");
    assert_eq!(again["added"], 0, "{again}");
    assert_eq!(again["known"], 300, "{again}");
}
