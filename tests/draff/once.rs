//! `--once`: an act that is sent again under its id is in the book once.

use crate::env::{Kitchen, LOAF};

#[test]
fn an_act_that_is_sent_again_is_booked_once() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let act = format!("use {lot} --wet 1kg --for bread --once friday-bread-1");
    kitchen.ok(&act);
    let (entries, tables) = (kitchen.entries(), kitchen.files());
    let entry = kitchen.last_entry("use");
    let again = kitchen.run(&act);
    assert_eq!((again.code, again.out.as_str()), (0, ""));
    assert_eq!(
        again.err,
        format!("this act is in the book already, as entry {entry}: nothing was written\n")
    );
    assert_eq!(kitchen.entries(), entries);
    assert!(tables == kitchen.files());
    // The id may stand anywhere on the line.
    let elsewhere = format!("--once=friday-bread-1 use {lot} --wet 1kg --for bread");
    assert_eq!(kitchen.run(&elsewhere).code, 0);
    assert_eq!(kitchen.entries(), entries);
}

#[test]
fn another_act_under_the_same_id_is_refused() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!(
        "use {lot} --wet 1kg --for bread --once friday-bread-1"
    ));
    let told = kitchen.refused(
        1,
        &format!("use {lot} --wet 2kg --for bread --once friday-bread-1"),
    );
    assert!(
        told.contains("another act was done under this id, entry "),
        "{told}"
    );
    assert!(told.contains("--once ID"), "{told}");
}

#[test]
fn a_refused_act_does_not_use_up_its_id() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.refused(
        1,
        &format!("use {lot} --wet 11kg --for bread --once friday-bread-1"),
    );
    kitchen.ok(&format!(
        "use {lot} --wet 1kg --for bread --once friday-bread-1"
    ));
}

#[test]
fn a_formula_is_added_once() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml --once formula-1");
    let again = kitchen.run("formula add loaf.toml --once formula-1");
    assert_eq!(again.code, 0);
    assert_eq!(
        again.err,
        "this act is in the book already: nothing was written\n"
    );
}

#[test]
fn an_id_is_for_acts_and_has_a_form() {
    let kitchen = Kitchen::new();
    let told = kitchen.refused(2, "shelf --once friday-bread-1");
    assert!(told.contains("--once is for commands that write"), "{told}");
    for wrong in ["short", "with blank in it", "ünïcödé-id"] {
        let ran = kitchen.run_words(["settings", "tap", "12C", "--once", wrong]);
        assert_eq!(ran.code, 2, "{}", ran.err);
        let told = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains("8 to 64 letters"), "{told}");
    }
}
