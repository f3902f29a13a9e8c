//! What is written down late makes no past grain usable again, whichever way it is written, and says what it does.

use crate::env::{Kitchen, has};

/// A part that was warm too long stays past, whatever is written late about the lot that it was parted from.
#[test]
fn a_late_entry_about_a_lot_revives_no_part_of_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T09:00:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    kitchen.at("2026-11-21T10:40:00Z");
    let part = kitchen.json(&format!("portion {lot} --into 1x2kg"));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-21T10:41:00Z");
    kitchen.ok(&format!("move {lot} fridge"));
    kitchen.at("2026-11-21T13:11:00Z");
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    kitchen.ok(&format!("probe {lot} 4C --at \"2026-11-21 09:02\""));
    let said = kitchen.refused(1, &format!("probe {lot} 4C --at \"2026-11-21 10:39\""));
    has(&said, &format!("lot `{part}` is past"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
}

#[test]
fn a_late_reading_of_an_emptied_lot_shows_no_part_cooled() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 08:00 --wet 10kg");
    kitchen.at("2026-11-20T12:10:00Z");
    let part = kitchen.json(&format!("portion {lot} --into 1x2kg"));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.ok(&format!("discard {lot} --wet 8kg --reason spilt"));
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("probe {part} 9C"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    kitchen.at("2026-11-20T15:11:00Z");
    let said = kitchen.refused(1, &format!("probe {lot} 62C --at \"2026-11-20 11:55\""));
    has(&said, &format!("lot `{part}` is past"));
}

#[test]
fn a_late_entry_that_takes_warm_time_away_is_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    let move_out = kitchen.last_entry("move");
    kitchen.at("2026-11-21T13:50:00Z");
    let said = kitchen.told(&format!("move {lot} fridge --at \"2026-11-21 10:05\""));
    has(
        &said,
        &format!("lot `{lot}` was use-first with 3 h 50 min of warm time, and is good"),
    );
    kitchen.ok(&format!(
        "strike {} --reason slip",
        kitchen.last_entry("move")
    ));
    let said = kitchen.told(&format!("strike {move_out} --reason slip"));
    has(&said, "of warm time, and is good");
}

/// Past grain is not written into a freezer by two steps where one is refused.
#[test]
fn a_late_entry_is_not_corrected_into_one_that_would_have_been_refused() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("9kg");
    kitchen.at("2026-11-28T09:00:00Z");
    let late = "--at \"2026-11-22 10:00\"";
    kitchen.refused(1, &format!("move {lot} --to freezer {late}"));
    kitchen.ok(&format!("move {lot} --to counter {late}"));
    let entry = kitchen.last_entry("move");
    let said = kitchen.refused(1, &format!("correct {entry} --place freezer --reason x"));
    has(&said, "would make it usable again");
}

/// What nobody may write down late is not reached by writing it now and correcting the time.
#[test]
fn a_corrected_time_does_not_revive() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.at("2026-11-29T16:10:00Z");
    let late = "2026-11-24 10:00";
    let refused = kitchen.refused(1, &format!("move {lot} --to freezer --at \"{late}\""));
    has(&refused, "would make it usable again");
    kitchen.ok(&format!("move {lot} --to freezer"));
    let entry = kitchen.last_entry("move");
    let refused = kitchen.refused(1, &format!("correct {entry} --at \"{late}\" --reason late"));
    has(&refused, "would make it usable again");
}

#[test]
fn a_past_lot_is_not_to_be_thrown_away_for_an_entry_of_its_own() {
    let (mut kitchen, cor, _) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-18T09:00:00Z");
    assert_eq!(kitchen.on_shelf(&cor)["verdict"], "past");
    let said = kitchen.refused(
        1,
        &format!("move {cor} --to freezer --at \"2026-11-11 10:00\""),
    );
    has(&said, "usable again");
    has(&said, &format!("draff log {cor}"));
    assert!(!said.contains("then this can be written"), "{said}");
}
