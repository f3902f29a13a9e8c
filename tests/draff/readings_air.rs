//! Loggers that measure air: what that makes of the grain, and what is known once they stop.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;
use std::fmt::Write;

/// Readings every five minutes from Friday 20 November 2026, 10:00, for so many hours.
fn logged(hours: usize, celsius: impl Fn(usize) -> f64) -> String {
    let mut rows = String::from("time,temp C\n");
    for step in 0..=hours * 12 {
        let minutes = 600 + step * 5;
        let (day, hour, minute) = (20 + minutes / 1440, minutes / 60 % 24, minutes % 60);
        writeln!(
            rows,
            "2026-11-{day} {hour:02}:{minute:02},{}",
            celsius(step)
        )
        .unwrap();
    }
    rows
}

/// 3.5 °C, and 6.2 °C at one reading every two hours, as a fridge that defrosts.
fn defrosting(step: usize) -> f64 {
    if step % 24 == 20 { 6.2 } else { 3.5 }
}

/// A lot in the fridge since Friday 10:00, and what its logger measured until Sunday 10:00.
fn measured(celsius: impl Fn(usize) -> f64) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-22 10:00");
    kitchen.file("f.csv", logged(48, celsius));
    (kitchen, lot)
}

/// Every so many rows of a file of five minutes, the first among them.
fn every(rows: usize, file: &str) -> String {
    let (head, readings) = file.split_once('\n').unwrap();
    let kept = readings.lines().step_by(rows).map(|row| format!("{row}\n"));
    format!("{head}\n{}", kept.collect::<String>())
}

#[test]
fn a_slow_logger_whose_warm_readings_stand_alone_is_told_that_its_step_decides() {
    let told = |file: String, probe: &str| {
        let mut kitchen = Kitchen::new();
        kitchen.ok(&format!(
            "place change fridge --probe-in {probe} --at 2026-11-01"
        ));
        kitchen.lot("10kg");
        kitchen.at("2026-11-22 10:00");
        kitchen.file("f.csv", file);
        one_line(&kitchen.ok("readings fridge --csv f.csv"))
    };
    let fine = logged(48, defrosting);
    has(
        &told(every(2, &fine), "air"),
        "the logger reads every 10 min, and no two warm readings follow each other. A logger that reads every 5 min or more often, or a probe in the grain, may show less warm time",
    );
    let is_told = |file, probe| told(file, probe).contains("the logger reads every");
    assert!(!is_told(fine.clone(), "air"), "it reads often enough");
    assert!(!is_told(every(2, &fine), "grain"), "the grain was measured");
    assert!(
        !is_told(every(2, &logged(48, |_| 3.5)), "air"),
        "it was cold"
    );
    let fault = |step: usize| if step > 500 { 9.0 } else { 3.5 };
    assert!(
        !is_told(every(2, &logged(48, fault)), "air"),
        "it stayed warm"
    );
}

#[test]
fn peaks_of_the_air_are_not_peaks_of_the_grain() {
    let (kitchen, lot) = measured(defrosting);
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(
        (&found["verdict"], &found["warm_minutes"]),
        (&json!("good"), &json!(0))
    );
    assert_eq!(found["layer_cm"], json!(2.0));
    let said = kitchen.ok("shelf");
    let flowing = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flowing.contains("a layer of 2 cm with moving air at both faces"),
        "{said}"
    );
    // The measured curve stands beside it.
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(
        (&summary["warmest_c"], &summary["layer_cm"]),
        (&json!(6.2), &json!(2.0))
    );
    assert_eq!(summary["grain_warm_minutes"], json!(0));
    let warmest = summary["grain_warmest_c"].as_f64().unwrap();
    assert!((3.5..5.0).contains(&warmest), "{warmest}");
    assert_eq!(summary["excursions"].as_array().unwrap().len(), 24);
    assert!(
        kitchen
            .ok("readings fridge --summary")
            .contains("a layer of 2 cm")
    );
    let drawn = kitchen.ok("readings fridge --summary --svg -");
    for part in ["<path class=\"grain\"", ">measured<", ">grain, calculated<"] {
        has(&drawn, part);
    }
    // In the grain the same readings count as they are: 24 peaks of ten minutes.
    let (kitchen, lot) = measured(defrosting);
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    kitchen.ok("readings fridge --csv f.csv");
    let drawn = kitchen.ok("readings fridge --summary --svg -");
    assert!(!drawn.contains("grain, calculated"), "{drawn}");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(
        (&found["verdict"], &found["warm_minutes"]),
        (&json!("past"), &json!(240))
    );
    assert_eq!(found["layer_cm"], json!(null));
}

/// Slow to cool: grain is warm for longer than its air was.
#[test]
fn air_that_stays_warm_warms_the_grain() {
    let (kitchen, lot) = measured(|step| if (120..156).contains(&step) { 9.0 } else { 3.5 });
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "past", "{found}");
    assert!(found["warm_minutes"].as_i64().unwrap() > 190, "{found}");
    // Without that time the grain would have been cold after it as well.
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(
        summary["excursions"][0]["lots"][0]["verdict_without"],
        "good"
    );
}

#[test]
fn thin_grain_counts_with_its_own_layer() {
    let peak = |step: usize| if (120..122).contains(&step) { 8.0 } else { 3.0 };
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let thin = kitchen.json(&format!("portion {lot} --into 1x500g --thick 4mm"))["lots"][0]["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok("place change fridge --layer 6cm");
    kitchen.at("2026-11-22 10:00");
    kitchen.file("f.csv", logged(48, peak));
    kitchen.ok("readings fridge --csv f.csv");
    let (thin, thick) = (kitchen.on_shelf(&thin), kitchen.on_shelf(&lot));
    assert_eq!(
        (&thin["layer_cm"], &thick["layer_cm"]),
        (&json!(0.4), &json!(6.0))
    );
    assert!(
        thin["warm_minutes"].as_i64() > thick["warm_minutes"].as_i64(),
        "{thin} {thick}"
    );
}

/// A file that ends while the door stands open to fetch the logger condemns nothing.
#[test]
fn what_was_read_last_does_not_count_for_ever() {
    let last = 48 * 12;
    let (mut kitchen, lot) = measured(move |step| if step == last { 5.4 } else { 3.5 });
    kitchen.ok("readings fridge --csv f.csv");
    kitchen.at("2026-11-22 15:00");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["not_measured_since"], "2026-11-22T10:00:00+00:00");
    let shelf = kitchen.ok("shelf");
    let line = shelf.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        line.contains("not measured since Sun 22 Nov 10:00"),
        "{shelf}"
    );
    // Grain that was warm itself is unknown then, and a file about that time is welcome.
    let (mut kitchen, lot) = measured(move |step| if step > last - 6 { 9.0 } else { 3.5 });
    kitchen.ok("readings fridge --csv f.csv");
    kitchen.at("2026-11-22 15:00");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "unknown", "{found}");
    let limit = found["binding"]["limit"].as_str().unwrap();
    assert!(limit.contains("at the last reading"), "{limit}");
    kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok(&format!("probe {lot} 3.5C"));
    assert_eq!(
        kitchen.on_shelf(&lot)["verdict"],
        "unknown",
        "a cold probe clears nothing"
    );
    let rest: String = logged(53, |_| 3.5)
        .lines()
        .enumerate()
        .filter(|(row, _)| *row == 0 || *row > last + 1)
        .map(|(_, line)| format!("{line}\n"))
        .collect();
    kitchen.file("rest.csv", rest);
    kitchen.ok("readings fridge --csv rest.csv");
    let found = kitchen.on_shelf(&lot);
    assert_ne!(found["verdict"], "unknown", "{found}");
    assert_eq!(found["not_measured_since"], json!(null));
}

/// In a book from before places said what their probe measures, readings count as they did, and telling it later
/// makes nothing usable.
#[test]
fn an_older_book_counts_as_it_did() {
    let (kitchen, lot) = measured(defrosting);
    kitchen.past_the_triggers(|book| {
        book.execute("UPDATE place_setting SET probe = NULL", [])
            .unwrap();
    });
    kitchen.ok("readings fridge --csv f.csv");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let places = kitchen.json("place");
    assert_eq!(places["places"][0]["probe_in"], json!(null));
    kitchen.refused(1, "place change fridge --probe-in air --at 2026-11-01");
    kitchen.ok("place change fridge --probe-in air --layer 3cm");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let places = kitchen.json("place");
    assert_eq!(places["places"][0]["probe_in"], "air");
    assert_eq!(places["places"][0]["layer_cm"], json!(3.0));
    // The same goes for what is unknown.
    let (kitchen, lot) = measured(|_| 3.5);
    kitchen.past_the_triggers(|book| {
        book.execute("UPDATE place_setting SET probe = NULL", [])
            .unwrap();
    });
    kitchen.file(
        "short.csv",
        logged(7, |step| if step == 84 { 5.2 } else { 3.5 }),
    );
    kitchen.ok("readings fridge --csv short.csv");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    let said = kitchen.refused(1, "place change fridge --probe-in air --at 2026-11-01");
    assert!(said.contains("would make it usable again"), "{said}");
}

/// A logger is carried in warm, days after the grain left: it says nothing of grain that it never measured.
#[test]
fn a_file_that_begins_after_grain_left_the_place_says_nothing_of_it() {
    for act in [
        "move LOT --to f2",
        "move LOT --wet 1kg --to f2",
        "portion LOT --into 1x1kg --to f2 --thick 8cm",
    ] {
        let mut kitchen = Kitchen::new();
        kitchen.ok("place add f2 --kind fridge --temp 4C");
        let lot = kitchen.lot("10kg");
        kitchen.at("2026-11-20 12:00");
        let made = kitchen.json(&act.replace("LOT", &lot));
        let moved = made["lot"].as_str().map_or_else(
            || made["lots"][0]["lot"].as_str().unwrap().to_owned(),
            str::to_owned,
        );
        kitchen.at("2026-11-23 18:00");
        let before = kitchen.on_shelf(&moved);
        let mut rows = String::from("time,temp C\n2026-11-23 06:00,20\n");
        for minutes in (5..600).step_by(5) {
            let (hour, minute) = (6 + minutes / 60, minutes % 60);
            writeln!(rows, "2026-11-23 {hour:02}:{minute:02},3.5").unwrap();
        }
        kitchen.file("late.csv", rows);
        kitchen.ok("readings fridge --csv late.csv");
        let after = kitchen.on_shelf(&moved);
        for key in ["verdict", "keep_until", "warm_minutes"] {
            assert_eq!(after[key], before[key], "{act}: {key}");
        }
    }
}
