//! `cool`: will this tub cool in time, with the limits of a book or without one.

use crate::env::Kitchen;
use serde_json::Value;

const TUB: &str = "cool --depth 8cm --from 62C --fridge 3C --tub round 30cm";

/// The answer as words, however the lines were broken.
fn words(kitchen: &Kitchen, line: &str) -> String {
    let said = kitchen.ok(line);
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn minutes(answer: &Value, end: &str, to: &str) -> f64 {
    answer[end][to].as_f64().unwrap()
}

#[test]
fn a_deep_tub_is_told_off_first() {
    let said = Kitchen::bare().ok(TUB);
    assert!(said.starts_with("Too slow "), "{said}");
    let before_the_calculation = said.split("\n\n").next().unwrap();
    for way in ["no deeper than 0.7 cm", "on a rack with a fan", "ice water"] {
        assert!(before_the_calculation.contains(way), "{way}\n{said}");
    }
    assert!(said.contains("take the temperature in the middle of the grain"));
    assert!(said.contains("Hot grain scalds"));
    assert!(
        said.lines().all(|line| line.chars().count() <= 80),
        "{said}"
    );
}

/// The answer's own depths, asked for again, are where it turns.
#[test]
fn the_deepest_layer_is_in_time_and_a_deeper_one_is_not() {
    let kitchen = Kitchen::bare();
    let rest = "--from 62C --fridge 3C --under rack --air moving --json";
    let answer = kitchen.json(&format!("cool --depth 8cm {rest}"));
    assert_eq!(answer["forecast"], "too-slow");
    let deepest = answer["slow"]["deepest_cm"].as_f64().unwrap();
    for (depth, forecast) in [
        (deepest - 0.01, "in-time"),
        (deepest + 0.01, "doubtful"),
        (
            answer["quick"]["deepest_cm"].as_f64().unwrap() + 0.01,
            "too-slow",
        ),
    ] {
        let again = kitchen.json(&format!("cool --depth {depth:.3}cm {rest}"));
        assert_eq!(again["forecast"], forecast, "{depth}");
    }
}

/// The limits are those of the book: the Food Code lets the second stage take what the first left over.
#[test]
fn the_limits_are_those_of_the_book() {
    let kitchen = Kitchen::bare();
    let strict = kitchen.json("cool --depth 2.5cm --from 60C --fridge 3C --under rack");
    assert_eq!(
        (&strict["rules"], &strict["cold_c"]),
        (&"strict".into(), &5.0.into())
    );
    kitchen.ok("new-book --zone Europe/London --rules uk-chilled");
    let chilled = kitchen.json("cool --depth 2.5cm --from 60C --fridge 3C --under rack");
    assert_eq!(
        (&chilled["rules"], &chilled["cold_c"]),
        (&"uk-chilled".into(), &8.0.into())
    );
    assert!(
        minutes(&chilled, "slow", "minutes_to_cold") < minutes(&strict, "slow", "minutes_to_cold")
    );
}

#[test]
fn wetter_deeper_stiller_and_warmer_take_longer() {
    let kitchen = Kitchen::bare();
    let time = |words: &str| {
        let answer = kitchen.json(&format!("cool --from 62C {words}"));
        minutes(&answer, "slow", "minutes_to_first")
    };
    let plain = time("--depth 4cm --fridge 3C --under rack");
    for slower in [
        "--depth 5cm --fridge 3C --under rack",
        "--depth 4cm --fridge 4C --under rack",
        "--depth 4cm --fridge 3C --under shelf",
        "--depth 4cm --fridge 3C --under rack --moisture 85%",
    ] {
        assert!(time(slower) > plain, "{slower}");
    }
    for quicker in [
        "--depth 4cm --fridge 3C --under rack --form pressed",
        "--depth 4cm --fridge 3C --under rack --air moving",
        "--depth 4cm --fridge 3C --under rack --tub round 20cm",
    ] {
        assert!(time(quicker) < plain, "{quicker}");
    }
}

#[test]
fn a_fridge_above_the_limit_never_gets_there() {
    let kitchen = Kitchen::bare();
    let answer = kitchen.json("cool --depth 1cm --from 62C --fridge 6C");
    assert_eq!(answer["forecast"], "too-slow");
    assert!(answer["quick"]["minutes_to_cold"].is_null());
    assert!(answer["quick"]["deepest_cm"].is_null());
    let said = words(&kitchen, "cool --depth 1cm --from 62C --fridge 6C");
    assert!(said.contains("at 5 °C never"), "{said}");
    assert!(
        said.contains("no layer, however thin, cools in time here"),
        "{said}"
    );
}

#[test]
fn grain_that_is_no_longer_hot_has_a_clock_that_runs() {
    let kitchen = Kitchen::bare();
    let line = "cool --depth 2cm --from 40C --fridge 3C --under rack --air moving";
    let said = words(&kitchen, line);
    assert!(
        said.contains("if the grain left 60 °C only just now"),
        "{said}"
    );
    assert!(said.contains("take off what has passed already"), "{said}");
    let hot = words(&kitchen, &line.replace("40C", "62C"));
    assert!(!hot.contains("only just now"), "{hot}");
}

#[test]
fn what_is_left_out_is_of_this_grain_and_in_json_too() {
    let kitchen = Kitchen::bare();
    let hot = "cool --depth 2cm --from 65C --fridge 3C";
    let lukewarm = "cool --depth 2cm --from 20C --fridge 3C";
    for line in [hot, lukewarm] {
        let said = words(&kitchen, line);
        assert_eq!(said.contains("at 62 °C"), line == hot, "{said}");
        let answer = kitchen.json(line);
        let left_out = answer["left_out"].as_array().unwrap();
        assert_eq!(left_out.len(), 3);
        for one in left_out {
            assert!(said.contains(one.as_str().unwrap()), "{one}: {said}");
        }
    }
}

#[test]
fn pounds_people_read_inches_and_fahrenheit() {
    let said =
        Kitchen::bare().ok("--us cool --depth 3in --from 144F --fridge 38F --tub round 12in");
    for part in ["3 in deep at 144 °F", "12 in wide", "at 41 °F"] {
        assert!(said.contains(part), "{part}\n{said}");
    }
}

/// The width of a tub may be left out, and what follows is another option then.
#[test]
fn a_tray_may_stand_before_another_option() {
    let last =
        Kitchen::bare().ok("cool --depth 2cm --from 65C --fridge 3C --under rack --tub tray");
    let first = "cool --depth 2cm --from 65C --fridge 3C --tub tray --under rack";
    assert_eq!(Kitchen::bare().ok(first), last);
}

#[test]
fn doubtful_tubs_are_refused() {
    let kitchen = Kitchen::bare();
    for (words, found) in [
        ("--depth 8 --from 62C --fridge 3C", "has no unit"),
        ("--depth 8cm --from 62 --fridge 3C", "has no unit"),
        ("--depth 0cm --from 62C --fridge 3C", "length is 0 cm"),
        ("--depth 150cm --from 62C --fridge 3C", "depth is 150 cm"),
        (
            "--depth 8cm --from 62C --fridge=-18C",
            "freezes the outside first",
        ),
        ("--depth 8cm --from 3C --fridge 3C", "that is cold already"),
        (
            "--depth 8cm --from 20C --fridge 30C",
            "nothing cools it there",
        ),
        (
            "--depth 8cm --from 140C --fridge 3C",
            "temperature of the grain is 140 °C",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --tub round",
            "a round tub has a width",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --tub tray 30cm",
            "takes no width",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --tub square 30cm",
            "allowed are tray, round",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --form dried",
            "wet grain is calculated",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --moisture 100%",
            "less than 100%",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --under table",
            "allowed are shelf, rack",
        ),
        (
            "--depth 8cm --from 62C --fridge 3C --air gale",
            "allowed are still, moving",
        ),
        ("--from 62C --fridge 3C", "--depth"),
    ] {
        let said = kitchen.refused(2, &format!("cool {words}"));
        assert!(said.contains(found), "{words}: {said}");
    }
    assert!(kitchen.files().is_empty(), "a forecast makes no book");
}
