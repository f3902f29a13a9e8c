//! Frozen grain for a dough: whether it thaws in time, what to take out when, and what is told where nobody
//! wrote it down.

use crate::env::{Kitchen, has, one_line};

#[test]
fn grain_does_not_thaw_in_minutes() {
    let kitchen = Kitchen::new();
    let refused = kitchen.refused(2, "settings thaw 10min");
    has(&refused, "thaw is `10min`: allowed is 1h to 96h");
    has(&refused, "write it like");
    kitchen.ok("settings thaw 1h");
}

/// A bake takes a part of what is frozen in one block.
#[test]
fn a_part_of_a_frozen_block_takes_all_of_it_out() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("20kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 4");
    has(
        &one_line(&kitchen.ok("plan")),
        &format!("frozen in one block, all 20 kg of {lot} comes out:"),
    );
}
