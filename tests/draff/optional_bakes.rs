//! Words name only the bakes that may be left out: to a baker a firm bread is one of a firm dough.

use crate::env::{Kitchen, has, one_line};

#[test]
fn no_words_call_a_bake_firm() {
    let (kitchen, _) = Kitchen::with_tested_lot();
    for (at, how) in [
        ("2026-11-22 06:00", "--pieces 24"),
        ("2026-11-23 06:00", "--pieces 24 --optional"),
        ("2026-11-27 06:00", "--pieces 200"),
    ] {
        kitchen.ok(&format!("bake add \"small loaf\" --at \"{at}\" mix {how}"));
    }
    let plan = kitchen.ok("plan --why");
    for asked in ["plan --why", "fetch", "log", "bake", "help plan"] {
        let said = kitchen.ok(asked);
        let mut words = said.split(|letter: char| !letter.is_alphanumeric());
        assert!(words.all(|word| word != "firm"), "{said}");
    }
    has(&plan, "small loaf\n");
    has(&plan, "small loaf, optional\n");
    has(&one_line(&plan), "dry grain missing in bakes 3537 g");
    has(
        &one_line(&kitchen.ok("log")),
        "mixed Mon 23 Nov 06:00; optional",
    );
    has(&kitchen.ok("fetch"), "\nbakes below their minimum, dry ");
    assert_eq!(kitchen.json("bake show B-1S")["firm"], true);
}
