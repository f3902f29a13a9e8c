//! `give`: grain that goes to people as food, one step down.

use crate::env::{Kitchen, one_line};
use serde_json::json;

#[test]
fn what_is_given_stands_in_stock_usage_trace_and_balance() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let ran = kitchen.run(&format!("give {lot} --wet 2kg --to \"the café\""));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("allergens"), "{}", ran.out);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(8000.0));
    let usage = kitchen.json("usage");
    assert_eq!(usage["usage"][0]["kind"], "give");
    assert_eq!(usage["usage"][0]["note"], "the café");
    assert_eq!(usage["usage"][0]["bake"], json!(null));
    assert!(kitchen.ok("usage --csv -").contains(",give,"));
    let trace = kitchen.json(&format!("trace {lot}"));
    assert_eq!(trace["ends"][0]["kind"], "give");
    assert_eq!(trace["ends"][0]["words"], "the café");
    assert_eq!(trace["balance"]["given_g"], json!(2000.0));
    assert_eq!(trace["balance"]["difference_g"], json!(0.0));
    assert!(kitchen.ok("check").contains("whole"));
    kitchen.ok(&format!("give {lot} --to \"the café\""));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
}

#[test]
fn past_and_unknown_grain_is_not_given_and_late_entries_are_judged_by_their_time() {
    let mut kitchen = Kitchen::new();
    let unknown = kitchen.pickup("--brewed 2026-11-20 --wet 5kg");
    let lot = kitchen.lot("5kg");
    let said = kitchen.refused(1, &format!("give {unknown} --wet 1kg --to Ada"));
    assert!(said.contains("is unknown"), "{said}");
    kitchen.at("2026-11-28T10:00:00Z");
    kitchen.refused(1, &format!("give {lot} --wet 1kg --to Ada"));
    for act in ["give LOT --wet 1kg --to Ada", "use LOT 1kg --for bread"] {
        let act = act.replace("LOT", &lot);
        let ran = kitchen.run(&format!("{act} --at \"2026-11-25 10:00\""));
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.err.contains("is past by now"), "{}", ran.err);
    }
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --reason spare --at \"2026-11-25 11:00\""
    ));
    // In the freezer since then it would not be past: nobody says so afterwards.
    let said = kitchen.refused(
        1,
        &format!("move {lot} --to freezer --at \"2026-11-25 12:00\""),
    );
    assert!(said.contains("usable again"), "{said}");
}

#[test]
fn feed_has_its_caution_and_spoiled_grain_is_no_feed() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let out = kitchen.ok(&format!("discard {lot} --wet 1kg --as feed --reason spare"));
    assert!(out.contains("Feed law applies"), "{out}");
    let part = kitchen.json(&format!("move {lot} --wet 2kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok(&format!("probe {lot} --spoiled \"blue mould\" --at now"));
    let said = kitchen.refused(1, &format!("discard {lot} --as feed --reason spare"));
    assert!(
        said.contains("is no feed") && said.contains("--as compost"),
        "{said}"
    );
    kitchen.ok(&format!(
        "discard {part} --wet 1kg --as compost --reason spare"
    ));
    kitchen.ok(&format!("discard {lot} --as compost --reason mould"));
}

#[test]
fn the_same_typed_twice_is_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 2kg --for bread"));
    kitchen.at("2026-11-20T10:04:00Z");
    let ran = kitchen.run(&format!("use {lot} --wet 2kg --for bread"));
    let again = kitchen.last_entry("use");
    assert!(
        one_line(&ran.err).contains(&format!("draff strike {again} --reason")),
        "{}",
        ran.err
    );
    kitchen.at("2026-11-20T11:00:00Z");
    let ran = kitchen.run(&format!("use {lot} --wet 2kg --for bread"));
    assert!(!one_line(&ran.err).contains("typed twice"), "{}", ran.err);
    let pickup = "pickup --source \"Corrie Mill\" --brewed today --mash-out 08:00 --wet 3kg";
    assert!(!kitchen.run(pickup).err.contains("typed twice"));
    kitchen.at("2026-11-20T11:03:00Z");
    let ran = kitchen.run(pickup);
    let again = kitchen.last_entry("pickup");
    assert!(
        one_line(&ran.err).contains(&format!("draff strike {again} --reason")),
        "{}",
        ran.err
    );
}

#[test]
fn a_file_read_twice_is_told() {
    let mut kitchen = Kitchen::new();
    kitchen.file("p.csv", "source,brewed,mash_out,collected,wet\nCorrie Mill,2026-11-19,08:00,2026-11-19 10:00,4kg\nCorrie Mill,2026-11-19,08:00,2026-11-19 10:00,5kg\n");
    let ran = kitchen.run("pickup --csv p.csv");
    assert!(
        ran.code == 0 && !ran.err.contains("in the book already"),
        "{}",
        ran.err
    );
    kitchen.at("2026-11-21T10:00:00Z");
    let ran = kitchen.run("pickup --csv p.csv");
    assert!(
        ran.err.contains("2 of 2 rows are in the book already"),
        "{}",
        ran.err
    );
    assert!(
        ran.told().contains("draff strike 7 8 --reason"),
        "{}",
        ran.err
    );
    // A row that was corrected since is known by what it said first.
    kitchen.ok("correct 5 --wet 4.4kg --reason misread");
    kitchen.ok("strike 7 8 --reason \"read twice\"");
    let again = kitchen.told("pickup --csv p.csv");
    assert!(
        again.contains("2 of 2 rows are in the book already"),
        "{again}"
    );
}
