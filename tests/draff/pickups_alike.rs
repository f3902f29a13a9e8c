//! Pickups that say the same are told, in a file and one after the other; those that say something else are not.

use crate::env::{Kitchen, has};

#[test]
fn a_row_that_a_file_has_twice_is_told_with_the_line_that_takes_it_back() {
    let kitchen = Kitchen::new();
    let row = "Tarn Fell,2026-11-20,10kg,08:30,09:30,4C\n";
    kitchen.file(
        "p.csv",
        format!("source,brewed,wet,mash_out,cooled,temp\n{row}{row}{row}"),
    );
    let said = kitchen.told("pickup --csv p.csv");
    has(&said, "the file says the same again in 2 rows");
    let line = said.split("draff strike ").nth(1).unwrap();
    let numbers = line.split(" --reason").next().unwrap();
    kitchen.ok(&format!("strike {numbers} --reason \"typed twice\""));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
}

#[test]
fn rows_that_differ_in_one_cell_are_not_told() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "p.csv",
        "source,brewed,wet,mash_out,cooled,temp,note\n\
         Tarn Fell,2026-11-20,10kg,08:30,09:30,4C,\n\
         Tarn Fell,2026-11-20,10kg,08:30,09:20,4C,\n\
         Tarn Fell,2026-11-20,10kg,08:30,09:30,3C,\n\
         Tarn Fell,2026-11-20,10kg,08:30,09:30,4C,second tub\n\
         Tarn Fell,2026-11-20,11kg,08:30,09:30,4C,\n\
         Tarn Fell,2026-11-20,10kg,08:40,09:30,4C,\n",
    );
    let said = kitchen.told("pickup --csv p.csv");
    assert!(!said.contains("says the same"), "{said}");
}

/// What the file says of itself is not said again where all of it was read before.
#[test]
fn a_file_that_is_read_twice_is_told_once() {
    let mut kitchen = Kitchen::new();
    let row = "Tarn Fell,2026-11-20,10kg,08:30\n";
    kitchen.file("p.csv", format!("source,brewed,wet,mash_out\n{row}{row}"));
    kitchen.ok("pickup --csv p.csv");
    kitchen.at("2026-11-20T20:00:00Z");
    let said = kitchen.told("pickup --csv p.csv");
    has(&said, "2 of 2 rows are in the book already");
    assert!(!said.contains("says the same"), "{said}");
}

#[test]
fn a_pickup_that_was_cold_at_another_time_or_came_at_another_temperature_does_not_say_the_same() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T16:00:00Z");
    let pickup = "pickup --source \"Alder Lane\" --brewed today --mash-out 12:00 --wet 10kg";
    kitchen.ok(&format!("{pickup} --cooled 15:30"));
    for other in [
        "--cooled 13:30",
        "",
        "--cooled 15:30 --temp 4C",
        "--temp 4C",
        "--temp 5C",
    ] {
        let said = kitchen.told(&format!("{pickup} {other}"));
        assert!(!said.contains("says the same"), "{other}: {said}");
    }
    for again in ["--cooled 13:30", "--cooled 15:30", "", "--temp 4C"] {
        has(&kitchen.told(&format!("{pickup} {again}")), "says the same");
    }
}

#[test]
fn a_pickup_that_is_typed_again_days_later_is_told_unless_its_note_says_what_it_is() {
    let mut kitchen = Kitchen::new();
    let of_the_day = "--brewed 2026-11-20 --mash-out \"2026-11-20 09:30\"";
    let pickup = format!("pickup --source \"Alder Lane\" {of_the_day}");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("{pickup} --wet 8kg"));
    kitchen.at("2026-11-20T12:30:00Z");
    for other in ["--wet 9kg", "--wet 8kg --note \"second tub\""] {
        let said = kitchen.told(&format!("{pickup} {other}"));
        assert!(!said.contains("says the same"), "{other}: {said}");
    }
    for later in ["2026-11-20T12:45:00Z", "2026-11-21T09:00:00Z"] {
        kitchen.at(later);
        let said = kitchen.told(&format!("{pickup} --wet 8kg"));
        has(&said, "says the same");
    }
}

#[test]
fn a_treatment_that_is_typed_twice_is_told() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    let press = |rest: &str| format!("treat {lot} --step press --wet-in 1kg {rest}");
    let first = kitchen.told(&press("--wet-out 700g"));
    assert!(!first.contains("says the same"), "{first}");
    has(&kitchen.told(&press("--wet-out 700g")), "says the same");
    let other = kitchen.told(&press("--wet-out 690g"));
    assert!(!other.contains("says the same"), "{other}");
}
