//! One book gives one answer, whatever the machine's zone and language; and days end at local midnight.

use crate::env::{Kitchen, Ran};

/// A book with a lot in every state.
fn lived_in() -> Kitchen {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-10-19T12:00:00Z");
    let lot = kitchen.pickup(
        "--brewed 2026-10-19 --mash-out 09:00 --cooled 11:00 --wet 18.4kg --grist \"pale barley malt 100%\"",
    );
    kitchen.pickup("--brewed 2026-10-18 --wet 2lb6oz");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,35.4g"));
    kitchen.ok(&format!("move {lot} --wet 4kg --to freezer"));
    kitchen.ok(&format!("use {lot} --wet 435g --for \"pan loaf\""));
    kitchen.at("2026-10-24T18:00:00Z");
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason dropped"));
    kitchen
}

#[test]
fn zone_and_language_of_the_machine_change_no_byte() {
    let kitchen = lived_in();
    let lot = kitchen.json("usage")["usage"][0]["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let questions = [
        "shelf".to_owned(),
        "--json shelf".to_owned(),
        "--us shelf".to_owned(),
        "log".to_owned(),
        "--json log".to_owned(),
        "usage".to_owned(),
        "usage --csv -".to_owned(),
        "usage --from 2026-10-20 --to 2026-10-24".to_owned(),
        format!("moisture {lot}"),
        format!("hold-back {lot} --wet 435g --flour 900g --hydration 70%"),
        format!("use {lot} --wet 400kg --for bread"),
        "place list".to_owned(),
        "check".to_owned(),
    ];
    let settings = [
        [("TZ", "Europe/Dublin"), ("LC_ALL", "C")],
        [("TZ", "America/Denver"), ("LC_ALL", "de_DE.UTF-8")],
        [("TZ", "Asia/Tokyo"), ("LC_ALL", "C")],
        [("TZ", "nowhere"), ("LC_ALL", "tr_TR.UTF-8")],
    ];
    for question in &questions {
        let words = shlex::split(question).unwrap();
        let answers = settings.map(|setting| {
            let ran = Ran::of(kitchen.command().envs(setting).args(&words));
            (ran.code, ran.out, ran.err)
        });
        for answer in &answers[1..] {
            assert_eq!(answer, &answers[0], "{question}");
        }
    }
}

#[test]
fn the_same_acts_make_the_same_book() {
    let (first, second) = (lived_in(), lived_in());
    for question in ["--json shelf", "--json log", "usage --csv -"] {
        assert_eq!(first.ok(question), second.ok(question), "{question}");
    }
}

/// Clocks in Dublin go back from 02:00 to 01:00 on 25 October 2026 (Directive 2000/84/EC), so that day has
/// 25 hours and its midnight is 24:00 UTC, not 23:00.
#[test]
fn the_last_day_ends_at_local_midnight_when_the_clocks_go_back() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-10-19T12:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-10-19 --mash-out 09:00 --cooled 11:00 --wet 10kg");
    assert_eq!(
        kitchen.on_shelf(&lot)["keep_until"],
        "2026-10-25T23:59:59+00:00"
    );
    assert!(kitchen.ok("shelf").contains("Sun 25 Oct "));
    for (now, verdict) in [
        ("2026-10-25T23:00:00Z", "use-first"),
        ("2026-10-25T23:59:59Z", "use-first"),
        ("2026-10-26T00:00:00Z", "past"),
    ] {
        kitchen.at(now);
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], verdict, "{now}");
    }
    kitchen.at("2026-10-25T23:59:59Z");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.at("2026-10-26T00:00:00Z");
    kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
}

/// And forward on 29 March 2026: midnight is 23:00 UTC of the same day.
#[test]
fn the_last_day_ends_at_local_midnight_when_the_clocks_go_forward() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-03-23T12:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-03-23 --mash-out 09:00 --cooled 11:00 --wet 10kg");
    assert_eq!(
        kitchen.on_shelf(&lot)["keep_until"],
        "2026-03-29T23:59:59+01:00"
    );
    kitchen.at("2026-03-29T22:59:59Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "use-first");
    kitchen.at("2026-03-29T23:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}
