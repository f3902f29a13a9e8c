//! `readings --summary`: what the air of a place was, which lots each excursion touched, the picture and the page.

use crate::env::Kitchen;
use serde_json::{Value, json};
use std::fmt::Write;

/// Half-hourly readings in °C from one half hour of Friday 20 November to another, as they are told by it.
fn logged(from: usize, to: usize, celsius: impl Fn(usize) -> Option<f64>) -> String {
    let mut rows = String::from("time,temp C\n");
    for half in from..to {
        if let Some(celsius) = celsius(half) {
            let (day, of_day) = (20 + half / 48, half % 48);
            let (hour, minute) = (of_day / 2, of_day % 2 * 30);
            writeln!(rows, "2026-11-{day} {hour:02}:{minute:02},{celsius}").unwrap();
        }
    }
    rows
}

/// Warm from Saturday 02:00 to 04:00, cold else.
fn warm_night(half: usize) -> Option<f64> {
    Some(if (52..57).contains(&half) { 9.0 } else { 3.5 })
}

/// A lot in the fridge since Friday 10:00 and one since Saturday 10:00; it is Saturday evening.
fn two_lots() -> (Kitchen, String, String) {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let first = kitchen.lot("10kg");
    kitchen.at("2026-11-21 10:00");
    let second = kitchen.pickup("--brewed 2026-11-21 --mash-out 03:30 --cooled 09:00 --wet 8kg");
    kitchen.at("2026-11-21 18:00");
    (kitchen, first, second)
}

/// Two lots, and what the fridge was from Friday 10:00 to Saturday 17:30.
fn measured(celsius: impl Fn(usize) -> Option<f64>) -> (Kitchen, String, String) {
    let (kitchen, first, second) = two_lots();
    kitchen.file("f.csv", logged(20, 84, celsius));
    kitchen.ok("readings fridge --csv f.csv");
    (kitchen, first, second)
}

#[test]
fn an_excursion_touches_the_lot_that_was_there() {
    let (kitchen, first, second) = two_lots();
    let before = kitchen.on_shelf(&first);
    kitchen.file("f.csv", logged(20, 84, warm_night));
    kitchen.ok("readings fridge --csv f.csv");
    let after = kitchen.on_shelf(&first);
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["from_at"], "2026-11-20T10:00:00+00:00");
    assert_eq!(found["to_at"], "2026-11-21T17:30:00+00:00");
    assert_eq!(found["readings"], 64);
    assert_eq!(
        (&found["coldest_c"], &found["warmest_c"]),
        (&json!(3.5), &json!(9.0))
    );
    // By hand: 31 h 30 min at 3.5 °C, and half an hour up, two hours at and half an hour down from 5.5 K more.
    assert_eq!(found["mean_c"], 3.937);
    assert_eq!(
        (&found["outside_minutes"], &found["within_minutes"]),
        (&json!(180), &json!(1710))
    );
    assert_eq!(found["unknown_minutes"], 0);
    let excursions = found["excursions"].as_array().unwrap();
    assert_eq!(excursions.len(), 1);
    assert_eq!(excursions[0]["from_at"], "2026-11-21T01:30:00+00:00");
    assert_eq!(excursions[0]["to_at"], "2026-11-21T04:30:00+00:00");
    assert_eq!(
        (&excursions[0]["minutes"], &excursions[0]["warmest_c"]),
        (&json!(180), &json!(9.0))
    );
    // What the shelf says with the readings and said before them.
    let touched = json!([{
        "lot": first, "gone_at": null,
        "verdict": after["verdict"], "keep_until": after["keep_until"],
        "verdict_without": before["verdict"], "keep_until_without": before["keep_until"],
        "differs": true,
    }]);
    assert_eq!(excursions[0]["lots"], touched);
    assert_eq!(
        (&before["verdict"], &after["verdict"]),
        (&json!("good"), &json!("past"))
    );
    let stays: Vec<&Value> = found["stays"]
        .as_array()
        .unwrap()
        .iter()
        .map(|stay| &stay["lot"])
        .collect();
    assert_eq!(stays, [&first, &second]);
    let said = kitchen.ok("readings fridge --summary");
    for words in [
        "Sat 21 Nov 01:30 to 04:30, 3 h, highest 9 °C",
        &format!("{first}: past since Sat 21 Nov"),
        "without it good until Thu 26 Nov, end of day",
        "! Baking does not make spoiled grain safe",
    ] {
        assert!(said.contains(words), "{words}\n{said}");
    }
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
}

/// A time without readings is unknown, whatever the place is stated to hold.
#[test]
fn a_gap_is_told_with_what_it_did() {
    let (kitchen, first, second) = measured(|half| (!(60..80).contains(&half)).then_some(3.5));
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["excursions"], json!([]));
    let gap = &found["gaps"][0];
    assert_eq!(gap["from_at"], "2026-11-21T05:30:00+00:00");
    assert_eq!(gap["to_at"], "2026-11-21T16:00:00+00:00");
    assert_eq!(
        (&found["unknown_minutes"], &gap["minutes"]),
        (&json!(630), &json!(630))
    );
    for (index, lot) in [&first, &second].into_iter().enumerate() {
        let touched = &gap["lots"][index];
        assert_eq!(touched["lot"], **lot);
        assert_eq!(
            (&touched["verdict"], &touched["verdict_without"]),
            (&json!("unknown"), &json!("good"))
        );
        assert_eq!(kitchen.on_shelf(lot)["verdict"], "unknown");
    }
    let said = kitchen.ok("readings fridge --summary");
    assert!(
        said.contains("for 10 h 30 min: unknown, and never cold"),
        "{said}"
    );
    assert!(
        kitchen
            .ok("readings fridge --summary --svg -")
            .contains("class=\"none\"")
    );
}

#[test]
fn what_was_used_up_and_what_was_parted_off_is_told_too() {
    let (mut kitchen, first, second) = two_lots();
    let part = kitchen.json(&format!(
        "portion {first} --into 1x4kg --to freezer --at \"2026-11-21 06:00\""
    ));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.ok(&format!(
        "use {first} --wet 6kg --for bread --at \"2026-11-21 12:00\""
    ));
    kitchen.at("2026-11-23 18:00");
    kitchen.file("f.csv", logged(20, 160, warm_night));
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.json("readings fridge --summary");
    let lots = found["excursions"][0]["lots"].as_array().unwrap();
    let codes: Vec<&Value> = lots.iter().map(|lot| &lot["lot"]).collect();
    assert_eq!(
        codes,
        [&first, &part],
        "what was parted off after it was there too"
    );
    assert_eq!(lots[0]["gone_at"], "2026-11-21T12:00:00+00:00");
    // Used up, it is judged as of then; two warm hours had been over since the night.
    assert_eq!(
        (&lots[0]["verdict"], &lots[0]["verdict_without"]),
        (&json!("past"), &json!("good"))
    );
    assert_eq!(
        (&lots[1]["gone_at"], &lots[1]["verdict"]),
        (&json!(null), &json!("past"))
    );
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    let stays: Vec<(&Value, &Value)> = found["stays"]
        .as_array()
        .unwrap()
        .iter()
        .map(|stay| (&stay["lot"], &stay["to_at"]))
        .collect();
    assert_eq!(
        stays,
        [
            (&json!(first), &json!("2026-11-21T12:00:00+00:00")),
            (&json!(second), &json!(null))
        ],
        "the part itself never stood in the fridge"
    );
}

/// What the air of a place was is put together for the times that are asked for; no lot's are another's.
#[test]
fn every_lot_has_the_air_of_its_own_time() {
    let (mut kitchen, first, second) = two_lots();
    kitchen.ok(&format!(
        "move {first} --to freezer --at \"2026-11-21 06:00\""
    ));
    kitchen.at("2026-11-22 10:00");
    let third = kitchen.pickup("--brewed 2026-11-22 --mash-out 03:30 --cooled 09:00 --wet 8kg");
    kitchen.at("2026-11-23 12:00");
    // Warm on Saturday 02:00 to 04:00, and on Saturday and Sunday evening from 20:00 to 20:30.
    let warm = |half: usize| [88, 89, 136, 137].contains(&half) || (52..57).contains(&half);
    kitchen.file(
        "f.csv",
        logged(20, 168, |half| Some(if warm(half) { 9.0 } else { 3.5 })),
    );
    kitchen.ok("readings fridge --csv f.csv");
    let minutes = |lot: &String| kitchen.on_shelf(lot)["warm_minutes"].clone();
    assert_eq!(
        [minutes(&first), minutes(&second), minutes(&third)],
        [180, 180, 90]
    );
    let found = kitchen.json("readings fridge --summary");
    let touched = |index: usize| -> Vec<Value> {
        let lots = found["excursions"][index]["lots"].as_array().unwrap();
        lots.iter().map(|lot| lot["lot"].clone()).collect()
    };
    assert_eq!(
        [touched(0), touched(1), touched(2)],
        [
            vec![json!(first)],
            vec![json!(second)],
            vec![json!(second), json!(third)]
        ]
    );
}

#[test]
fn without_readings_the_answer_is_plain() {
    let (kitchen, ..) = two_lots();
    let said = kitchen.ok("readings fridge --summary");
    assert!(
        said.contains("none: draff readings fridge --csv FILE reads in"),
        "{said}"
    );
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(
        (&found["readings"], &found["from_at"], &found["mean_c"]),
        (&json!(0), &json!(null), &json!(null))
    );
    assert!(
        kitchen
            .ok("readings fridge --summary --svg -")
            .contains("none: draff readings")
    );
    assert!(
        kitchen
            .ok("readings fridge --summary --html -")
            .contains("none: draff readings")
    );
}

#[test]
fn a_part_of_the_time_can_be_asked_for() {
    let (kitchen, ..) = measured(warm_night);
    let found = kitchen.json("readings fridge --summary --from \"sat 03:00\" --to \"sat 06:00\"");
    assert_eq!(
        found["excursions"][0]["from_at"],
        "2026-11-21T03:00:00+00:00"
    );
    assert_eq!(
        (&found["outside_minutes"], &found["within_minutes"]),
        (&json!(90), &json!(90))
    );
    assert_eq!(found["readings"], 6);
    let early = kitchen.json("readings fridge --summary --to \"fri 20:00\"");
    assert_eq!(
        (&early["warmest_c"], &early["excursions"]),
        (&json!(3.5), &json!([]))
    );
    for (time, words) in [
        (
            "--to 2026-11-02",
            "none in that time; the first one is of Fri 20 Nov 10:00",
        ),
        (
            "--from \"2026-11-21 17:40\"",
            "none in that time; the one before it is of Sat 21 Nov 17:30, 3.5 °C",
        ),
    ] {
        let said = kitchen.ok(&format!("readings fridge --summary {time}"));
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(words), "{said}");
    }
}

/// A figure read in °F is held against the rule text's own °F limit, Food Code 3-501.16(A)(2): 5 °C (41 °F).
#[test]
fn fahrenheit_is_held_against_its_own_limit() {
    let mut kitchen = Kitchen::bare();
    kitchen.at("2026-11-20 08:00");
    kitchen.ok("new-book --zone America/Denver --rules us-food-code");
    kitchen.at("2026-11-21T10:00:00-07:00");
    for (warmest, times) in [("41", 0), ("42", 1)] {
        kitchen.file("f.csv", format!("time,temp F\n2026-11-20 08:00,39\n2026-11-20 09:00,{warmest}\n2026-11-20 10:00,39\n"));
        kitchen.ok("readings fridge --csv f.csv");
        let found = kitchen.json("readings fridge --summary");
        assert_eq!(
            found["excursions"].as_array().unwrap().len(),
            times,
            "{warmest}"
        );
        let entry = kitchen.last_entry("readings");
        kitchen.ok(&format!("strike {entry} --reason again"));
    }
    kitchen.ok("readings fridge --csv f.csv");
    let said = kitchen.ok("--us readings fridge --summary");
    for words in ["at or below 41 °F", "highest 42 °F", "lowest 39 °F"] {
        assert!(said.contains(words), "{said}");
    }
    let drawn = kitchen.ok("--us readings fridge --summary --svg -");
    assert!(drawn.contains("41 °F") && !drawn.contains("°C"), "{drawn}");
}

/// What is warm at the last reading counts as warm until something newer is known.
#[test]
fn what_is_not_over_is_said_to_go_on() {
    let (kitchen, first, _) = measured(|half| Some(if half >= 82 { 9.0 } else { 3.5 }));
    let found = kitchen.json("readings fridge --summary");
    let excursion = &found["excursions"][0];
    assert_eq!(excursion["from_at"], "2026-11-21T16:30:00+00:00");
    assert_eq!(
        (&excursion["to_at"], &excursion["minutes"]),
        (&json!(null), &json!(90))
    );
    assert_eq!(kitchen.on_shelf(&first)["warm_minutes"], 90);
    let said = kitchen.ok("readings fridge --summary");
    assert!(
        said.contains("since Sat 21 Nov 16:30, 1 h 30 min so far"),
        "{said}"
    );
}

#[test]
fn it_says_the_same_again_and_writes_nothing() {
    let (kitchen, ..) = measured(warm_night);
    let before = kitchen.files();
    for words in [
        "readings fridge --summary",
        "--json readings fridge --summary",
        "readings fridge --summary --svg -",
        "readings fridge --summary --html -",
    ] {
        assert_eq!(kitchen.ok(words), kitchen.ok(words), "{words}");
    }
    assert!(before == kitchen.files());
    let said = kitchen.run("readings fridge --summary --svg f.svg --html f.html");
    assert!(
        said.err.contains("wrote the picture to f.svg")
            && said.err.contains("wrote the page to f.html"),
        "{}",
        said.err
    );
    assert_eq!(said.out, kitchen.ok("readings fridge --summary"));
    let read = |name: &str| std::fs::read_to_string(kitchen.folder().join(name)).unwrap();
    assert_eq!(
        read("f.svg"),
        kitchen.ok("readings fridge --summary --svg -")
    );
    assert!(
        read("f.html").contains(&read("f.svg")),
        "the page holds the picture"
    );
    kitchen.refused(1, "readings fridge --summary --svg book.draff");
}

#[test]
fn what_makes_no_sense_is_refused() {
    let (kitchen, ..) = measured(warm_night);
    assert!(
        kitchen
            .refused(1, "readings attic --summary")
            .contains("known are fridge")
    );
    for words in [
        "readings fridge",
        "readings fridge --summary --csv f.csv",
        "readings fridge --csv f.csv --svg f.svg",
        "readings fridge --summary --unit C",
        "readings fridge --summary --from sat --to fri",
        "readings fridge --summary --from tomorrow",
        "readings fridge --summary --svg - --html -",
        "--json readings fridge --summary --svg -",
    ] {
        kitchen.refused(2, words);
    }
}

/// The lowest and the highest reading are in the picture, however many there are.
#[test]
fn no_peak_is_lost_in_the_picture() {
    let (mut kitchen, ..) = two_lots();
    let mut rows = String::from("time,temp C\n");
    for minute in 0..30_000 {
        let at = chrono::DateTime::from_timestamp(1_795_000_000 + minute * 60, 0).unwrap();
        let celsius = match minute {
            12_345 => 12.0,
            23_456 => -1.0,
            _ => 3.0 + (minute % 7) as f64 / 10.0,
        };
        writeln!(rows, "{},{celsius}", at.format("%Y-%m-%dT%H:%M:%SZ")).unwrap();
    }
    kitchen.at("2026-12-30 12:00");
    kitchen.file("long.csv", rows);
    kitchen.ok("readings fridge --csv long.csv");
    let drawn = kitchen.ok("readings fridge --summary --svg -");
    let path = drawn
        .split("class=\"air\" d=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let heights: Vec<f64> = path
        .split(['M', 'L'])
        .filter_map(|point| point.split(' ').nth(1)?.parse().ok())
        .collect();
    assert!(
        heights.len() > 1_000 && heights.len() < 4_000,
        "{}",
        heights.len()
    );
    let rank = |height: f64| {
        heights
            .iter()
            .filter(|other| (**other - height).abs() < 20.0)
            .count()
    };
    let highest = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let lowest = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert_eq!(
        (rank(highest), rank(lowest)),
        (1, 1),
        "each stands by itself"
    );
    assert!(
        lowest - highest > 200.0,
        "13 K of 15.08 K that are drawn: {highest} to {lowest}"
    );
}

/// Grain that was past when a time began is named, and no more is said of it: nothing changes it any more.
#[test]
fn what_was_past_before_is_only_named() {
    let warm = |half: usize| (52..57).contains(&half) || half == 70;
    let (kitchen, first, second) = measured(|half| Some(if warm(half) { 9.0 } else { 3.5 }));
    let later = &kitchen.json("readings fridge --summary")["excursions"][1]["lots"];
    assert_eq!(later[0]["lot"], first.as_str());
    assert_eq!(
        (&later[0]["verdict"], &later[0]["differs"]),
        (&json!("past"), &json!(false))
    );
    let said = kitchen.ok("readings fridge --summary");
    assert!(
        said.contains(&format!("past before it: {first}\n")),
        "{said}"
    );
    assert!(
        said.contains(&format!(
            "{second}: good until Fri 27 Nov, end of day, with it and without"
        )),
        "{said}"
    );
    let page = kitchen.ok("readings fridge --summary --html -");
    assert!(
        page.contains(&format!(
            "<li class=\"changed\">{first}: past since Sat 21 Nov"
        )),
        "{page}"
    );
    assert!(
        page.contains(&format!(">past before it: {first}</li>")),
        "{page}"
    );
}
