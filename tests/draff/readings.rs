//! `readings`: a logger's file of the air of a place, and what it does to the lots in it.

use crate::env::{Kitchen, has, one_line};
use crate::errors::transcript;
use serde_json::json;

/// Half-hourly readings of Friday from 10:00 to 23:30 and of Saturday until 08:30; `warm` of them, from
/// Saturday 02:00 on, at 9 °C, all others at 3.5 °C.
fn logged(warm: usize) -> String {
    let mut rows = String::from("time,temp C\n");
    for half in 20..65 {
        let (day, half_of_day) = (20 + half / 48, half % 48);
        let celsius = if half >= 52 && half < 52 + warm {
            "9"
        } else {
            "3.5"
        };
        rows.push_str(&format!(
            "2026-11-{day} {:02}:{:02},{celsius}\n",
            half_of_day / 2,
            half_of_day % 2 * 30
        ));
    }
    rows
}

/// A lot in the fridge since Friday 10:00; it is Saturday evening.
fn kitchen() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21 18:00");
    (kitchen, lot)
}

#[test]
fn cold_air_changes_nothing_and_warm_air_ends_use() {
    let (kitchen, lot) = kitchen();
    let before = kitchen.on_shelf(&lot);
    kitchen.file("cold.csv", logged(0));
    kitchen.ok("readings fridge --csv cold.csv");
    let mut after = kitchen.on_shelf(&lot);
    // Since the last reading nobody has measured: that is told, and nothing else is another.
    assert_eq!(after["not_measured_since"], "2026-11-21T08:00:00+00:00");
    after["not_measured_since"] = before["not_measured_since"].clone();
    assert_eq!(after, before);
    let (kitchen, lot) = self::kitchen();
    kitchen.file("warm.csv", logged(5));
    let said = kitchen.ok("readings fridge --csv warm.csv");
    assert!(said.contains(&lot), "{said}");
    let after = kitchen.on_shelf(&lot);
    assert_eq!(after["verdict"], "past", "{after}");
    // Five half hours at 9 °C; the rise before and the fall after count as warm too, since the worse end of an
    // interval holds for all of it: 30 + 4 × 30 + 30 minutes.
    assert_eq!(after["warm_minutes"], 180);
    kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
}

#[test]
fn overlapping_files_add_nothing_twice() {
    let (kitchen, lot) = kitchen();
    let all = logged(3);
    let first: String = all
        .lines()
        .take(30)
        .map(|line| format!("{line}\n"))
        .collect();
    kitchen.file("first.csv", first);
    kitchen.file("all.csv", &all);
    kitchen.ok("readings fridge --csv first.csv");
    kitchen.ok("readings fridge --csv all.csv");
    let (entries, shelf) = (kitchen.entries(), kitchen.on_shelf(&lot));
    let rows: i64 = kitchen
        .sqlite()
        .query_row("SELECT count(*) FROM air_reading", [], |row| row.get(0))
        .unwrap();
    // 45, and once more the last of the first file: the second goes on from it.
    assert_eq!(rows, 46);
    kitchen.ok("readings fridge --csv all.csv");
    assert_eq!(kitchen.entries(), entries, "nothing new, nothing written");
    assert_eq!(kitchen.on_shelf(&lot), shelf);
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

/// Struck, a file no longer counts, and it may be read in again.
#[test]
fn a_wrong_file_is_struck() {
    let (kitchen, lot) = kitchen();
    let before = kitchen.on_shelf(&lot);
    kitchen.file("warm.csv", logged(5));
    kitchen.ok("readings fridge --csv warm.csv");
    let entry = kitchen.last_entry("readings");
    kitchen.ok(&format!("strike {entry} --reason \"it lay on the oven\""));
    assert_eq!(kitchen.on_shelf(&lot), before);
    kitchen.ok("readings fridge --csv warm.csv");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

/// Air is not grain: however cold it is, grain that nobody measured is not shown cold.
#[test]
fn cold_air_shows_no_cooling() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let hot = kitchen.pickup("--brewed 2026-11-20 --mash-out 08:30 --temp 63C --wet 5kg");
    kitchen.at("2026-11-21 18:00");
    kitchen.file("cold.csv", logged(0));
    kitchen.ok("readings fridge --csv cold.csv");
    assert_eq!(kitchen.on_shelf(&hot)["verdict"], "unknown");
    assert_eq!(kitchen.on_shelf(&hot)["keep_until"], json!(null));
}

/// The file of a logger that writes decimal commas between commas: two columns leave one way to read it.
#[test]
fn decimal_commas_are_understood_where_only_one_reading_is_possible() {
    let (kitchen, _) = kitchen();
    let warmest = |name: &str, options: &str, text: &str| -> serde_json::Value {
        kitchen.file(name, text);
        kitchen.json(&format!("readings fridge --csv {name}{options}"))["warmest_c"].clone()
    };
    assert_eq!(
        warmest(
            "two.csv",
            "",
            "time,temp C\n2026-11-20 12:00,4,9\n2026-11-20 13:00,4\n"
        ),
        json!(4.9)
    );
    assert_eq!(
        warmest(
            "first.csv",
            "",
            "temp C,time\n-0,5,2026-11-20 12:10\n\"5,1\",2026-11-20 13:10\n"
        ),
        json!(5.1)
    );
    assert_eq!(
        warmest(
            "unit.csv",
            "",
            "time,temp\n2026-11-20 12:20,\"6,2 °C\"\n2026-11-20 13:20,6,1 °C\n"
        ),
        json!(6.2)
    );
    assert_eq!(
        warmest("semi.csv", "", "time;temp C\n2026-11-20 12:30;7,25\n"),
        json!(7.25)
    );
    let three = "time,humidity,temp C,battery\n2026-11-20 12:40,61,0,8,5,3,1\n";
    kitchen.file("three.csv", three);
    let said = kitchen.refused(1, "readings fridge --csv three.csv");
    assert!(
        said.contains("line 2: 7 cells where the header has 4 (where every figure has a decimal comma, add --decimal-comma)"),
        "{said}"
    );
    assert_eq!(warmest("three.csv", " --decimal-comma", three), json!(8.5));
}

/// Five warm hours must not vanish: a row of another length than the head is never read in part.
#[test]
fn rows_with_more_or_fewer_cells_than_the_head_are_refused() {
    let (kitchen, _) = kitchen();
    for (row, cells) in [
        ("2026-11-20 12:00,4,9,7", "4 cells"),
        ("2026-11-20 12:00", "1 cell"),
        ("2026-11-20 12:00,4,", "3 cells"),
        ("2026-11-20 12:00,4,x", "3 cells"),
        ("2026-11-20 12:00;4,9", "2 cells"),
    ] {
        kitchen.file(
            "rows.csv",
            format!("time,temp C\n2026-11-20 11:00,4\n{row}\n"),
        );
        let said = kitchen.refused(1, "readings fridge --csv rows.csv");
        let wanted = match row {
            "2026-11-20 12:00;4,9" => "line 3: ".to_owned(),
            _ => format!("line 3: {cells} where the header has 2"),
        };
        assert!(said.contains(&wanted), "{row}: {said}");
    }
}

/// Europe/Dublin, 25 October 2026: 01:00 to 01:59 comes twice. The rows tell which is which by stepping back once.
#[test]
fn the_doubled_hour_is_read_by_the_order_of_the_rows() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-10-25T12:00:00Z");
    let rows = [
        "00:30,3", "01:00,3", "01:30,4", "01:00,5", "01:30,6", "02:00,3",
    ];
    let day: String = rows
        .iter()
        .map(|row| format!("2026-10-25 {row}\n"))
        .collect();
    kitchen.file("night.csv", format!("time,temp C\n{day}"));
    let read = kitchen.json("readings fridge --csv night.csv");
    assert_eq!(read["added"], json!(6), "{read}");
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["from_at"], "2026-10-25T00:30:00+01:00");
    assert_eq!(found["to_at"], "2026-10-25T02:00:00+00:00");
    kitchen.file(
        "open.csv",
        "time,temp C\n2026-10-25 01:30,4\n2026-10-25 02:30,4\n",
    );
    let said = kitchen.refused(1, "readings fridge --csv open.csv");
    assert!(
        said.contains("comes twice") && said.contains("--zone UTC"),
        "{said}"
    );
    kitchen.ok("readings fridge --csv open.csv --zone Etc/GMT-1");
}

/// One warm reading says nothing of how long it was warm, and certainly not that it never was.
#[test]
fn a_single_warm_reading_is_told() {
    let (kitchen, _) = kitchen();
    kitchen.file("one.csv", "time,temp C\n2026-11-20 12:00,25\n");
    let said = kitchen.ok("readings fridge --csv one.csv");
    assert!(
        said.contains("1 reading above 5 °C with no other near: for how long is not known"),
        "{said}"
    );
    let read = kitchen.json("readings fridge --csv one.csv");
    assert_eq!(
        (&read["warm_alone"], &read["warm_minutes"]),
        (&json!(1), &json!(0))
    );
    let kitchen = Kitchen::new();
    kitchen.file(
        "apart.csv",
        "time,temp C\n2026-11-19 01:00,3\n2026-11-19 09:00,25\n2026-11-19 17:00,3\n",
    );
    let said = kitchen.ok("readings fridge --csv apart.csv");
    assert!(said.contains("1 reading above 5 °C"), "{said}");
    let said = kitchen.ok("readings fridge --summary");
    assert!(!said.contains("Out of it     no time"), "{said}");
}

#[test]
fn files_that_are_not_understood_are_refused() {
    let (kitchen, _) = kitchen();
    let row = "2026-11-20 12:00,4\n";
    kitchen.file("plain.csv", format!("time,temp\n{row}"));
    kitchen.file("nothing.csv", "");
    kitchen.file("other.csv", "a,b\n1,2\n");
    kitchen.file(
        "doubled.csv",
        format!("time,temp C\n{row}2026-11-20 12:00,9\n"),
    );
    kitchen.file("words.csv", "time,temp C\n2026-11-20 12:00,cold\n");
    kitchen.file("late.csv", "time,temp C\n2026-11-25 12:00,4\n");
    kitchen.file("clock.csv", "time,temp C\n2026-10-25 01:30,4\n");
    kitchen.file("hot.csv", "time,temp C\n2026-11-20 12:00,900\n");
    transcript(
        &kitchen,
        "readings",
        &[
            (2, "readings fridge"),
            (1, "readings attic --csv plain.csv --unit C"),
            (1, "readings fridge --csv absent.csv"),
            (1, "readings fridge --csv plain.csv"),
            (2, "readings fridge --csv plain.csv --unit K"),
            (
                1,
                "readings fridge --csv plain.csv --unit C --temp-column air",
            ),
            (1, "readings fridge --csv nothing.csv"),
            (1, "readings fridge --csv other.csv"),
            (1, "readings fridge --csv doubled.csv"),
            (1, "readings fridge --csv words.csv"),
            (1, "readings fridge --csv late.csv"),
            (1, "readings fridge --csv clock.csv"),
            (1, "readings fridge --csv hot.csv"),
        ],
    );
}

/// The file of the fridge, read in for the freezer: it never froze, and the same readings are there for the fridge.
#[test]
fn a_file_of_another_place_is_doubted() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "fridge.csv",
        "time,temp C\n2026-11-20 06:00,3.9\n2026-11-20 07:00,4.1\n2026-11-20 08:00,4.0\n",
    );
    let first = kitchen.run("readings fridge --csv fridge.csv");
    assert_eq!(first.told(), "", "{first:?}");
    let second = kitchen.run("readings freezer --csv fridge.csv").told();
    assert!(
        second.contains("3 of 3 readings are above -15 °C"),
        "{second}"
    );
    assert!(second.contains("in the book for fridge"), "{second}");
}

#[test]
fn a_thawed_freezer_names_the_lots_that_lost_their_days() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("move {lot} freezer"));
    let mut file = String::from("time,temp C\n");
    for hour in 12..18 {
        file.push_str(&format!("2026-11-23 {hour}:00,3.2\n"));
    }
    kitchen.file("f.csv", file);
    kitchen.at("2026-11-23T18:00:00Z");
    let read = kitchen.json("readings freezer --csv f.csv");
    assert_eq!(read["changed"][0]["lot"], lot, "{read}");
}

#[test]
fn times_with_an_offset_and_no_seconds_are_read() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-11-20T08:00Z,3.5\n2026-11-20T09:30+01:00,3.6\n2026-11-20T09:00Z,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["readings"], 3, "{found}");
    assert_eq!(found["from_at"], "2026-11-20T08:00:00+00:00", "{found}");
    assert_eq!(found["to_at"], "2026-11-20T09:00:00+00:00", "{found}");
}

/// Ireland's clocks went back on Sunday 25 October 2026 at 02:00.
#[test]
fn the_hour_that_comes_twice_is_told_with_its_offset() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-10-25T00:00Z,9.0\n2026-10-25T01:30Z,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    has(
        &one_line(&kitchen.ok("readings fridge --summary")),
        "Sun 25 Oct 01:00 +01:00 to 01:30 +00:00, 1 h 30 min",
    );
}

/// 15 °F is -9.4 °C: (15 - 32) / 1.8. Wet grain outside of a freezer is not below -2 °C.
#[test]
fn a_file_far_below_freezing_is_refused_for_a_place_that_is_no_freezer() {
    let rows =
        "time,temp,dew\n2026-11-20 10:00,15,-3\n2026-11-20 11:00,15,-3\n2026-11-20 12:00,15,-3\n";
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.file("u.csv", rows);
    for place in ["fridge", "counter"] {
        let said = kitchen.refused(1, &format!("readings {place} --csv u.csv --unit F"));
        has(
            &said,
            &format!(
                "more than half of these readings are -9.4 °C or colder, and {place} is no freezer"
            ),
        );
        has(&said, "if its figures are in °C: --unit C");
        has(
            &said,
            &format!("draff place change {place} --kind freezer --at WHEN"),
        );
    }
    let said = kitchen.refused(1, "readings fridge --csv u.csv --unit C --temp-column dew");
    has(&said, "--temp-column NAME");
    assert!(!said.contains("--unit"), "{said}");
    kitchen.ok("readings freezer --csv u.csv --unit F");
    kitchen.ok("readings fridge --csv u.csv --unit C");
    kitchen.at("2026-11-20T18:00:00Z");
    assert_ne!(kitchen.on_shelf(&lot)["verdict"], "good", "15 °C was warm");
    // One cold reading of three is no mistake.
    kitchen.file(
        "opened.csv",
        "time,temp C\n2026-11-20 13:00,-3\n2026-11-20 13:30,3\n2026-11-20 14:00,3\n",
    );
    kitchen.ok("readings fridge --csv opened.csv");

    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --kind freezer --at 2026-11-01");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.file("u.csv", rows);
    kitchen.ok("readings fridge --csv u.csv --unit F");
}
