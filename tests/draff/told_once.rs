//! What is told of several lots is told once below the list, with the moment or figure of each.

use crate::env::{Kitchen, has, one_line};

/// Grain of that Monday from three breweries, which nobody measured: mash-outs at 07:11, 08:12 and 08:12. Gives the codes.
fn unmeasured() -> (Kitchen, [String; 3]) {
    let kitchen = Kitchen::on_monday();
    let lots = [
        ("Corrow Weir", "07:11"),
        ("Quern House", "08:12"),
        ("Tarn Fell", "08:12"),
    ]
    .map(|(source, mash_out)| {
        kitchen.pickup_from(
            source,
            &format!("--brewed today --mash-out {mash_out} --wet 6kg"),
        )
    });
    (kitchen, lots)
}

const REASON: &str = "a thermometer now does not show how fast it cooled. Keep a lot only if somebody saw that all of it was at 5 °C or colder";
const TYPED: &str = "If so, type since when: draff probe LOT --cooled WHEN";

#[test]
fn lots_that_had_to_be_cold_at_different_times_are_told_of_once() {
    let (mut kitchen, lots) = unmeasured();
    let [corrow, quern, tarn] = &lots;
    kitchen.at("2026-11-09T20:00:00Z");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        for lot in &lots {
            has(
                &said,
                &format!("throw it away: draff discard {lot} --reason unknown"),
            );
        }
        assert_eq!(said.matches("how fast it cooled").count(), 1, "{said}");
        assert_eq!(said.matches("Keep a lot only if").count(), 1, "{said}");
        has(
            &said,
            &format!(
                "{REASON}: {corrow} by Mon 9 Nov 13:11; {quern}, {tarn} by Mon 9 Nov 14:12. {TYPED}"
            ),
        );
    }
}

#[test]
fn one_whose_time_is_still_to_come_is_among_them() {
    let (mut kitchen, lots) = unmeasured();
    let [corrow, quern, tarn] = &lots;
    kitchen.at("2026-11-09T13:30:00Z");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        has(
            &said,
            &format!(
                "keep it only if somebody watched it cool; else throw it away: draff discard {tarn} --reason unknown"
            ),
        );
        assert!(!said.contains("all of it must be"), "{said}");
        has(
            &said,
            &format!(
                "{corrow} by Mon 9 Nov 13:11; {quern}, {tarn} by Mon 9 Nov 14:12 (still to come). {TYPED}"
            ),
        );
    }
}

#[test]
fn what_may_be_hot_still_is_measured_first() {
    let (mut kitchen, lots) = unmeasured();
    kitchen.at("2026-11-09T11:40:00Z");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        for lot in &lots[1..] {
            has(
                &said,
                &format!(
                    "take the temperature now, in the middle of the grain, where it is thickest: draff probe {lot} TEMPERATURE. At 60 °C or more its time for cooling begins now. Below that: keep it only if somebody watched it cool; else throw it away: draff discard {lot} --reason unknown"
                ),
            );
        }
        assert_eq!(said.matches("Keep a lot only if").count(), 1, "{said}");
    }
}

/// Two readings five hours apart leave all grain of the fridge unknown: one file helps all of it.
#[test]
fn a_missing_file_of_a_logger_is_asked_for_once() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lots = [
        kitchen.lot("10kg"),
        kitchen.lot_from("Tarn Fell", "--wet 6kg"),
    ];
    kitchen.at("2026-11-20 17:00");
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-11-20 10:00,3.5\n2026-11-20 11:00,3.5\n2026-11-20 16:00,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        for lot in &lots {
            has(
                &said,
                &format!(
                    "read in the file of its logger; without one, throw it away: draff discard {lot} --reason unknown"
                ),
            );
        }
        let once = "read in a file of its logger that covers that time: draff readings PLACE --csv FILE; without one, do not use unknown grain: all 2 lots";
        assert_eq!(said.matches(once).count(), 1, "{said}");
    }
}

#[test]
fn one_lot_by_itself_says_all_of_it() {
    let (mut kitchen, lots) = unmeasured();
    kitchen.at("2026-11-09T20:00:00Z");
    let before = kitchen.json("today")["due"].clone();
    for lot in &lots[1..] {
        kitchen.ok(&format!("discard {lot} --reason unknown"));
    }
    let said = one_line(&kitchen.ok("shelf"));
    has(&said, &format!("draff probe {} --cooled WHEN", lots[0]));
    // The answer for programs says all of each.
    let words = before[0]["words"].as_str().unwrap();
    has(words, "Keep it only if somebody saw that all of it was");
}

#[test]
fn past_lots_of_one_limit_have_it_below_the_list_of_today() {
    let (mut kitchen, one, other) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-20T10:00:00Z");
    let said = one_line(&kitchen.ok("today"));
    for lot in [&one, &other] {
        has(
            &said,
            &format!("end of day: draff discard {lot} --reason past"),
        );
    }
    let limit = "7 days at most, the mash-out day counted as the first";
    assert_eq!(said.matches(limit).count(), 1, "{said}");
    has(&said, &format!("Because {limit}: "));
    kitchen.ok(&format!("discard {other} --reason past"));
    let said = one_line(&kitchen.ok("today"));
    has(
        &said,
        &format!("{limit}: draff discard {one} --reason past"),
    );
}

#[test]
fn frozen_lots_differ_in_the_days_they_have_left() {
    let (mut kitchen, one, other) = Kitchen::with_two_tubs();
    kitchen.ok("place add chest --kind freezer --temp -20C --capacity 50kg");
    kitchen.ok(&format!("move {one} --to chest"));
    kitchen.at("2026-11-11T10:00:00Z");
    kitchen.ok(&format!("move {other} --to chest"));
    kitchen.at("2026-11-12T10:00:00Z");
    let said = one_line(&kitchen.ok("shelf"));
    assert_eq!(
        said.matches("the day count stands still").count(),
        1,
        "{said}"
    );
    has(&said, "frozen: the day count stands still: ");
    for lot in [&one, &other] {
        has(&said, &format!("{lot} with "));
    }
    has(&said, " of 7 days left");
}
