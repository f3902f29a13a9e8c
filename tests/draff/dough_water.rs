//! How much water goes with grain: the most grain a dough takes, what is poured first, and what is held back for what.

use crate::env::{Kitchen, LOAF, has, one_line};

/// Less grain than the hydration was found with: its thirst takes water off, and what is held back is for grain that
/// drinks little.
#[test]
fn the_thirst_that_is_in_the_hydration_is_told_in_its_direction() {
    let found_with = "[grain]\nhydration_with = { form = \"whole\", share = \"10%\" }";
    let kitchen = Kitchen::with_less_grain(&LOAF.replace("[grain]", found_with));
    let lot = kitchen.lot("6kg");
    let said = one_line(&kitchen.ok(&format!("batch \"small loaf\" --pieces 4 --lot {lot}")));
    has(&said, "less water, about");
    has(&said, "in case it drinks little");
    assert!(!said.contains("drinks more"), "{said}");
    let more = Kitchen::with_less_grain(LOAF);
    let lot = more.lot("6kg");
    let said = one_line(&more.ok(&format!("batch \"small loaf\" --pieces 4 --lot {lot}")));
    has(&said, "in case it drinks more than flour");
}
