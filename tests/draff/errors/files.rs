//! Files for `pickup --csv`: all rows or none, every bad row named.

use super::transcript;
use crate::env::Kitchen;
use serde_json::json;
use std::fmt::Write;

const HEADER: &str = "source,brewed,mash_out,wet,cooled\n";
const GOOD: &str = "Alder Lane,2026-11-20,07:30,18.4kg,09:00\n";

#[test]
fn files_that_are_not_understood() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "semicolons.csv",
        "source;brewed;wet\nAlder Lane;2026-11-20;18,4kg\n",
    );
    kitchen.file(
        "tabs.csv",
        "source\tbrewed\twet\nAlder Lane\t2026-11-20\t18.4kg\n",
    );
    kitchen.file(
        "missing.csv",
        "source,mash_out,wet\nAlder Lane,07:30,18.4kg\n",
    );
    kitchen.file(
        "extra.csv",
        "source,brewed,wet,colour\nAlder Lane,2026-11-20,18.4kg,brown\n",
    );
    kitchen.file(
        "twice.csv",
        "source,brewed,wet,Wet\nAlder Lane,2026-11-20,18.4kg,1kg\n",
    );
    kitchen.file(
        "latin1.csv",
        b"source,brewed,wet\nAlder Lane,2026-11-20,18.4kg\nM\xfchle,2026-11-20,18.4kg\n",
    );
    let utf16: Vec<u8> = format!("\u{feff}{HEADER}{GOOD}")
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    kitchen.file("utf16.csv", utf16);
    kitchen.file(
        "short.csv",
        format!("{HEADER}{GOOD}Alder Lane,2026-11-20\n"),
    );
    kitchen.file(
        "long.csv",
        format!("{HEADER}{GOOD}Alder Lane,2026-11-20,07:30,18,4kg,09:00\n"),
    );
    kitchen.file("empty.csv", "");
    kitchen.file("header.csv", HEADER);
    kitchen.file("headless.csv", GOOD);
    transcript(
        &kitchen,
        "files",
        &[
            (1, "pickup --csv semicolons.csv"),
            (1, "pickup --csv tabs.csv"),
            (1, "pickup --csv missing.csv"),
            (1, "pickup --csv extra.csv"),
            (1, "pickup --csv twice.csv"),
            (1, "pickup --csv latin1.csv"),
            (1, "pickup --csv utf16.csv"),
            (1, "pickup --csv short.csv"),
            (1, "pickup --csv long.csv"),
            (1, "pickup --csv empty.csv"),
            (1, "pickup --csv header.csv"),
            (1, "pickup --csv headless.csv"),
            (1, "pickup --csv nowhere.csv"),
            (1, "pickup --csv ."),
            (2, "pickup --csv header.csv --wet 1kg"),
        ],
    );
}

#[test]
fn every_bad_row_is_named_with_line_and_column() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "rows.csv",
        format!(
            "{HEADER}{GOOD}\
             Alder Lane,2026-11-20,07:30,18.4,09:00\n\
             ,2026-11-20,07:30,\"18,4kg\",09:00\n\
             Alder Lane,2026-10-25,01:30,1kg,\n\
             Alder Lane,soon,,1kg,\n\
             {GOOD}\
             Alder Lane,2026-11-20,12:00,-1kg,\n\
             Alder Lane,2026-11-21,,1kg,\n"
        ),
    );
    transcript(&kitchen, "rows", &[(1, "pickup --csv rows.csv")]);
}

#[test]
fn a_byte_order_mark_and_line_ends_of_any_system_are_accepted() {
    for text in [
        format!("\u{feff}{HEADER}{GOOD}"),
        format!("{HEADER}{GOOD}").replace('\n', "\r\n"),
        format!("\u{feff}{HEADER}{}", GOOD.trim_end()),
        format!("{HEADER}{GOOD}\n,,,,\n"),
    ] {
        let kitchen = Kitchen::new();
        kitchen.file("p.csv", &text);
        let answer = kitchen.json("pickup --csv p.csv");
        assert_eq!(answer["lots"].as_array().unwrap().len(), 1, "{text:?}");
        assert_eq!(answer["lots"][0]["wet_g"], json!(18400.0));
    }
}

const MANY: i64 = 100_000;

fn many(bad: Option<i64>) -> String {
    let mut text = HEADER.to_owned();
    for row in 0..MANY {
        let wet = if bad == Some(row) { "7" } else { "7kg" };
        let day = row % 28 + 1;
        writeln!(
            text,
            "Source {},2026-10-{day:02},2026-10-{day:02} 09:00,{wet},2026-10-{day:02} 11:00",
            row % 7
        )
        .unwrap();
    }
    text
}

#[test]
fn a_hundred_thousand_rows_are_booked_in_whole() {
    let kitchen = Kitchen::new();
    kitchen.file("many.csv", many(None));
    let out = kitchen.ok("pickup --csv many.csv");
    assert!(out.contains("100000 lots"), "{out}");
    let (lots, milligrams): (i64, i64) = kitchen
        .sqlite()
        .query_row("SELECT count(*), sum(wet_mg) FROM stock", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .unwrap();
    assert_eq!((lots, milligrams), (MANY, MANY * 7_000_000));
}

#[test]
fn one_bad_row_in_a_hundred_thousand_keeps_all_out() {
    let kitchen = Kitchen::new();
    kitchen.file("many.csv", many(Some(MANY - 1)));
    let said = kitchen.refused(1, "pickup --csv many.csv");
    assert!(
        said.contains("1 row of 100000 cannot be booked, so none was"),
        "{said}"
    );
    assert!(
        said.contains(&format!(
            "line {}, column wet: mass `7` has no unit",
            MANY + 1
        )),
        "{said}"
    );
}

#[test]
fn an_empty_line_does_not_shift_the_line_numbers() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "gaps.csv",
        "source,brewed,wet\n\nA,soon,1kg\nA,today,1kg\n\n\nA,later,1kg\n",
    );
    let said = kitchen.refused(1, "pickup --csv gaps.csv");
    assert!(
        said.contains("line 3, column brewed: time `soon`"),
        "{said}"
    );
    assert!(
        said.contains("line 7, column brewed: time `later`"),
        "{said}"
    );
}
