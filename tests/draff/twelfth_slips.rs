//! What a careless baker found: warnings that were not so, remedies that did not fit, sums that did not agree.

use crate::env::{Kitchen, has, one_line};

#[test]
fn the_rest_of_a_past_lot_thrown_away_for_mould_is_not_said_to_be_good() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    let discard = format!("discard {lot} --wet 500g --reason mouldy");
    has(&kitchen.told(&discard), "still counts as good");
    kitchen.at("2026-11-25T10:00:00Z");
    has(&kitchen.told(&discard), "still counts as use-first");
    kitchen.at("2026-11-28T10:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let told = kitchen.told(&discard);
    has(
        &told,
        &format!("treat the rest of lot `{lot}` as mouldy too until you have shown otherwise"),
    );
    assert!(!told.contains("still counts as"), "{told}");
}

/// A formula that says how long it takes, and a lot of Friday that is good until Thursday.
fn kitchen_with_loaf() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("4kg");
    (kitchen, lot)
}

#[test]
fn a_bake_planned_too_late_for_a_good_lot_is_not_answered_with_throwing_it_away() {
    let (mut kitchen, lot) = kitchen_with_loaf();
    let add = format!("bake add \"small loaf\" --at \"fri 09:00\" mix --lot {lot}");
    let refused = kitchen.refused(1, &add);
    for part in [
        "by Fri 27 Nov 2026 09:00: lot",
        "take an earlier time or another lot: this one is good now, until Thu 26 Nov",
        "If you meant today, type \"today 09:00\"",
    ] {
        has(&refused, part);
    }
    for part in ["discard", "spoiled"] {
        assert!(!refused.contains(part), "{refused}");
    }
    let refused = kitchen.refused(1, &add.replace("fri", "2026-11-28"));
    assert!(!refused.contains("today"), "{refused}");
    // A lot that is past by now as well is thrown away.
    kitchen.at("2026-11-27T08:00:00Z");
    let refused = kitchen.refused(1, &add);
    has(&refused, "draff discard");
    has(&refused, "Baking does not make spoiled grain safe");
}

/// A difference of some grams is what scales make of it; the correction of the count is taken up to there.
#[test]
fn a_late_use_of_a_little_more_than_a_count_found_missing_names_its_correction() {
    let told_of = |wet: &str| {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.lot("4kg");
        kitchen.at("2026-11-21T13:22:00Z");
        kitchen.ok(&format!("count {lot} --wet 3.8kg"));
        let count = kitchen.last_entry("count");
        kitchen.at("2026-11-21T13:23:00Z");
        let use_late = format!("use {lot} --wet {wet} --for buns --at \"2026-11-21 09:00\"");
        let told = kitchen.told(&use_late);
        let again = format!("correct {count} --wet 3.8kg --reason \"entry was missing\"");
        (kitchen, lot, told, again)
    };
    let (kitchen, lot, told, again) = told_of("210g");
    has(&told, &format!("`draff {again}` works out the difference"));
    has(
        &told,
        "by that the count found 10 g more than the book says",
    );
    assert!(!told.contains("is wrong"), "{told}");
    kitchen.ok(&again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 3800.0);
    has(&kitchen.ok("check"), "whole");
    // Beyond that the book takes no correction, and none is printed.
    let (kitchen, _, told, again) = told_of("500g");
    has(&told, "one of the two is wrong");
    assert!(!told.contains("draff correct"), "{told}");
    kitchen.refused(1, &again);
}

#[test]
fn usage_tells_the_water_that_a_blend_added_and_what_it_lost_as_trace_and_report_do() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step blend --wet-in 400g --water-added 600g --wet-out 950g --left-behind 50g --minutes 10 --temp 18C"
    ));
    let usage = kitchen.json("usage");
    let lines: Vec<f64> = usage["usage"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| {
            assert_eq!(line["kind"], "treatment-loss", "{line}");
            line["wet_g"].as_f64().unwrap()
        })
        .collect();
    assert_eq!(lines, [-600.0, 50.0]);
    assert_eq!(usage["usage"][0]["dry_g"], 0.0);
    assert!(usage["usage"][1]["dry_g"].as_f64().unwrap() > 1.0);
    let report = kitchen.json("report");
    let all = report["balance"].as_array().unwrap().last().unwrap();
    assert_eq!(all["added_in_treatments_wet_g"], 600.0);
    assert_eq!(all["lost_in_treatments_wet_g"], 50.0);
    let csv = kitchen.ok("usage --csv -");
    for cell in [",treatment-loss,,,-600,", ",treatment-loss,,,50,"] {
        has(&csv, cell);
    }
    let words = one_line(&kitchen.ok("usage"));
    for part in [
        "water added +600 g",
        "treatment-loss 50 g",
        "600 g came on top",
    ] {
        has(&words, part);
    }
}

#[test]
fn dry_grain_in_a_report_that_was_fed_is_not_called_thrown_away_alone() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.ok(&format!("discard {lot} --wet 1kg --as feed --reason hens"));
    kitchen.ok(&format!(
        "discard {lot} --wet 200g --as waste --reason spilt"
    ));
    let words = one_line(&kitchen.ok("report"));
    has(&words, "Fed to animals 1 kg Into the bin 0.2 kg");
    has(&words, "Dry, thrown away, composted, fed 0.264 kg");
}

#[test]
fn an_unknown_place_is_not_made_a_fridge() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    for act in [
        format!("move {lot} --to celar"),
        "place change celar --kind ambient".to_owned(),
        "pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --wet 1kg --place celar"
            .to_owned(),
    ] {
        let refused = one_line(&kitchen.run(&act).err);
        has(
            &refused,
            "`draff place add celar --kind KIND` makes it; KIND is one of hot-hold, ambient, fridge, freezer, dry-store",
        );
    }
}

#[test]
fn a_discard_written_late_warns_that_the_rest_is_past_by_now() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let feed = |when: &str| format!("discard {lot} --wet 1kg --as feed --reason hens {when}");
    let by_now = format!("lot `{lot}` is past by now");
    assert!(!kitchen.told(&feed("")).contains(&by_now));
    kitchen.at("2026-11-28T10:00:00Z");
    let told = kitchen.told(&feed("--at \"2026-11-25 20:00\""));
    has(&told, &by_now);
    // What is thrown away since it is past says so already, and of nothing no more may be used.
    for when in ["", "--at \"2026-11-27 20:00\""] {
        let told = kitchen.told(&feed(when));
        assert!(!told.contains(&by_now), "{told}");
    }
    let told = kitchen.told(&format!(
        "discard {lot} --reason hens --at \"2026-11-25 20:00\""
    ));
    assert!(!told.contains(&by_now), "{told}");
}

#[test]
fn pounds_and_ounces_do_not_stand_in_one_column() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let other = kitchen.lot("150g");
    let third = kitchen.lot("500g");
    let shelf = one_line(&kitchen.ok("--us shelf"));
    // 5 kg are 11.023 lb, 150 g 0.331 lb, 500 g 1.102 lb; 22 % of each is dry: arithmetic.
    for (lot, wet, dry) in [
        (&lot, "11.02 lb", "2.43 lb"),
        (&other, "0.33 lb", "0.07 lb"),
        (&third, "1.10 lb", "0.24 lb"),
    ] {
        has(&shelf, &format!("{lot} good Thu 26 Nov {wet} {dry} fridge"));
    }
    kitchen.ok(&format!("discard {lot} --wet 300g --reason spilt"));
    let trace = one_line(&kitchen.ok(&format!("--us trace {lot}")));
    has(&trace, &format!("0.66 lb (300 g) of {lot}, discard"));
    has(&trace, "not said how 0.66 lb 300 g");
}

#[test]
fn a_strike_that_hinders_another_one_is_named_also_of_a_lot_that_came_by_a_press() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T10:30:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step press --wet-in 2kg --wet-out 1.2kg"
    ));
    let treat = kitchen.last_entry("treat");
    let pressed = kitchen.json("shelf")["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|found| found["lot"].as_str().unwrap().to_owned())
        .find(|code| *code != lot)
        .unwrap();
    kitchen.ok(&format!("discard {pressed} --wet 100g --reason spilt"));
    let discard = kitchen.last_entry("discard");
    kitchen.ok(&format!("strike {discard} --reason slip"));
    let of_discard = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {treat} --reason slip"));
    let of_treat = kitchen.last_entry("strike");
    let back = format!("strike {of_discard} --reason \"it was so\"");
    let refused = kitchen.refused(1, &back);
    assert!(!refused.contains("pickup is struck"), "{refused}");
    has(&refused, &format!("strike {of_treat} first"));
    kitchen.ok(&format!("strike {of_treat} --reason \"it was so\""));
    kitchen.ok(&back);
}

#[test]
fn a_figure_far_from_the_sheet_names_the_entry_to_correct() {
    let done = |options: &str| {
        let (mut kitchen, lot) = kitchen_with_loaf();
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
        ));
        kitchen.at("2026-11-20T15:00:00Z");
        let told = kitchen.told(&format!("bake done B-1S {}", options.replace("LOT", &lot)));
        (kitchen, told)
    };
    let (kitchen, told) = done("--water 9kg");
    let baked = kitchen.last_entry("baked");
    has(
        &told,
        &format!("If that is a slip: `draff correct {baked} --water MASS --reason TEXT`"),
    );
    kitchen.ok(&format!("correct {baked} --water 800g --reason slip"));
    let (kitchen, told) = done("--used LOT=4kg");
    let used = kitchen.last_entry("use");
    has(
        &told,
        &format!("If that is a slip: `draff correct {used} --wet MASS --reason TEXT`"),
    );
    kitchen.ok(&format!("correct {used} --wet 800g --reason slip"));
}

#[test]
fn a_recall_names_both_sources_that_may_be_one() {
    let kitchen = Kitchen::new();
    kitchen.lot("4kg");
    kitchen.ok(
        "pickup --source \"Alder Lanes\" --new-source --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 2kg",
    );
    let trace = one_line(&kitchen.ok("trace --source \"Alder Lane\""));
    let merge = "source merge 'Alder Lanes' --into 'Alder Lane'";
    has(&trace, &format!("If both are one: `draff {merge}`"));
    kitchen.ok(merge);
}

#[test]
fn the_log_says_that_what_was_found_on_a_struck_lot_does_not_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    let says = "does not count: what its lot came by is STRUCK by entry";
    assert!(!one_line(&kitchen.ok("log")).contains(says));
    kitchen.at("2026-11-20T10:05:00Z");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {pickup} --reason slip"));
    let strike = kitchen.last_entry("strike");
    for log in ["log".to_owned(), format!("log {lot}")] {
        let log = one_line(&kitchen.ok(&log));
        has(&log, &format!("{says} {strike}"));
        assert_eq!(log.matches(says).count(), 1, "{log}");
    }
    kitchen.ok(&format!("strike {strike} --reason \"it did come\""));
    assert!(!one_line(&kitchen.ok("log")).contains(says));
}

/// Several sources, so many columns that each source stands as a list.
#[test]
fn a_list_of_a_report_has_a_space_behind_its_longest_name_and_one_minus() {
    let mut kitchen = Kitchen::new();
    for source in [
        "Alder Lane upper brewhouse",
        "Corrow Weir old brewhouse",
        "Tarn Fell harbour brewhouse",
    ] {
        let lot = kitchen.json(&format!(
            "pickup --source \"{source}\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 4kg"
        ))["lot"]
            .as_str()
            .unwrap()
            .to_owned();
        kitchen.ok(&format!("count {lot} --wet 4010g"));
    }
    kitchen.at("2026-11-20T10:10:00Z");
    let report = kitchen.ok("report");
    assert!(!report.contains("more)0"), "{report}");
    assert!(!report.contains("more)−"), "{report}");
    has(&one_line(&report), "Found missing (− found more) −0.01 kg");
}

#[test]
fn grain_that_a_done_bake_took_is_not_taken_again_in_silence() {
    let (mut kitchen, lot) = kitchen_with_loaf();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
    ));
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=800g"));
    let told = kitchen.told(&format!("use {lot} --wet 150g --for rolls"));
    assert!(!told.contains("B-1S"), "{told}");
    for name in ["\"Small Loaf\"", "B-1S"] {
        let told = kitchen.told(&format!("use {lot} --wet 100g --for {name}"));
        let again = kitchen.last_entry("use");
        has(
            &told,
            &format!("B-1S, which is done, took 800 g of {lot} on Fri 20 Nov 12:00 already"),
        );
        let strike = format!("strike {again} --reason \"it was B-1S\"");
        has(&told, &format!("`draff {strike}`"));
        kitchen.ok(&strike);
    }
    kitchen.at("2026-11-21T15:00:00Z");
    let told = kitchen.told(&format!("use {lot} --wet 100g --for \"small loaf\""));
    assert!(!told.contains("B-1S"), "{told}");
}
