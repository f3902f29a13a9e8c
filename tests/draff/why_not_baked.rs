//! The reason that `plan` names for a bake that is not baked is true.

use crate::env::{Kitchen, has, one_line};

/// 500 g of dry grain, of which the firm bake takes 384 g; the other one wants 192 g at the least.
#[test]
fn a_lot_that_another_bake_takes_is_not_said_to_hold_less() {
    for most_lots in [1, 3] {
        let (kitchen, lot) = Kitchen::with_loaf("2kg");
        kitchen.ok(&format!("moisture {lot} --lab 75%"));
        kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 10:00\" mix --pieces 8");
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-23 10:00\" mix --pieces 8 --optional --most-lots {most_lots}"
        ));
        let words = one_line(&kitchen.ok("plan"));
        has(&words, "what fits goes into B-1S");
        assert!(!words.contains("may be made of"), "{words}");
    }
}

/// A block fills the freezer and goes into the firm bake; 100 g of dry grain, not frozen, would not make the other one.
#[test]
fn freezers_are_not_blamed_for_grain_that_would_not_do() {
    let (kitchen, block) = Kitchen::with_loaf("1920g");
    kitchen.ok(&format!("moisture {block} --lab 75%"));
    kitchen.ok(&format!("move {block} freezer"));
    let tub = kitchen.lot_from("Mill Brook", "--wet 400g");
    kitchen.ok(&format!("moisture {tub} --lab 75%"));
    kitchen.ok("place change freezer --capacity 1920g");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 10:00\" mix --pieces 10");
    kitchen.ok("bake add \"small loaf\" --at \"2026-12-01 10:00\" mix --pieces 8 --optional");
    let words = one_line(&kitchen.ok("plan"));
    has(&words, "what fits goes into B-1S");
    assert!(!words.contains("the freezers are full"), "{words}");
}
