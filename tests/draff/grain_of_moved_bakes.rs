//! What the accepted plan freezes or dries for a bake that was moved since and takes the grain as it lies.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{list, text};

/// 8 kg of this Friday's grain, frozen for a bake in ten days and one two days later; the first is moved to tomorrow.
#[test]
fn grain_that_a_moved_bake_takes_fresh_is_not_frozen_for_it() {
    let kitchen = Kitchen::with_loaf("8kg").0;
    for (at, pieces) in [("2026-11-30", 12), ("2026-12-02", 24)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at} 06:00\" mix --pieces {pieces}"
        ));
    }
    kitchen.ok("plan --accept");
    let frozen_for = |kitchen: &Kitchen| -> Vec<String> {
        let today = kitchen.json("today");
        let due = list(&today, "due").iter();
        let frozen = due.filter(|due| due["task"] == "freeze");
        frozen.map(|due| text(due, "bake").to_owned()).collect()
    };
    assert_eq!(frozen_for(&kitchen), ["B-1S", "B-2Q"]);
    kitchen.ok("bake change B-1S --at \"2026-11-21 11:00\" mix");
    assert_eq!(frozen_for(&kitchen), ["B-2Q"]);
    let today = one_line(&kitchen.ok("today"));
    has(&today, "freeze 5.382 kg of");
    has(&today, "mix the final dough; grain: 2.618 kg of");
    kitchen.ok("bake change B-1S --at \"2026-11-30 06:00\" mix");
    assert_eq!(frozen_for(&kitchen), ["B-1S", "B-2Q"], "as it was planned");
}

/// The block for the moved bake is frozen by now: what is for the other is still to be frozen, and no less.
#[test]
fn a_bag_that_was_frozen_before_its_bake_was_moved_counts_once() {
    let kitchen = Kitchen::with_loaf("8kg").0;
    for (at, pieces) in [("2026-11-30", 12), ("2026-12-02", 24)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at} 06:00\" mix --pieces {pieces}"
        ));
    }
    kitchen.ok("plan --accept");
    let lot = text(&list(&kitchen.json("shelf"), "lots")[0], "lot").to_owned();
    kitchen.ok(&format!("move {lot} --wet 2.618kg --to freezer"));
    kitchen.ok("bake change B-1S --at \"2026-11-25 11:00\" mix");
    has(&one_line(&kitchen.ok("today")), "freeze 5.382 kg of");
}
