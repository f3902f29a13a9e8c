//! `use`: draws grain for a bake, never more than there is and never grain that may not be used.

use crate::env::Kitchen;
use serde_json::json;

#[test]
fn what_is_used_is_no_longer_there() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let out = kitchen.ok(&format!("use {lot} --wet 435g --for \"pan loaf\""));
    assert!(out.contains("9.565 kg of mashed grain"), "{out}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(9565.0));
    let rest = kitchen.json(&format!("use {lot} --wet 65g --for rolls"));
    assert_eq!(rest["wet_g"], json!(9500.0));
}

#[test]
fn a_lot_can_be_used_to_the_last_milligram_and_no_further() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("1kg");
    kitchen.ok(&format!("use {lot} --wet 999.999g --for bread"));
    let said = kitchen.refused(1, &format!("use {lot} --wet 2mg --for bread"));
    assert!(
        said.contains("has 0.001 g left: 0.002 g is more than that"),
        "{said}"
    );
    kitchen.ok(&format!("use {lot} --wet 1mg --for bread"));
    let said = kitchen.refused(1, &format!("use {lot} --wet 1mg --for bread"));
    assert!(
        said.contains(&format!("nothing is left of lot `{lot}`")),
        "{said}"
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn grain_that_may_not_be_used_is_not_drawn() {
    let mut kitchen = Kitchen::new();
    let unknown = kitchen.pickup("--brewed 2026-11-20 --wet 5kg");
    let past = kitchen.lot("5kg");
    kitchen.at("2026-11-27T00:00:00Z");
    for lot in [&unknown, &past] {
        let said = kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
        assert!(said.contains("may not be used as food"), "{said}");
    }
    // What went into the dough while it was good may still be written down.
    kitchen.ok(&format!(
        "use {past} --wet 1kg --for bread --at \"2026-11-26 22:00\""
    ));
    assert_eq!(kitchen.on_shelf(&past)["wet_g"], json!(4000.0));
}

#[test]
fn who_and_when_are_kept() {
    let kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 05:00 --cooled 06:00 --collected 06:30 --wet 5kg");
    kitchen.ok(&format!(
        "--by Ines use {lot} --wet 1kg --for bread --at 08:30"
    ));
    let log = kitchen.json(&format!("log {lot} --last 1"));
    let entry = &log["entries"][0];
    assert_eq!(entry["by"], "Ines");
    assert_eq!(entry["at"], "2026-11-20T08:30:00+00:00");
    assert_eq!(entry["recorded_at"], "2026-11-20T10:00:00+00:00");
    assert_eq!(entry["words"], "bread");
}

#[test]
fn a_code_may_be_typed_in_small_letters() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("use {} --wet 1kg --for bread", lot.to_lowercase()));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(4000.0));
}

/// Not known is not nothing, and neither is a milligram.
#[test]
fn a_milligram_is_not_shown_as_nothing() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let ran = kitchen.run(&format!("use {lot} --wet 1mg --for bread"));
    assert!(!ran.err.contains("used 0 g"), "{}", ran.err);
}

#[test]
fn several_lots_are_drawn_together_or_not_at_all() {
    let mut kitchen = Kitchen::new();
    let (one, other) = (kitchen.lot("10kg"), kitchen.lot("4kg"));
    let before = kitchen.entries();
    let said = kitchen.refused(1, &format!("use {one} 2kg {other} 5kg --for bread"));
    assert!(said.contains("has 4 kg left"), "{said}");
    assert_eq!(kitchen.entries(), before, "all or nothing");
    let drawn = kitchen.json(&format!("use {one} 2kg {other} 1kg --for bread"));
    assert_eq!(drawn["lots"][0]["wet_g"], json!(8000.0));
    assert_eq!(drawn["lots"][1]["wet_g"], json!(3000.0));
    assert_eq!(kitchen.entries(), before + 2);
    let words = kitchen.ok(&format!("use {one} 1kg {other} 1kg --for bread"));
    assert!(
        words.contains("7 kg of mashed") && words.contains("2 kg of mashed"),
        "{words}"
    );
    assert_eq!(
        words.matches("In doubt, throw it out").count(),
        1,
        "{words}"
    );
    // One of them past: none is drawn.
    kitchen.at("2026-11-24T10:00:00Z");
    let fresh = kitchen.pickup("--brewed 2026-11-24 --mash-out 07:30 --cooled 09:00 --wet 5kg");
    kitchen.at("2026-11-28T10:00:00Z");
    kitchen.refused(1, &format!("use {fresh} 1kg {one} 1kg --for bread"));
    assert_eq!(kitchen.on_shelf(&fresh)["wet_g"], json!(5000.0));
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn each_of_several_lots_needs_its_mass() {
    let kitchen = Kitchen::new();
    let (one, other) = (kitchen.lot("10kg"), kitchen.lot("4kg"));
    let said = kitchen.refused(2, &format!("use {one} 2kg {other} --for bread"));
    assert!(
        said.contains(&format!("how much of lot `{other}`")),
        "{said}"
    );
    let said = kitchen.refused(2, &format!("use {one} {other} --wet 2kg --for bread"));
    assert!(said.contains("--wet is for one lot"), "{said}");
    kitchen.refused(2, &format!("use {one} --for bread"));
    let said = kitchen.refused(2, &format!("use {one} 1kg {one} 2kg --for bread"));
    assert!(said.contains("is named twice"), "{said}");
    assert_eq!(kitchen.on_shelf(&one)["wet_g"], json!(10000.0));
}
