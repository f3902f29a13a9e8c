//! Bakes that are planned: which grain they take, which lot they cannot have, and which of them may be left out.

use crate::env::{Kitchen, LOAF, has, one_line};

#[test]
fn a_lot_that_is_gone_is_told_where_a_bake_names_it() {
    let (mut kitchen, lot) = Kitchen::with_loaf("6kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("discard {lot} --reason dropped --as waste"));
    has(
        &one_line(&kitchen.ok("today")),
        &format!("NOT of {lot}: nothing is left of it"),
    );
    has(&kitchen.ok("bake show B-1S"), "nothing is left of it");
}

#[test]
fn a_bake_says_which_grain_alone_it_takes() {
    for (wishes, free_of, said) in [
        ("colour = \"pale\"", "", "only grain of pale malt"),
        ("form = \"whole\"", "", "only whole grain"),
        (
            "form = \"whole\"\ncolour = \"pale\"",
            " --free-of wheat",
            "only whole grain of pale malt and free of wheat",
        ),
    ] {
        let kitchen = Kitchen::new();
        let formula = LOAF.replace("[grain]", &format!("[grain]\n{wishes}"));
        kitchen.file("loaf.toml", formula);
        kitchen.ok("formula add loaf.toml");
        let add = "bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 24";
        let added = one_line(&kitchen.ok(&format!("{add}{free_of}")));
        has(&added, &format!("% of total flour; {said}"));
    }
}

#[test]
fn a_bake_planned_too_late_for_a_good_lot_is_not_answered_with_throwing_it_away() {
    let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
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

#[test]
fn only_a_bake_that_may_be_left_out_is_marked() {
    let (kitchen, _) = Kitchen::with_accepted_plan(24);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 4 --optional");
    let (firm, optional) = (kitchen.ok("sheet B-1S"), kitchen.ok("bake show B-3O"));
    assert!(firm.starts_with("SMALL LOAF, BAKE B-1S\n"), "{firm}");
    assert_eq!(kitchen.json("sheet B-1S")["firm"], true);
    has(&one_line(&optional), ", optional: only if grain is left");
    let list = kitchen.ok("bake");
    has(&list, "small loaf, optional");
    assert!(!list.contains("firm"), "{list}");
    assert!(!kitchen.ok("bake show B-1S").contains("firm"));
}
