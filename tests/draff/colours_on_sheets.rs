//! A sheet of a bake that names no lot takes grain of the colour that the formula wants, as the plan does.

use crate::env::{Kitchen, LOAF};
use crate::plan::{list, text};
use serde_json::Value;

/// A bake of Sunday (B-1S) of a loaf that wants pale grain.
fn pale_loaf() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        LOAF.replace("[grain]", "[grain]\ncolour = \"pale\""),
    );
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 8");
    kitchen
}

fn tub(kitchen: &Kitchen, source: &str, grist: &str) -> String {
    let lot = kitchen.lot_from(source, &format!("--wet 6kg {grist}"));
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    lot
}

fn lots(answer: &Value) -> Vec<String> {
    let draws = list(answer, "draws").iter();
    draws.map(|draw| text(draw, "lot").to_owned()).collect()
}

fn on_sheet(kitchen: &Kitchen) -> Vec<String> {
    lots(&kitchen.json("sheet B-1S"))
}

#[test]
fn the_sheet_takes_the_lot_of_the_right_colour_that_the_plan_takes() {
    let kitchen = pale_loaf();
    let dark = "--grist \"roasted barley 50%, black malt 50%\"";
    tub(&kitchen, "Alder Lane", dark);
    assert!(on_sheet(&kitchen).is_empty());
    let pale = tub(&kitchen, "Corrow Weir", "--grist \"pale barley malt\"");
    let plan = kitchen.json("plan");
    assert_eq!(lots(&list(&plan, "bakes")[0]), std::slice::from_ref(&pale));
    assert_eq!(on_sheet(&kitchen), [pale]);
}

/// Nobody knows the colour of a lot without a grist.
#[test]
fn a_lot_without_a_grist_is_on_no_sheet_that_wants_a_colour() {
    let kitchen = pale_loaf();
    let unknown = tub(&kitchen, "Alder Lane", "");
    assert!(on_sheet(&kitchen).is_empty());
    // Who names a lot means it.
    kitchen.ok(&format!("bake change B-1S --lot {unknown}"));
    assert_eq!(on_sheet(&kitchen), [unknown]);
}

/// A promise was made by the grist as it was known then.
#[test]
fn promised_grain_whose_grist_is_corrected_to_another_colour_is_not_taken() {
    let kitchen = pale_loaf();
    let lot = tub(&kitchen, "Alder Lane", "--grist \"pale barley malt\"");
    kitchen.ok("plan --accept");
    assert_eq!(on_sheet(&kitchen), [lot]);
    let entry = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {entry} --grist \"black malt 100%\" --reason misread"
    ));
    assert!(on_sheet(&kitchen).is_empty());
}
