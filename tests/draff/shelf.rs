//! `shelf`: what is on hand, oldest danger first, and the exit code for a scheduled check.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

fn verdict(kitchen: &Kitchen, lot: &str) -> String {
    kitchen.on_shelf(lot)["verdict"]
        .as_str()
        .unwrap()
        .to_owned()
}

#[test]
fn an_empty_shelf_is_no_finding() {
    let kitchen = Kitchen::new();
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    assert_eq!(kitchen.run("shelf --fail-on use-first").code, 0);
}

/// Seven calendar days with the mash-out day as day 1, use-first from day 5 (Food Code 3-501.17(A); the
/// use-first day is our own).
#[test]
fn a_chilled_lot_is_good_then_use_first_then_past() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    for (now, wanted, past, use_first) in [
        ("2026-11-23T23:59:59Z", "good", 0, 0),
        ("2026-11-24T00:00:00Z", "use-first", 0, 3),
        ("2026-11-26T23:59:59Z", "use-first", 0, 3),
        ("2026-11-27T00:00:00Z", "past", 3, 3),
    ] {
        kitchen.at(now);
        assert_eq!(verdict(&kitchen, &lot), wanted, "{now}");
        assert_eq!(kitchen.run("shelf --fail-on past").code, past, "{now}");
        assert_eq!(
            kitchen.run("shelf --fail-on use-first").code,
            use_first,
            "{now}"
        );
        assert_eq!(kitchen.run("shelf").code, 0, "{now}");
    }
}

#[test]
fn the_shelf_is_printed_before_the_exit_code_speaks() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-12-20T10:00:00Z");
    let ran = kitchen.run("shelf --fail-on past");
    assert_eq!(ran.code, 3);
    assert!(ran.out.contains(&lot), "{}", ran.out);
    assert!(ran.out.contains("past"), "{}", ran.out);
}

#[test]
fn grain_that_nothing_shows_cold_is_unknown_and_a_finding() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 01:00 --wet 5kg");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "unknown");
    assert_eq!(kitchen.run("shelf --fail-on past").code, 3);
    let out = kitchen.ok("shelf");
    assert!(
        out.contains("probe"),
        "it says to take the temperature\n{out}"
    );
}

#[test]
fn freezing_stops_the_days() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.at("2027-01-15T10:00:00Z");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["place_kind"], "freezer");
    assert_eq!(
        found["keep_until"],
        json!(null),
        "no date while it stays frozen"
    );
    assert_eq!(found["hours_left"], json!(null));
    // Freezing pauses and never resets: day 1 was spent on the 20th, the thaw day is day 2.
    kitchen.ok(&format!("move {lot} --to fridge"));
    let thawed = kitchen.on_shelf(&lot);
    assert_eq!(thawed["day"], json!(2), "{thawed}");
    assert_eq!(thawed["keep_until"], "2027-01-20T23:59:59+00:00");
}

#[test]
fn the_oldest_danger_stands_first() {
    let mut kitchen = Kitchen::new();
    let good = kitchen.lot("1kg");
    kitchen.at("2026-11-24T10:00:00Z");
    let fresh = kitchen.pickup("--brewed 2026-11-24 --mash-out 07:00 --cooled 08:00 --wet 2kg");
    let unknown = kitchen.pickup("--brewed 2026-11-24 --wet 3kg");
    let past = kitchen.pickup("--brewed 2026-11-10 --mash-out \"2026-11-10 07:00\" --cooled \"2026-11-10 08:00\" --wet 4kg");
    let order: Vec<String> = kitchen.json("shelf")["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| lot["lot"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(order, [past, unknown, good, fresh]);
}

#[test]
fn what_is_used_up_leaves_the_shelf() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("2kg");
    kitchen.ok(&format!("use {lot} --wet 2kg --for \"pan loaf\""));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    assert!(!kitchen.ok("shelf").contains(&lot));
}

#[test]
fn pounds_and_fahrenheit_are_shown_on_demand() {
    let kitchen = Kitchen::new();
    kitchen.lot("40lb");
    assert!(
        kitchen.ok("--us shelf").contains("40 lb"),
        "{}",
        kitchen.ok("--us shelf")
    );
    assert_eq!(
        kitchen.json("--us shelf"),
        kitchen.json("shelf"),
        "JSON has its units in the names"
    );
}

#[test]
fn now_before_the_last_entry_is_warned_about() {
    let mut kitchen = Kitchen::new();
    kitchen.lot("1kg");
    kitchen.at("2026-11-19T10:00:00Z");
    let ran = kitchen.run("shelf");
    assert!(
        ran.err
            .starts_with("warning: the last entry was written at Fri 20 Nov 2026 10:00,"),
        "{}",
        ran.err
    );
}

/// `--quiet` leaves the reasons out; what is to be done and every caution stay.
#[test]
fn quiet_leaves_out_reasons_and_no_caution() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:00 --temp 60C --wet 5kg");
    let cautions = |answer: &str| -> Vec<String> {
        let lines = answer.lines().filter(|line| line.starts_with("! "));
        lines.map(str::to_owned).collect()
    };
    for line in ["shelf".to_owned(), format!("probe {lot} 60C")] {
        let (whole, brief) = (kitchen.ok(&line), kitchen.ok(&format!("{line} --quiet")));
        assert!(
            whole.contains("Because") && !brief.contains("Because"),
            "{brief}"
        );
        assert!(one_line(&brief).contains("draff probe"), "{brief}");
        assert!(cautions(&whole).len() > 1, "{whole}");
        assert_eq!(cautions(&brief), cautions(&whole), "{line}");
    }
}

/// What a reader of a page sees, without its marks.
fn seen(page: &str) -> String {
    let (_, body) = page.split_once("<body>").unwrap();
    let parts = body
        .split('<')
        .map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    parts
        .collect::<Vec<_>>()
        .join(" ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn the_board_says_what_goes_first_and_shows_each_lot_with_its_bar() {
    let mut kitchen = Kitchen::new();
    let old = kitchen.lot("10kg");
    kitchen.at("2026-11-24T10:00:00Z");
    let new = kitchen.pickup("--brewed today --mash-out 07:30 --cooled 09:00 --wet 4kg");
    kitchen.ok(&format!("move {new} freezer --wet 1kg"));
    let told = kitchen.run("shelf --html board.html");
    assert!(told.err.contains("wrote the board to board.html") && told.out.is_empty());
    let page = std::fs::read_to_string(kitchen.folder().join("board.html")).unwrap();
    assert_eq!(page, kitchen.ok("shelf --html -"), "the same on stdout");
    let text = seen(&page);
    let first = kitchen.json("shelf")["lots"][0].clone();
    assert_eq!(first["lot"], old);
    assert!(
        text.starts_with(&format!("First: {old}, keep until ")),
        "{text}"
    );
    for lot in kitchen.json("shelf")["lots"].as_array().unwrap() {
        let line = format!("{} ", lot["lot"].as_str().unwrap());
        assert!(
            text.contains(&line) && text.contains(lot["verdict"].as_str().unwrap()),
            "{text}"
        );
    }
    // A bar for each lot with a date, and none for what lies frozen.
    let (_, picture) = page
        .split_once("aria-label=\"Days left of lots on hand\"")
        .unwrap();
    let (title, picture) = picture.split_once("</title>").unwrap();
    // What is seen in it is what stands above it.
    let (heading, _) = page.split_once("</h1>").unwrap();
    let (_, heading) = heading.rsplit_once('>').unwrap();
    assert!(title.ends_with(&format!("<title>{heading}")), "{title}");
    let (picture, _) = picture.split_once("</svg>").unwrap();
    assert_eq!(picture.matches("<rect").count(), 2);
    assert!(page.contains("http-equiv=\"refresh\" content=\"60\"") && !page.contains("<script"));
    // The report draws the same bars.
    let report = kitchen.ok("report --html -");
    let (_, same) = report
        .split_once("aria-label=\"Days left of lots on hand\"")
        .unwrap();
    let (_, same) = same.split_once("</title>").unwrap();
    assert_eq!(same.split_once("</svg>").unwrap().0, picture);
    // Past grain comes before all else.
    kitchen.at("2026-12-09T10:00:00Z");
    let text = seen(&kitchen.ok("shelf --html -"));
    assert!(
        text.starts_with(&format!("Throw away: {old}, {new}")),
        "{text}"
    );
    assert!(text.contains("Throw it away"), "{text}");
    let said = kitchen.refused(2, "shelf --html - --json");
    assert!(said.contains("stdout takes one answer"), "{said}");
    let empty = seen(&Kitchen::new().ok("shelf --html -"));
    assert!(empty.starts_with("Nothing is on hand."), "{empty}");
}

#[test]
fn the_shelf_says_in_json_by_when_something_is_to_be_done() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T09:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --wet 3kg --temp 40C");
    let shelf = kitchen.on_shelf(&lot);
    assert_eq!(shelf["act_by"], "2026-11-20T09:30:00+00:00", "{shelf}");
    let cold = kitchen.lot("3kg");
    assert!(kitchen.on_shelf(&cold)["act_by"].is_null());
    kitchen.at("2026-11-20T12:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {cold} --step dry --wet-out 700g --minutes 90 --temp 60C"
    ));
    let dried = kitchen.on_shelf(dried["lot"].as_str().unwrap());
    assert!(dried["act_by"].is_string(), "{dried}");
}

#[test]
fn the_shelf_says_which_bake_has_lost_the_grain_of_a_past_lot() {
    let (mut kitchen, lot) = Kitchen::with_accepted_plan(12);
    kitchen.at("2026-11-28T06:00:00Z");
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        &format!(
            "Lost B-1S has lost 5.009 kg, B-2Q has lost 2.505 kg, as {lot} is past. Plan again: draff plan"
        ),
    );
    assert!(!shelf.contains("Promised"), "{shelf}");
}
