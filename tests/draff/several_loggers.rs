//! Several loggers in one place, and files of one logger in parts: no file makes it colder than another says, whichever is
//! read in first.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};
use std::fmt::Write;

/// A kitchen with 10 kg of grain in the fridge that was cold on Sunday 8 November; its code.
fn kitchen(probe: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    kitchen.ok(&format!(
        "place change fridge --probe-in {probe} --at 2026-11-01"
    ));
    let lot = kitchen.pickup(
        "--brewed 2026-11-08 --mash-out \"2026-11-08 09:00\" --cooled \"2026-11-08 14:00\" --wet 10kg",
    );
    (kitchen, lot)
}

/// Rows of Monday 9 November, from some minutes after 08:00 on, each so many minutes after the one before.
fn rows(from: usize, every: usize, readings: usize, figure: impl Fn(usize) -> f64) -> String {
    let mut rows = String::new();
    for row in 0..readings {
        let minutes = 8 * 60 + from + every * row;
        writeln!(
            rows,
            "2026-11-09 {:02}:{:02},{}",
            minutes / 60,
            minutes % 60,
            figure(row)
        )
        .unwrap();
    }
    rows
}

fn logged(from: usize, every: usize, readings: usize, celsius: impl Fn(usize) -> f64) -> String {
    format!("time,temp C\n{}", rows(from, every, readings, celsius))
}

/// Every hour until 16:00, and 9 °C at 10:00 and at 11:00.
fn coarse() -> String {
    logged(0, 60, 9, |row| if row == 2 || row == 3 { 9.0 } else { 3.5 })
}

/// What the shelf says of the lot after these files, each with how it is read in.
fn after(probe: &str, files: &[(&str, String)]) -> Value {
    let (mut kitchen, lot) = kitchen(probe);
    kitchen.at("2026-11-09T16:05:00Z");
    for (options, file) in files {
        kitchen.file("file.csv", file);
        kitchen.ok(&format!("readings fridge --csv file.csv {options}"));
    }
    kitchen.ok("check");
    kitchen.on_shelf(&lot)
}

#[test]
fn a_finer_and_colder_file_hides_no_warm_one() {
    let fine = logged(0, 5, 97, |_| 3.4);
    for probe in ["air", "buffered", "grain"] {
        let alone = after(probe, &[("", coarse())]);
        assert_eq!(alone["verdict"], "past", "{probe}: {alone}");
        for files in [
            [("", coarse()), ("", fine.clone())],
            [("", fine.clone()), ("", coarse())],
        ] {
            let both = after(probe, &files);
            assert_eq!(both["verdict"], "past", "{probe}: {both}");
            let until = |lot: &Value| lot["keep_until"].as_str().unwrap().to_owned();
            assert!(until(&both) <= until(&alone), "{probe}: {alone} {both}");
        }
        assert_eq!(
            after(probe, &[("", coarse()), ("", fine.clone())]),
            after(probe, &[("", fine.clone()), ("", coarse())]),
            "{probe}"
        );
    }
}

/// Both loggers showed the same at some moments: those rows are known, and yet they belong to the second file.
#[test]
fn rows_that_are_known_leave_no_holes_in_a_file() {
    let fine = logged(0, 5, 97, |_| 3.5);
    let one = after("grain", &[("", coarse()), ("", fine.clone())]);
    let other = after("grain", &[("", fine), ("", coarse())]);
    assert_eq!(one, other);
    assert_eq!(one["verdict"], "past", "{one}");
    // 09:00 to 12:00.
    assert_eq!(one["warm_minutes"], 180, "{one}");
}

#[test]
fn a_file_that_is_read_in_parts_is_like_the_whole() {
    let fine = || logged(0, 5, 97, |row| if row == 50 { 9.0 } else { 3.5 });
    let whole = after("grain", &[("", fine())]);
    assert_eq!(whole["warm_minutes"], 10, "{whole}");
    for parts in [
        ["--to \"2026-11-09 12:00\"", "--from \"2026-11-09 12:00\""],
        ["--from \"2026-11-09 12:00\"", ""],
        ["--to \"2026-11-09 14:00\"", "--from \"2026-11-09 11:00\""],
    ] {
        let found = after("grain", &parts.map(|options| (options, fine())));
        assert_eq!(found["warm_minutes"], 10, "{parts:?}: {found}");
        assert_eq!(found["verdict"], whole["verdict"], "{parts:?}");
        assert_eq!(found["keep_until"], whole["keep_until"], "{parts:?}");
    }
}

/// The door stood open when the warm file ended, and the other logger ended a few minutes later.
#[test]
fn a_file_that_ends_warm_is_not_settled_by_one_that_goes_on_for_minutes() {
    let warm = logged(0, 30, 9, |row| if row == 8 { 9.0 } else { 3.5 });
    let fine = logged(0, 5, 51, |_| 3.4);
    let judged = |files: &[String]| {
        let (mut kitchen, lot) = kitchen("grain");
        kitchen.at("2026-11-09T12:15:00Z");
        for file in files {
            kitchen.file("file.csv", file);
            kitchen.ok("readings fridge --csv file.csv");
        }
        kitchen.at("2026-11-09T17:00:00Z");
        kitchen.on_shelf(&lot)["verdict"].clone()
    };
    assert_eq!(judged(std::slice::from_ref(&warm)), "unknown");
    assert_eq!(judged(&[warm.clone(), fine.clone()]), "unknown");
    assert_eq!(judged(&[fine, warm.clone()]), "unknown");
    // The next file of the same logger tells.
    let next = logged(245, 5, 2, |_| 3.4);
    assert_eq!(judged(&[warm, next]), "good");
}

#[test]
fn a_row_of_two_files_is_shown_once() {
    let (mut kitchen, _) = kitchen("grain");
    kitchen.at("2026-11-09T16:05:00Z");
    kitchen.file("coarse.csv", logged(0, 60, 9, |_| 3.5));
    kitchen.file("fine.csv", logged(0, 5, 97, |_| 3.5));
    kitchen.ok("readings fridge --csv coarse.csv");
    let read = kitchen.json("readings fridge --csv fine.csv");
    assert_eq!((&read["added"], &read["known"]), (&json!(88), &json!(9)));
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(summary["readings"], 97, "{summary}");
    assert_eq!(summary["unknown_minutes"], 0, "{summary}");
    let entries = kitchen.entries();
    for file in ["coarse.csv", "fine.csv"] {
        kitchen.ok(&format!("readings fridge --csv {file}"));
        assert_eq!(
            kitchen.entries(),
            entries,
            "{file}: nothing new, nothing written"
        );
    }
}

/// The night is left out of the warm file; another logger in the back of the fridge was cold at those minutes.
#[test]
fn cold_rows_of_another_file_take_no_warm_row_back_in() {
    let warm = |row: usize| if (36..48).contains(&row) { 20.0 } else { 3.5 };
    let (mut kitchen, lot) = kitchen("grain");
    kitchen.at("2026-11-09T16:05:00Z");
    kitchen.file("warm.csv", logged(0, 5, 97, warm));
    kitchen.ok("readings fridge --csv warm.csv --to \"2026-11-09 11:00\"");
    kitchen.ok("readings fridge --csv warm.csv --from \"2026-11-09 12:00\"");
    let unknown = kitchen.on_shelf(&lot);
    assert_eq!(unknown["verdict"], "unknown", "{unknown}");
    for cold in [
        format!(
            "time,temp C\n{}{}",
            rows(180, 1, 1, |_| 3.4),
            rows(235, 1, 1, |_| 3.4)
        ),
        logged(0, 1, 481, |_| 3.3),
    ] {
        kitchen.file("cold.csv", cold);
        kitchen.ok("readings fridge --csv cold.csv");
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
        let summary = kitchen.json("readings fridge --summary");
        assert_eq!(summary["left_out"].as_array().unwrap().len(), 2);
    }
    // The whole file takes them back in: an hour at 20 °C is no longer unknown.
    kitchen.ok("readings fridge --csv warm.csv");
    let found = kitchen.on_shelf(&lot);
    assert!(found["verdict"] != "unknown", "{found}");
    assert!(found["warm_minutes"].as_i64() >= Some(60), "{found}");
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(summary["left_out"], json!([]));
}

#[test]
fn a_file_on_another_scale_than_all_others_of_its_place_is_warned_of() {
    let (mut kitchen, _) = kitchen("grain");
    kitchen.at("2026-11-09T16:05:00Z");
    let plain =
        |from: usize, figure: f64| format!("time,temp\n{}", rows(from, 5, 12, move |_| figure));
    kitchen.file("celsius.csv", plain(0, 3.5));
    kitchen.file("warm.csv", plain(60, 36.0));
    kitchen.file("more.csv", plain(120, 36.0));
    let scale = "was read in °";
    let told = kitchen.told("readings fridge --csv celsius.csv --unit C");
    assert!(!told.contains(scale), "{told}");
    let told = kitchen.told("readings fridge --csv warm.csv --unit F");
    let entry = kitchen.last_entry("readings");
    has(
        &told,
        &format!("entry {entry} was read in °F, all other files of fridge in °C"),
    );
    has(
        &told,
        &format!(
            "`draff strike {entry} --reason \"wrong scale\"`, then read the file in with --unit C"
        ),
    );
    // Both scales are there now.
    let told = kitchen.told("readings fridge --csv more.csv --unit F");
    assert!(!told.contains(scale), "{told}");
}

#[test]
fn readings_that_would_make_past_grain_usable_are_called_readings() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    let lot = kitchen.pickup(
        "--brewed 2026-11-08 --mash-out \"2026-11-08 09:00\" --cooled \"2026-11-08 14:00\" --wet 10kg --place counter",
    );
    kitchen.file("cold.csv", logged(0, 5, 97, |_| 3.5));
    kitchen.at("2026-11-09T16:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let said = one_line(&kitchen.refused(1, "readings counter --csv cold.csv"));
    has(
        &said,
        &format!("lot `{lot}` is past, and this would make it usable again"),
    );
    assert!(!said.contains("back-dated"), "{said}");
}

/// The door stood open when the first logger was fetched; the other one stayed for hours.
#[test]
fn what_a_file_showed_last_counts_no_longer_than_it_would_by_itself() {
    let ends_warm = || logged(0, 30, 4, |row| if row == 3 { 6.0 } else { 3.5 });
    // It begins 5 min before the other ends, at 09:30, and so does not go on from it.
    let goes_on = || logged(85, 55, 5, |_| 3.5);
    for probe in ["buffered", "grain"] {
        for files in [[ends_warm(), goes_on()], [goes_on(), ends_warm()]] {
            for is_read in [false, true] {
                let (mut kitchen, lot) = kitchen(probe);
                kitchen.at("2026-11-09T13:10:00Z");
                for file in &files {
                    kitchen.file("file.csv", file);
                    kitchen.ok("readings fridge --csv file.csv");
                }
                let found = kitchen.on_shelf(&lot);
                assert_eq!(found["verdict"], "good", "{probe}: {found}");
                let until = &found["keep_until"];
                assert_eq!(until, "2026-11-09T13:30:00+00:00", "{probe}: {found}");
                // From 09:00 to 10:20, and since 13:05.
                assert_eq!(found["warm_minutes"], 85, "{probe}: {found}");
                if is_read {
                    // A thermometer within that time tells.
                    kitchen.at("2026-11-09T13:20:00Z");
                    kitchen.ok(&format!("probe {lot} 4C"));
                }
                kitchen.at("2026-11-09T17:00:00Z");
                let found = kitchen.on_shelf(&lot);
                let (verdict, warm) = if is_read {
                    ("good", 95)
                } else {
                    ("unknown", 105)
                };
                assert_eq!(found["verdict"], verdict, "{probe}: {found}");
                assert_eq!(found["warm_minutes"], warm, "{probe}: {found}");
            }
        }
    }
}

/// Nobody measured from 09:30 to 13:19. The warm file would go on from 09:30 by itself, and one that begins a minute before
/// it makes that time no colder.
#[test]
fn a_file_that_begins_first_hides_no_warmer_one_after_a_time_without_readings() {
    let ends = logged(0, 30, 4, |_| 4.0);
    let warm = logged(320, 5, 3, |row| [6.5, 4.0, 3.5][row]);
    let first = logged(319, 5, 3, |row| [4.0, 4.0, 3.5][row]);
    let alone = after("buffered", &[("", ends.clone()), ("", warm.clone())]);
    assert_eq!(alone["verdict"], "past", "{alone}");
    let files = [ends, warm, first];
    for order in [
        [0, 1, 2],
        [0, 2, 1],
        [1, 0, 2],
        [1, 2, 0],
        [2, 0, 1],
        [2, 1, 0],
    ] {
        let all = after("buffered", &order.map(|file| ("", files[file].clone())));
        assert_eq!(all["verdict"], "past", "{order:?}: {all}");
        assert_eq!(all["keep_until"], alone["keep_until"], "{order:?}");
    }
}

/// Where a file has no readings for more than 4 h, another one goes on from it, however it is read in.
#[test]
fn a_hole_in_a_file_is_an_end_and_a_beginning() {
    // From 10:00 to 14:30 nothing; the other logger was there from 10:50 to 11:10.
    let hole = |every| {
        format!(
            "time,temp C\n{}{}",
            rows(0, every, 1 + 120 / every, |_| 3.5),
            rows(390, every, 1 + 60 / every, |_| 4.0)
        )
    };
    let other = || logged(170, 20, 2, |_| 6.0);
    let whole = after("buffered", &[("", hole(60)), ("", other())]);
    let in_parts = after(
        "buffered",
        &[
            ("--to \"2026-11-09 12:00\"", hole(60)),
            ("", other()),
            ("--from \"2026-11-09 12:00\"", hole(60)),
        ],
    );
    assert_eq!(whole, in_parts);
    // All of the hole is as warm as what was measured in it.
    assert_eq!(whole["warm_minutes"], 270, "{whole}");
    // By itself it is a gap.
    let alone = after("buffered", &[("", hole(60))]);
    assert_eq!(alone["verdict"], "unknown", "{alone}");
}
