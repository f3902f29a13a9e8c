//! Promised grain that is past when its bake weighs it out: the act that shortens its date tells it, and so does all that
//! lists the promise.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{list, text};
use serde_json::json;

/// Friday: 3 kg of tested grain that keeps until Thursday, of which a bake of Wednesday, 06:00, is promised 2.505 kg.
fn wednesday() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_bakes("3kg", &[("2026-11-25 06:00", 12)]);
    kitchen.ok("plan --accept");
    (kitchen, lot)
}

/// The same, joined with grain that keeps until Tuesday; gives the code of what was made, and what was told.
fn joined() -> (Kitchen, String, String) {
    let (kitchen, lot) = wednesday();
    let older = kitchen.pickup(
        "--brewed 2026-11-18 --mash-out \"2026-11-18 07:30\" --cooled \"2026-11-18 09:00\" --wet 1kg",
    );
    let ran = kitchen.run(&format!("join {lot} {older} --json"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    let made: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    (kitchen, text(&made, "lot").to_owned(), ran.told())
}

fn loses(lot: &str, until: &str) -> String {
    format!(
        "B-1S (Wed 25 Nov 06:00) loses 2.505 kg of `{lot}`: good only until {until}. `draff plan` shows what to use instead"
    )
}

#[test]
fn a_join_with_older_grain_tells_which_bake_loses_its_grain() {
    let (_, lot, told) = joined();
    has(&told, &loses(&lot, "Tue 24 Nov, end of day"));
}

#[test]
fn each_act_that_shortens_a_date_tells_which_bake_loses_its_grain() {
    for (act, until) in [
        (
            "correct PICKUP --brewed 2026-11-18 --reason slip",
            "Tue 24 Nov, end of day",
        ),
        ("move LOT counter", "Fri 20 Nov 14:59"),
        ("place change fridge --temp 9C", "Fri 20 Nov 14:59"),
        ("probe LOT --spoiled mould", "Fri 20 Nov 10:59"),
    ] {
        let (mut kitchen, lot) = wednesday();
        let pickup = kitchen.last_entry("pickup").to_string();
        kitchen.at("2026-11-20T11:00:00Z");
        let act = act.replace("LOT", &lot).replace("PICKUP", &pickup);
        let told = kitchen.told(&act);
        has(&told, &loses(&lot, until));
        // It is told once.
        let told = kitchen.told("place change freezer --temp -20C");
        assert!(!told.contains("loses"), "{act}: {told}");
    }
}

#[test]
fn what_leaves_the_date_late_enough_or_is_frozen_first_is_no_alarm() {
    for act in [
        "probe LOT 4C",
        "move LOT freezer",
        "discard LOT --wet 1kg --reason other",
    ] {
        let (mut kitchen, lot) = wednesday();
        kitchen.at("2026-11-20T11:00:00Z");
        let told = kitchen.told(&act.replace("LOT", &lot));
        assert!(!told.contains("loses"), "{act}: {told}");
    }
    // The plan freezes what a bake of Monday week takes.
    let (kitchen, lot) = Kitchen::with_bakes("3kg", &[("2026-11-30 06:00", 12)]);
    let plan = kitchen.json("plan --accept");
    assert_eq!(text(&plan["bakes"][0]["draws"][0], "state"), "thawed");
    let pickup = kitchen.last_entry("pickup");
    let told = kitchen.told(&format!(
        "correct {pickup} --brewed 2026-11-19 --reason slip"
    ));
    assert!(!told.contains("loses"), "{told}");
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(shown["promised"][0]["usable_then"], json!(true), "{lot}");
    assert!(!kitchen.ok("shelf").contains("by then"));
}

#[test]
fn today_does_not_mix_grain_that_is_past_by_then() {
    let (kitchen, lot, _) = joined();
    let today = one_line(&kitchen.ok("today --days 7"));
    let short = format!(
        "SHORT: 2.505 kg of {lot} is past by then; plan again first: draff plan --accept, then draff sheet B-1S"
    );
    has(&today, &format!("make the sponge; {short}"));
    has(&today, &format!("mix the final dough; {short}"));
    has(&today, "promised: 2.505 kg for B-1S (past by then)");
    let due = kitchen.json("today --days 7");
    let mut bakes = list(&due, "due").iter();
    let mix = bakes.find(|due| due["task"] == "bake" && text(due, "words").contains("final dough"));
    let mix = mix.unwrap();
    assert_eq!(
        (&mix["grain"], &mix["unusable"]),
        (&json!([]), &json!([lot]))
    );
}

#[test]
fn bake_shelf_and_calendar_say_that_promised_grain_is_past_by_then() {
    let (kitchen, lot, _) = joined();
    let shown = one_line(&kitchen.ok("bake show B-1S"));
    has(
        &shown,
        "accepted Fri 20 Nov 10:00, past by then: keep until Tue 24 Nov, end of day",
    );
    has(&shown, "Lost draff plan shows what to use instead");
    assert_eq!(shown.matches("past by then").count(), 1, "{shown}");
    has(
        &shown,
        "the sheet takes the suitable lot that expires first",
    );
    has(
        &one_line(&kitchen.ok("bake list")),
        "loses promised grain: draff plan",
    );
    has(
        &one_line(&kitchen.ok("shelf")),
        &format!("of {lot}: 2.505 kg to B-1S (past by then). Plan again: draff plan"),
    );
    for answer in [
        kitchen.json("bake show B-1S"),
        kitchen.json("bake list")["bakes"][0].clone(),
    ] {
        assert_eq!(answer["promised"][0]["usable_then"], json!(false));
    }
    let calendar = kitchen
        .ok("bake calendar B-1S --ics -")
        .replace("\r\n ", "");
    let says = calendar.matches("is past by then: plan again").count();
    assert_eq!(says, 1, "{calendar}");
    // A plan that freezes it in time promises it anew.
    kitchen.ok("plan --accept");
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(shown["promised"][0]["usable_then"], json!(true), "{shown}");
}
