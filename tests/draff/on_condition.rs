//! Grain that is not shown cold yet and still can be: bakes count on it, and whatever counts on it says what has to be shown
//! by when. Once the time is over and nothing was shown, no bake is made of it.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{list, text};
use serde_json::Value;

/// 18 kg that came in hot on Friday at 10:00, mash-out 09:30, and two bakes: B-1S names it, B-2Q takes what suits.
fn hot_tub() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:30 --temp 62C --wet 18kg");
    let add = "bake add \"small loaf\" --pieces 12 --at";
    kitchen.ok(&format!("{add} \"2026-11-22 06:00\" mix --lot {lot}"));
    kitchen.ok(&format!("{add} \"2026-11-23 06:00\" mix"));
    (kitchen, lot)
}

/// By when a sheet asks for which temperature, in order.
fn conditions(sheet: &Value) -> Vec<(String, f64)> {
    list(sheet, "conditions")
        .iter()
        .map(|one| {
            (
                text(one, "by")[11..16].to_owned(),
                one["at_most_c"].as_f64().unwrap(),
            )
        })
        .collect()
}

#[test]
fn a_sheet_carries_the_condition_on_which_its_plan_counts_on_grain() {
    let (mut kitchen, lot) = hot_tub();
    kitchen.ok("plan --accept");
    let first = format!(
        "ON CONDITION: take the temperature of {lot} by Fri 20 Nov 12:00 at the latest: it must be 21 °C or less. If it is not, do not use {lot}"
    );
    for bake in ["B-1S", "B-2Q"] {
        let ran = kitchen.run(&format!("sheet {bake}"));
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(!ran.err.contains("CHANGED"), "{}", ran.err);
        let said = one_line(&ran.out);
        has(&said, &first);
        has(
            &said,
            "by Fri 20 Nov 16:00 at the latest: it must be 5 °C or less",
        );
        has(&said, "ONLY IF SHOWN COLD IN TIME");
        for absent in ["throw it away", "discard", "lot ____"] {
            assert!(!said.contains(absent), "{absent}: {said}");
        }
        let page = kitchen.ok(&format!("sheet {bake} --html -"));
        has(&page, "ON CONDITION: take the temperature of");
        let sheet = kitchen.json(&format!("sheet {bake}"));
        assert_eq!(
            conditions(&sheet),
            [("12:00".to_owned(), 21.0), ("16:00".to_owned(), 5.0)]
        );
        let draw = &list(&sheet, "draws")[0];
        // By what is known now it may not go in: whoever reads only the verdict does not use it.
        assert_eq!(
            (text(draw, "lot"), text(draw, "verdict")),
            (&*lot, "unknown")
        );
    }
    // The first stage is met, the second is open.
    kitchen.at("2026-11-20T11:50:00Z");
    kitchen.ok(&format!("probe {lot} 19C"));
    let sheet = kitchen.json("sheet B-1S");
    assert_eq!(conditions(&sheet), [("15:50".to_owned(), 5.0)]);
    assert!(!one_line(&kitchen.ok("sheet B-1S")).contains("21 °C or less"));
    // All is shown: the sheet has no condition.
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    let sheet = kitchen.json("sheet B-1S");
    assert!(list(&sheet, "conditions").is_empty(), "{sheet}");
    assert_eq!(text(&list(&sheet, "draws")[0], "verdict"), "good");
}

#[test]
fn once_the_time_is_over_no_sheet_is_made_of_grain_that_nobody_showed_cold() {
    let (mut kitchen, lot) = hot_tub();
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-20T12:05:00Z");
    let said = kitchen.refused(1, "sheet B-1S");
    has(&said, "is unknown, so it may not be used as food");
    has(&said, &format!("draff discard {lot} --reason unknown"));
    let ran = kitchen.run("sheet B-2Q");
    has(&ran.told(), "CHANGED since the plan of Fri 20 Nov 10:00");
    assert!(!ran.out.contains(&lot), "{}", ran.out);
    let sheet = kitchen.json("sheet B-2Q");
    assert!(list(&sheet, "draws").is_empty() && list(&sheet, "conditions").is_empty());
}

/// The plan only counts on it; a dough is mixed of what is known.
#[test]
fn a_bake_is_not_written_down_of_grain_that_is_still_to_be_shown_cold() {
    let (mut kitchen, _) = hot_tub();
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-22T06:00:00Z");
    let said = kitchen.refused(1, "bake done B-1S --at now");
    has(&said, "is unknown, so it may not be used as food");
}

/// Mash-out 09:30, 62 °C at 10:00: 21 °C by 12:00, and 5 °C within four hours of the reading that shows it.
#[test]
fn an_early_reading_leaves_less_time_for_the_next_and_what_is_printed_says_so() {
    let (mut kitchen, lot) = hot_tub();
    let second = format!(
        "take the temperature of {lot} within 4 h of the first reading of 21 °C or less, and by Fri 20 Nov 16:00 at the latest: it must be 5 °C or less"
    );
    has(&one_line(&kitchen.ok("plan --accept")), &second);
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        &format!("ON CONDITION: {second}. If it is not, do not use {lot}"),
    );
    for asked in ["plan", "sheet B-1S"] {
        let answer = kitchen.json(asked);
        let within = list(&answer, "conditions")
            .iter()
            .map(|one| one["within_minutes"].as_i64());
        assert_eq!(within.collect::<Vec<_>>(), [None, Some(240)], "{asked}");
    }
    // Read early: the clock counts four hours from here, and what is printed now names that time.
    kitchen.at("2026-11-20T10:40:00Z");
    kitchen.ok(&format!("probe {lot} 20C"));
    let sheet = kitchen.json("sheet B-1S");
    assert_eq!(conditions(&sheet), [("14:40".to_owned(), 5.0)]);
    assert_eq!(list(&sheet, "conditions")[0]["within_minutes"], Value::Null);
    assert!(!one_line(&kitchen.ok("sheet B-1S")).contains("within 4 h"));
}

/// Mixed at 15:00: in time before 16:00, and too late where 21 °C is shown at 10:30 and nothing after that.
#[test]
fn a_bake_within_the_time_of_the_second_stage_carries_its_condition_where_an_early_reading_ends_it_sooner()
 {
    let (kitchen, lot) = hot_tub();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --pieces 12 --at \"2026-11-20 15:00\" mix --lot {lot}"
    ));
    let expected = [("12:00".to_owned(), 21.0), ("16:00".to_owned(), 5.0)];
    assert_eq!(conditions(&kitchen.json("sheet B-3O")), expected);
    let plan = kitchen.json("plan");
    let second = &list(&plan, "conditions")[1];
    assert!(list(second, "bakes").contains(&"B-3O".into()), "{plan}");
}

/// Two tubs of one brew that were hot at 10:00 and at 10:15, in one tub.
#[test]
fn joined_grain_is_asked_for_two_readings_and_not_for_those_of_each_tub() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let tub = "--brewed 2026-11-20 --mash-out 09:30 --temp 62C --wet 9kg";
    let one = kitchen.pickup(tub);
    kitchen.at("2026-11-20T10:15:00Z");
    let other = kitchen.pickup(tub);
    let joined = kitchen.json(&format!("join {one} {other} --to fridge"));
    let lot = text(&joined, "lot");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --pieces 12 --at \"2026-11-22 06:00\" mix --lot {lot}"
    ));
    assert_eq!(
        conditions(&kitchen.json("sheet B-1S")),
        [("12:00".to_owned(), 21.0), ("16:00".to_owned(), 5.0)]
    );
}

/// 21 °C by 12:00, 5 °C by 16:00, or by 14:00 if 21 °C is shown now: what is mixed before a moment does not hang on what is
/// shown then.
#[test]
fn a_condition_of_a_plan_names_only_bakes_that_are_mixed_at_its_moment_or_later() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.pickup("--brewed 2026-11-20 --mash-out 09:30 --temp 62C --wet 18kg");
    for at in ["20 11:30", "20 14:00", "22 06:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --pieces 12 --at \"2026-11-{at}\" mix"
        ));
    }
    let plan = kitchen.json("plan");
    let named: Vec<(String, Vec<&str>)> = list(&plan, "conditions")
        .iter()
        .map(|one| {
            let bakes = list(one, "bakes").iter();
            let bakes = bakes.map(|bake| bake.as_str().unwrap());
            (text(one, "by")[11..16].to_owned(), bakes.collect())
        })
        .collect();
    assert_eq!(
        named,
        [
            ("12:00".to_owned(), vec!["B-2Q", "B-3O"]),
            ("16:00".to_owned(), vec!["B-3O"]),
        ]
    );
    let said = one_line(&kitchen.ok("plan"));
    has(
        &said,
        "21 °C or less; if it is not, B-2Q, B-3O may not be made of it",
    );
    has(
        &said,
        "5 °C or less; if it is not, B-3O may not be made of it",
    );
}

#[test]
fn a_plan_that_uses_a_lot_up_before_the_moment_of_a_reading_asks_for_none() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.pickup("--brewed 2026-11-20 --mash-out 09:30 --temp 62C --wet 2kg");
    kitchen.ok("bake add \"small loaf\" --pieces 12 --at \"2026-11-20 11:30\" mix");
    let plan = kitchen.json("plan");
    assert!(list(&plan, "spare").is_empty(), "{plan}");
    assert!(list(&plan, "conditions").is_empty(), "{plan}");
    let said = one_line(&kitchen.ok("plan"));
    assert!(!said.contains("take the temperature"), "{said}");
}

/// A bake names the grain, and no plan was accepted.
#[test]
fn a_sheet_of_named_grain_carries_the_condition_without_a_plan_too() {
    let (kitchen, lot) = hot_tub();
    let said = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &said,
        &format!("ON CONDITION: take the temperature of {lot} by Fri 20 Nov 12:00"),
    );
    assert!(!said.contains("throw it away"), "{said}");
}

/// Nobody took the temperature in time: the plan says which bakes lose their grain by that.
#[test]
fn bakes_whose_grain_was_not_shown_cold_in_time_are_named() {
    let (mut kitchen, lot) = hot_tub();
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-20T12:05:00Z");
    let lost = |bake: &str| {
        format!("{bake}: nothing of {lot}, 2.618 kg was promised; this lot is unknown by now")
    };
    let said = kitchen.refused(3, "plan");
    has(&said, "no lot on hand may go into a dough");
    for bake in ["B-1S", "B-2Q"] {
        has(&said, &lost(bake));
    }
    // The same where there is other grain to plan with.
    kitchen.lot("1kg");
    let said = one_line(&kitchen.ok("plan"));
    for bake in ["B-1S", "B-2Q"] {
        has(&said, &lost(bake));
    }
    let plan = kitchen.json("plan");
    assert_eq!(text(&list(&plan, "changes")[0], "because"), "unknown");
}

/// 5 kg of two bakes, taken to be of 78 % water: the dough of the first takes no more water, the second gets what is left.
#[test]
fn another_wet_mass_than_promised_has_its_reason_where_the_lot_is_wetter_or_drier() {
    for (tested, than) in [("81%", "wetter"), ("76%", "drier")] {
        let (mut kitchen, lot) = Kitchen::with_loaf("5kg");
        for day in ["22", "23"] {
            kitchen.ok(&format!(
                "bake add \"small loaf\" --at \"2026-11-{day} 06:00\" mix --pieces 12"
            ));
        }
        kitchen.ok("plan --accept");
        kitchen.at("2026-11-20T10:05:00Z");
        kitchen.ok(&format!("moisture {lot} --lab {tested} --lab-sd 0.5%"));
        let plan = kitchen.json("plan");
        let changes = list(&plan, "changes");
        assert!(
            changes.iter().all(|one| one["because"] != Value::Null),
            "{plan}"
        );
        let said = one_line(&kitchen.ok("plan"));
        let now = tested.replace('%', " %");
        has(
            &said,
            &format!(
                "the lot is {than} than the accepted plan counted on: moisture 78 % then, {now} now"
            ),
        );
    }
}
