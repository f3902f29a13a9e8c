//! Malts that a grist joins in one part are looked at each by itself: what is no known cereal may be any.

use crate::env::has;
use crate::free_of::{ADD, with_grist};
use serde_json::json;

/// Grists with a known cereal beside a word that nobody knows.
const OPEN: [&str; 7] = [
    "barley and Weizen malt",
    "barley und Weizen",
    "barley & Weizen",
    "barley + Weizen",
    "barley with Weizen",
    "barley/Weizen",
    "pale barley malt 90%, barley and Weizen malt 10%",
];

/// Grists of barley alone, in words that are plainly no cereal.
const TOLD: [&str; 5] = [
    "pale and crystal barley malt",
    "roasted/flaked barley",
    "barley malt with hulls",
    "barley malt & barley flakes",
    "smoked barley malt 90%, malted and raw barley 10%",
];

#[test]
fn a_trace_of_a_cereal_finds_grain_that_may_hold_it() {
    for grist in OPEN {
        let (kitchen, lot) = with_grist(grist);
        let trace = kitchen.json("trace --grist wheat");
        assert_eq!(trace["may_hold"], json!([lot]), "{grist}");
        let trace = kitchen.json("trace --grist barley");
        assert_eq!(trace["lots"][0]["lot"], lot, "{grist}");
        assert_eq!(trace["may_hold"], json!([]), "{grist}");
    }
    for grist in TOLD {
        let (kitchen, _) = with_grist(grist);
        let trace = kitchen.json("trace --grist wheat");
        assert_eq!(trace["lots"], json!([]), "{grist}");
    }
}

#[test]
fn a_bake_that_is_to_be_free_of_a_cereal_takes_none_that_may_hold_it() {
    for grist in OPEN {
        let (kitchen, lot) = with_grist(grist);
        let said = kitchen.refused(1, &format!("{ADD} --free-of wheat --lot {lot}"));
        has(&said, "not known to be free of");
    }
    for grist in TOLD {
        let (kitchen, lot) = with_grist(grist);
        kitchen.ok(&format!("{ADD} --free-of wheat --lot {lot}"));
    }
}

#[test]
fn a_ticket_names_what_the_grain_may_hold() {
    let (kitchen, lot) = with_grist(OPEN[0]);
    let ticket = &kitchen.json(&format!("ticket {lot}"))["tickets"][0];
    assert_eq!(ticket["gluten_named"], json!(["barley"]));
    assert_eq!(ticket["gluten_perhaps"], json!(["wheat", "rye", "oats"]));
    let (kitchen, lot) = with_grist(TOLD[0]);
    let ticket = &kitchen.json(&format!("ticket {lot}"))["tickets"][0];
    assert_eq!(ticket["gluten_perhaps"], json!([]));
}

#[test]
fn what_is_only_like_a_cereal_holds_it_and_may_be_another() {
    let (kitchen, lot) = with_grist("barley + spelt-like");
    assert_eq!(kitchen.json("trace --grist wheat")["may_hold"], json!([]));
    let trace = kitchen.json("trace --grist rye");
    assert_eq!(trace["may_hold"], json!([lot]));
}
