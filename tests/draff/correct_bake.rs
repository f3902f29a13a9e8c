//! A slip in what a bake came to is put right by one act, and whatever stands in the way names a command that works.

use crate::env::{Kitchen, LOAF, has};
use serde_json::json;

#[test]
fn a_bake_counts_once_whatever_is_struck() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("3kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=1kg"));
    kitchen.ok(&format!(
        "strike {} --reason slip",
        kitchen.last_entry("baked")
    ));
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("bake done B-1S --used {lot}=3kg"));
    let said = kitchen.refused(1, &format!("strike {strike} --reason \"was right\""));
    has(&said, "B-1S");
    // A draw that was corrected is taken back as it counts, though what was corrected is gone.
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {used} --wet 2.5kg --reason misread"));
    kitchen.ok(&format!("discard {lot} --reason crumbs"));
    kitchen.ok(&format!(
        "strike {} --reason wrong",
        kitchen.last_entry("baked")
    ));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 2500.0);
    kitchen.ok("check");
}

/// The grain of a bake that was struck and written down anew is not booked twice by striking one of the strikes.
#[test]
fn grain_of_a_struck_bake_comes_back_with_the_bake_or_not_at_all() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("9kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 11:00\" mix --pieces 4");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=700g"));
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason x"));
    let whole = kitchen.last_entry("strike");
    kitchen.ok(&format!("bake done B-1S --used {lot}=700g"));
    let said = kitchen.refused(1, &format!("strike {} --reason x", whole - 1));
    has(&said, &format!("entry {whole}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(8300.0));
}
