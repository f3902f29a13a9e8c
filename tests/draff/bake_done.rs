//! `bake done`: what figures would give and how to add them, figures far from the sheet, and grain that is not
//! taken twice.

use crate::env::{Kitchen, has};

#[test]
fn a_dough_temperature_without_the_others_says_how_to_add_them() {
    let kitchen = Kitchen::new();
    let lot = kitchen.exact_loaf();
    let done = format!("bake done B-1S --used {lot}=957g --dough-temp 26C");
    let told = kitchen.told(&done);
    has(
        &told,
        "To add them, strike the bake and write it down again, such as with --tap 12C --room 21C --grain-temp 4C",
    );
    let entry = kitchen.last_entry("baked");
    has(
        &told,
        &format!("`draff strike {entry} --reason …` undoes it"),
    );
    kitchen.ok(&format!("strike {entry} --reason \"temperatures\""));
    let told = kitchen.told(&format!(
        "{done} --tap 12C --room 21C --grain-temp 20C --water-temp 25C"
    ));
    assert!(!told.contains("not corrected"), "{told}");
    assert!(!told.contains("undoes it"), "{told}");
}
