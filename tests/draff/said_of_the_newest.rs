//! What is said of a lot is never milder than what an act is told, and the same in the table, the list of what is due and the
//! lot's own answer: by a clock that was set back, of several loggers, of grain that has to be measured.

use crate::env::{Kitchen, LOAF, SLIP, has, one_line};

/// Its grain was put on the counter at 13:00, which was written down at 20:00, and the clock stands at 14:00.
fn with_a_clock_set_back() -> (Kitchen, String) {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.at("2026-11-09T20:00:00Z");
    kitchen.ok(&format!("move {lot} counter --at 13:00"));
    kitchen.at("2026-11-09T14:00:00Z");
    (kitchen, lot)
}

#[test]
fn a_clock_that_is_set_back_shows_no_past_lot_as_good() {
    let (kitchen, lot) = with_a_clock_set_back();
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let as_of = "2026-11-09T20:00:00+00:00";
    assert_eq!(kitchen.json("shelf")["as_of"], as_of);
    assert_eq!(kitchen.json("today")["as_of"], as_of);
    let throw_away = format!("draff discard {lot} --reason past");
    for line in ["shelf", "today"] {
        let ran = kitchen.run(line);
        has(&one_line(&ran.out), &throw_away);
        has(
            &one_line(&ran.err),
            "was written at Mon 9 Nov 2026 20:00, after now (Mon 9 Nov 2026 14:00): what is on hand is shown and judged as of that entry",
        );
    }
    has(&kitchen.ok("shelf --html -"), "Throw away: ");
    assert_eq!(kitchen.run("shelf --fail-on past").code, 3);
    has(&kitchen.ok(&format!("ticket {lot}")), "PAST");
    has(&one_line(&kitchen.ok(&format!("moisture {lot}"))), "past");
    // The lot that an act answers with is shown in the same way.
    let left = kitchen.ok(&format!("discard {lot} --wet 1kg --reason spilt"));
    has(&one_line(&left), "Verdict past");
}

/// Used now is used after the entry of 20:00, whatever the clock says.
#[test]
fn a_clock_that_is_set_back_hands_out_no_past_grain() {
    let (kitchen, lot) = with_a_clock_set_back();
    let fresh = kitchen
        .pickup("--brewed 2026-11-09 --mash-out 09:00 --cooled \"2026-11-09 11:30\" --wet 2kg");
    for act in [
        format!("use {lot} --wet 1kg --for rolls"),
        format!("give {lot} --wet 1kg --to cafe"),
        format!("join {lot} {fresh} --to fridge"),
        format!("hold-back {lot} --wet 500g --flour 1kg --hydration 70%"),
    ] {
        let refused = kitchen.run(&act);
        assert_eq!(refused.code, 1, "{act}\n{}", refused.err);
        has(&one_line(&refused.err), &format!("lot `{lot}` is past"));
    }
    // What was done in time can be written down by that clock too.
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls --at 13:30"));
}

/// Its grain was found spoiled at 12:30, and the clock stands at 11:20: a dough of 11:30 is mixed after that.
#[test]
fn a_clock_that_is_set_back_puts_no_past_grain_into_a_dough() {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let bake = |at: &str| format!("bake add \"small loaf\" --at \"{at}\" mix --lot {lot}");
    kitchen.ok(&bake("2026-11-10 11:30"));
    kitchen.at("2026-11-10T12:30:00Z");
    kitchen.ok(&format!("probe {lot} --spoiled mould"));
    // A clock that is right judges by the moment of mixing.
    let past = format!("{lot}: past at mixing");
    assert!(!one_line(&kitchen.ok("bake show B-1S")).contains(&past));
    kitchen.at("2026-11-10T11:20:00Z");
    for act in [
        "bake done B-1S --pieces 4",
        "bake done B-1S --pieces 4 --at now",
        "bake done B-1S --pieces 4 --at 11:20",
        &format!("bake done B-1S --pieces 4 --used {lot}=700g"),
        "sheet B-1S",
        &bake("2026-11-10 11:40"),
        "bake change B-1S --at \"2026-11-10 11:40\" mix",
    ] {
        let refused = kitchen.run(act);
        assert_eq!(refused.code, 1, "{act}\n{}", refused.err);
        has(&one_line(&refused.err), &format!("lot `{lot}` is past"));
    }
    has(&one_line(&kitchen.ok("bake show B-1S")), &past);
    assert_eq!(
        kitchen.json("bake list")["bakes"][0]["lots"][0]["verdict"],
        "past"
    );
    // What was mixed in time can be written down by that clock too.
    kitchen.ok("bake done B-1S --pieces 4 --at 11:10");
}

/// The grain lay on the counter until 13:00 by the book, which no clock that is set back makes 08:05.
#[test]
fn what_a_clock_that_is_set_back_writes_is_as_late_as_what_was_written_before_it() {
    let slip = format!("strike NEWEST {SLIP}");
    for (clock, late, then) in [
        ("2026-11-03T08:05:00Z", "move LOT fridge", "today"),
        // That it is struck says nothing of when it was written.
        ("2026-11-03T08:05:00Z", "move LOT fridge", &*slip),
        (
            "2026-11-03T08:05:00Z",
            "place change counter --temp 4C",
            "today",
        ),
        // Before the grain was mashed out.
        (
            "2026-11-02T09:00:00Z",
            "place change counter --temp 4C",
            "today",
        ),
    ] {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-02T10:00:00Z");
        let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 5kg --temp 62C");
        kitchen.at("2026-11-03T08:00:00Z");
        kitchen.ok(&format!("move {lot} counter"));
        kitchen.at("2026-11-03T13:00:00Z");
        kitchen.ok("place change fridge --temp 3C");
        let newest = kitchen.entries();
        kitchen.at(clock);
        kitchen.ok(&late.replace("LOT", &lot));
        let number = kitchen.entries();
        kitchen.at("2026-11-03T13:02:00Z");
        kitchen.ok(&then.replace("NEWEST", &newest.to_string()));
        let cooled = format!("probe {lot} --cooled \"2026-11-02 13:00\"");
        let said = kitchen.refused(1, &cooled);
        has(
            &said,
            &format!("usable by entry {number} alone, which was written late"),
        );
    }
}

/// The entry of the clock that ran ahead is not the last one, and still it counts.
#[test]
fn an_entry_of_a_clock_that_ran_ahead_is_told_also_when_others_came_after_it() {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.at("2036-11-09T11:30:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    let wrong = kitchen.last_entry("reading");
    kitchen.at("2026-11-09T11:31:00Z");
    let hot = kitchen.pickup("--brewed today --mash-out 11:00 --wet 5kg --temp 70C");
    let ran = kitchen.run("shelf");
    has(&one_line(&ran.err), "was written at Sun 9 Nov 2036 11:30,");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    // That clock cools nothing.
    has(&ran.out, "Hot grain scalds");
    kitchen.ok(&format!("strike {wrong} --reason \"wrong clock\""));
    let ran = kitchen.run("shelf");
    assert!(!ran.err.contains("was written at"), "{}", ran.err);
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    assert_eq!(kitchen.on_shelf(&hot)["verdict"], "good");
}

/// One logger showed 9 °C at 12:00 and stopped, the other one 3.4 °C at 12:10: the last reading of the place is not the warm
/// one.
#[test]
fn what_a_logger_showed_last_is_not_called_the_last_reading_of_its_place() {
    let warm = "time,temp C\n2026-11-09 08:00,3.5\n2026-11-09 10:00,3.5\n2026-11-09 11:30,3.5\n2026-11-09 12:00,9.0\n";
    let cold = "time,temp C\n2026-11-09 08:05,3.4\n2026-11-09 10:05,3.4\n2026-11-09 11:35,3.4\n2026-11-09 12:10,3.4\n";
    for files in [vec![warm], vec![warm, cold]] {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-09T08:00:00Z");
        kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
        let lot = kitchen.pickup(
            "--brewed 2026-11-08 --mash-out \"2026-11-08 09:00\" --cooled \"2026-11-08 14:00\" --wet 10kg",
        );
        kitchen.at("2026-11-09T12:15:00Z");
        for file in files {
            kitchen.file("file.csv", file);
            kitchen.ok("readings fridge --csv file.csv");
        }
        kitchen.at("2026-11-09T17:00:00Z");
        let shelf = kitchen.on_shelf(&lot);
        assert_eq!(shelf["verdict"], "unknown", "{shelf}");
        let words =
            "4 h above 5 °C in all, if its place stayed as warm as at the last reading of a logger";
        assert_eq!(shelf["binding"]["limit"], words);
        has(&one_line(&kitchen.ok("shelf")), words);
    }
}

#[test]
fn grain_that_has_to_be_measured_is_good_so_far_in_the_table_too() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    let own = kitchen
        .ok("pickup --source \"Alder Lane\" --brewed today --mash-out 07:00 --wet 10kg --temp 63C");
    has(&one_line(&own), "Verdict good so far: ");
    let lot = kitchen.json("shelf")["lots"][0]["lot"].clone();
    let lot = lot.as_str().unwrap();
    let so_far = format!("{lot} good so far Mon 9 Nov 10:00");
    has(&one_line(&kitchen.ok("shelf")), &so_far);
    // The list of what is due asks for its temperature and names no date to keep it until.
    let today = kitchen.ok("today");
    has(&one_line(&today), "take the temperature");
    assert!(!today.contains("keep until"), "{today}");
    // Scripts read the verdict as it was.
    assert_eq!(kitchen.on_shelf(lot)["verdict"], "good");
    for (at, found) in [("09:30", "20C"), ("11:00", "4C")] {
        kitchen.at(&format!("2026-11-09T{at}:00Z"));
        kitchen.ok(&format!("probe {lot} {found}"));
    }
    has(
        &one_line(&kitchen.ok("shelf")),
        &format!("{lot} good Sun 15 Nov"),
    );
}
