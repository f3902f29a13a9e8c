//! Hot grain: what shows that it cooled in time, what does not count, and what to do where nothing shows it.

use crate::env::{Kitchen, has, one_line};
use crate::logger::logged;

fn shelf_and_today(kitchen: &Kitchen) -> [String; 2] {
    ["shelf", "today"].map(|question| one_line(&kitchen.ok(question)))
}

/// Somebody who says a moment at which the tub was measured hot hears why that does not count, and by when it had to be cold.
#[test]
fn a_word_that_does_not_count_is_answered() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 06:00 --collected \"2026-11-20 06:10\" --wet 9kg");
    kitchen.ok(&format!("probe {lot} 61C --at \"2026-11-20 06:30\""));
    kitchen.at("2026-11-20T18:00:00Z");
    let shown = kitchen.ok(&format!("probe {lot} --cooled \"2026-11-20 06:20\""));
    let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    has(&words, "that does not count: a thermometer showed more");
    has(
        &words,
        &format!(
            "throw it away: draff discard {lot} --reason unknown. Keep it only if somebody saw that all of it was at 5 °C or colder by Fri 20 Nov 12:30: draff probe {lot} --cooled WHEN"
        ),
    );
}

/// Two hours after the mash-out it has to be at 21 °C (Food Code 3-501.14(A)): 30 °C at that minute is too late.
#[test]
fn a_reading_at_the_last_minute_ends_a_stage() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T09:30:00Z");
    let warm = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 3kg --temp 30C");
    let at_the_limit = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 2kg --temp 21C");
    kitchen.at("2026-11-20T09:31:00Z");
    assert_eq!(kitchen.on_shelf(&warm)["verdict"], "past");
    assert_eq!(kitchen.on_shelf(&at_the_limit)["verdict"], "good");
}

/// Two hours and a half after the mash-out a tub may be above 60 °C still: then its two hours begin now.
#[test]
fn a_tub_that_may_be_hot_still_is_measured_before_it_is_thrown_away() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 20kg");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    for said in shelf_and_today(&kitchen) {
        has(
            &said,
            &format!(
                "take the temperature now, in the middle of the grain, where it is thickest: at 60 °C or more its time for cooling begins now. Below that: keep it only if somebody saw all of it at 5 °C or colder by Fri 20 Nov 13:30: draff probe {lot} --cooled WHEN; else throw it away: draff discard {lot} --reason unknown. For the temperature: draff probe {lot} TEMPERATURE"
            ),
        );
    }
    kitchen.ok(&format!("probe {lot} 62C"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    // Five hours after the mash-out no reading tells when it left 60 °C.
    kitchen.at("2026-11-20T12:31:00Z");
    let said = one_line(
        &kitchen.ok("pickup --source \"Tarn Fell\" --brewed 2026-11-20 --mash-out 07:30 --wet 9kg"),
    );
    has(
        &said,
        "keep it only if somebody saw all of it at 5 °C or colder by Fri 20 Nov 13:30: draff probe ",
    );
    assert!(!said.contains("begins now"), "{said}");
}

/// A cold reading shows nothing of the time before it.
#[test]
fn a_cold_reading_that_came_too_late_is_told_to_show_nothing() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 20kg");
    let said = one_line(&kitchen.ok(&format!("probe {lot} 4C")));
    has(
        &said,
        &format!(
            "keep it only if somebody saw all of it at 5 °C or colder by Fri 20 Nov 13:30: draff probe {lot} --cooled WHEN; else throw it away: draff discard {lot} --reason unknown. A thermometer now does not show how fast it cooled"
        ),
    );
    assert!(!said.contains("begins now"), "{said}");
}

#[test]
fn at_the_deadline_minute_there_is_one_answer() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 10:00 --wet 5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("probe {lot} 40C"));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "past", "{found}");
    has(&one_line(&kitchen.ok("today")), "throw away 5 kg");
}

/// Nothing cools 40 °C to 21 °C in a minute: a word for the whole cooling does not count against the thermometer.
#[test]
fn a_word_does_not_count_for_what_nothing_cools_in_time() {
    let word = |reading: &str| {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-20T10:00:00Z");
        let lot = kitchen.pickup("--brewed today --mash-out 08:30 --wet 9kg --temp 58C");
        kitchen.at("2026-11-20T10:29:00Z");
        kitchen.ok(&format!("probe {lot} {reading}"));
        kitchen.at("2026-11-20T14:20:00Z");
        kitchen.ok(&format!("probe {lot} --cooled 14:20 --said-by Ada"));
        kitchen.on_shelf(&lot)["verdict"].clone()
    };
    assert_eq!(word("40C"), "unknown");
    assert_eq!(word("22C"), "good");
}

/// A word that a thermometer spoke against is not asked for again: the first word counts, whatever is said later.
#[test]
fn a_word_that_a_thermometer_refuted_is_struck_or_the_grain_thrown_away() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed today --mash-out 08:30 --cooled 09:30 --wet 9kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-20T13:50:00Z");
    kitchen.ok(&format!("probe {lot} 15C"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    for said in shelf_and_today(&kitchen) {
        has(
            &said,
            &format!(
                "throw it away: draff discard {lot} --reason unknown. Somebody's word that it was cold does not count: if that word or a reading is a slip, strike it: draff strike ENTRY --reason TEXT (draff log {lot} shows the entries)"
            ),
        );
        assert!(!said.contains("--cooled"), "{said}");
    }
}

/// 60 °C and more starts the cooling anew (FSANZ Standard 3.2.2 clause 7(3)): below it the two hours run since mash-out.
#[test]
fn grain_that_comes_in_below_sixty_degrees_is_told_that_its_time_runs_since_mash_out() {
    let kitchen = Kitchen::new();
    let pickup = |source: &str, temp: &str| {
        kitchen.run(&format!(
            "pickup --source \"{source}\" --brewed today --mash-out 08:30 --wet 9kg --temp {temp}"
        ))
    };
    let warm = pickup("Alder Lane", "58C");
    let since = "the time to cool counts from mash-out, Fri 20 Nov 08:30, and not from the pickup";
    has(&warm.told(), &format!("58 °C is below 60 °C: {since}"));
    has(
        &one_line(&warm.out),
        "it must show 21 °C or less by Fri 20 Nov 10:30",
    );
    for (source, temp) in [("Birch Yard", "63C"), ("Tarn Fell", "18C")] {
        let told = pickup(source, temp).told();
        assert!(!told.contains("counts from mash-out"), "{temp}: {told}");
    }
}

#[test]
fn cooling_that_came_too_late_says_what_was_found_the_limit_and_what_to_do() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 9kg");
    kitchen.at("2026-11-20T11:40:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {lot} 40C")));
    has(
        &said,
        "cooling to 21 °C within 2 h of mash-out failed: a thermometer still showed 40 °C",
    );
    has(
        &said,
        &format!("throw it away: draff discard {lot} --reason past"),
    );
    let late = kitchen.pickup("--brewed today --mash-out 07:30 --wet 8kg");
    kitchen.at("2026-11-20T18:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {late} --cooled 17:00")));
    has(
        &said,
        &format!(
            "nothing shows it cold before Fri 20 Nov 17:00, and it had to be by Fri 20 Nov 13:30: throw it away: draff discard {late} --reason unknown. Keep it only if somebody saw that all of it was"
        ),
    );
    // Whoever watched it has said so: that is not asked again.
    assert!(!said.contains("--cooled WHEN"), "{said}");
}

/// A thermometer shows the grain cold at its moment, and nothing of the hours before.
#[test]
fn a_late_cold_reading_is_told_as_what_it_shows() {
    let kitchen = Kitchen::on_monday();
    let lot = kitchen.pickup("--brewed today --mash-out 02:30 --wet 5kg --temp 4C");
    for said in shelf_and_today(&kitchen) {
        has(
            &said,
            "nothing shows it cold before Mon 9 Nov 10:00, and it had to be by Mon 9 Nov 08:30",
        );
        has(&said, &format!("draff probe {lot} --cooled WHEN"));
    }
}

#[test]
fn cooling_counts_from_mash_out_until_a_reading_shows_it_hot() {
    let kitchen = Kitchen::new();
    let because = |temp: &str| {
        kitchen.pickup(&format!(
            "--brewed today --mash-out 09:30 --wet 9kg --temp {temp}"
        ))
    };
    let lot = because("58C");
    let cooling = |lot: &str| kitchen.on_shelf(lot)["binding"]["limit"].clone();
    assert_eq!(
        cooling(&lot),
        "it has to cool to 21 °C within 2 h of mash-out, and nothing shows it so far"
    );
    let hot = because("63C");
    assert_eq!(
        cooling(&hot),
        "it has to cool to 21 °C within 2 h of falling below 60 °C, and nothing shows it so far"
    );
}

#[test]
fn a_tub_that_nobody_measured_is_asked_about_until_its_time_and_thrown_away_after_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 9kg");
    kitchen.at("2026-11-20T13:00:00Z");
    let discard = format!("throw it away: draff discard {lot} --reason unknown");
    let before = format!(
        "keep it only if somebody saw all of it at 5 °C or colder by Fri 20 Nov 13:30: draff probe {lot} --cooled WHEN; else "
    );
    let after = format!(
        "Keep it only if somebody saw that all of it was at 5 °C or colder by Fri 20 Nov 13:30: draff probe {lot} --cooled WHEN"
    );
    for question in ["shelf", "today"] {
        has(
            &one_line(&kitchen.ok(question)),
            &format!("{before}{discard}"),
        );
    }
    kitchen.at("2026-11-20T13:31:00Z");
    for said in shelf_and_today(&kitchen) {
        has(&said, &format!("{discard}. {after}"));
        assert!(!said.contains("keep it only if"), "{said}");
    }
}

/// Grain that had cooled and came in warm: its warm time counts from the cooling, and no more from mash-out.
#[test]
fn only_the_time_to_cool_is_said_to_count_from_mash_out() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    let pickup = |source: &str, times: &str| {
        kitchen.run(&format!(
            "pickup --source \"{source}\" --brewed today {times} --temp 30C --wet 5kg"
        ))
    };
    let cooled = pickup("Alder Lane", "--mash-out 00:30 --cooled 05:00");
    has(&one_line(&cooled.out), "3 h 30 min warm so far");
    let told = cooled.told();
    assert!(!told.contains("from mash-out"), "{told}");
    // Neither no word nor one that the thermometer contradicts shows that it cooled.
    for (source, times) in [
        ("Birch Yard", "--mash-out 06:45"),
        ("Tarn Fell", "--mash-out 06:40 --cooled 08:00"),
    ] {
        let told = pickup(source, times).told();
        has(
            &told,
            "30 °C is below 60 °C: the time to cool counts from mash-out",
        );
        assert!(!told.contains("warm time"), "{told}");
    }
}

/// What is the same for several tubs is written one time, below them; each has what is typed for it.
#[test]
fn the_exception_of_several_unknown_lots_is_told_once() {
    let mut kitchen = Kitchen::on_monday();
    let sources = ["Fell End", "Corrow Weir", "Birch Yard"];
    let lots = sources.map(|source| {
        kitchen.pickup_from(
            source,
            "--brewed today --mash-out 09:30 --wet 9kg --temp 60C",
        )
    });
    kitchen.at("2026-11-10T08:00:00Z");
    for said in shelf_and_today(&kitchen) {
        for lot in &lots {
            has(
                &said,
                &format!("throw it away: draff discard {lot} --reason unknown"),
            );
        }
        for once in [
            "Keep a lot only if somebody saw that all of it was at 5 °C or colder by",
            "a thermometer now does not show how fast it cooled",
            "draff probe LOT --cooled WHEN: all 3 lots",
        ] {
            assert_eq!(said.matches(once).count(), 1, "{once}: {said}");
        }
    }
    // One lot by itself says all of it.
    for lot in &lots[1..] {
        kitchen.ok(&format!("discard {lot} --reason unknown"));
    }
    let said = one_line(&kitchen.ok("shelf"));
    has(
        &said,
        &format!(
            ": draff probe {} --cooled WHEN. A thermometer now does not show how fast it cooled",
            lots[0]
        ),
    );
    has(
        &said,
        "Keep it only if somebody saw that all of it was at 5 °C or colder by ",
    );
}

/// A logger in the grain is warm until 09:45. A word for 08:30 does not count, and no later one beside it: the note names which word and which
/// reading, and with that word struck the later one counts.
#[test]
fn a_word_that_a_logger_contradicts_is_named_with_its_time_and_the_reading() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T07:30:00Z");
    kitchen.ok("place change fridge --probe-in grain");
    kitchen.at("2026-11-09T08:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-09 --mash-out 07:00 --wet 6kg --place fridge");
    let file = logged("2026-11-09T08:00:00Z", 15, 29, |row| match row {
        0..=7 => [40.0, 35.0, 30.0, 22.0, 18.0, 15.0, 12.0, 9.0][row],
        _ => 4.0,
    });
    kitchen.file("r.csv", file);
    kitchen.at("2026-11-09T15:10:00Z");
    kitchen.ok("readings fridge --csv r.csv");
    let word = |at: &str| {
        one_line(&kitchen.ok(&format!(
            "probe {lot} --cooled \"2026-11-09 {at}\" --said-by \"the brewer\""
        )))
    };
    let contradicted = "somebody said that it was cold at Mon 9 Nov 2026 08:30; that does not count: the logger in the grain showed 30 °C at Mon 9 Nov 2026 08:30";
    has(&word("08:30"), contradicted);
    let wrong = kitchen.last_entry("cooled");
    has(&word("10:00"), contradicted);
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    kitchen.ok(&format!("strike {wrong} --reason slip"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    // Right before it was cold.
    has(
        &word("09:50"),
        "said that it was cold at Mon 9 Nov 2026 09:50; that does not count: the logger in the grain showed 9 °C at Mon 9 Nov 2026 09:45, and no tub cools that fast",
    );
}
