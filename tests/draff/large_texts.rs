//! Formulas, rule sets and descriptions are small: of a larger file no more is read than tells so.

use crate::env::{Kitchen, LOAF, has};

const MOST: usize = 1 << 20;

fn padded(text: &str, bytes: usize) -> String {
    let comment = format!("\n# {}", "x".repeat(bytes - text.len() - 3));
    format!("{text}{comment}")
}

#[test]
fn a_formula_or_rule_set_above_one_mebibyte_is_refused() {
    let kitchen = Kitchen::new();
    let rules = kitchen
        .ok("rules strict")
        .replace("name = \"strict\"", "name = \"ours\"");
    kitchen.file("most.toml", padded(LOAF, MOST));
    kitchen.file("more.toml", padded(LOAF, MOST + 1));
    kitchen.file("rules.toml", padded(&rules, MOST));
    kitchen.file("more-rules.toml", padded(&rules, MOST + 1));
    kitchen.ok("formula add most.toml");
    kitchen.ok("--book ours.draff new-book --rules rules.toml");
    for words in [
        "formula add more.toml",
        "batch more.toml --flour 5kg --moisture 77%",
        "--book new.draff new-book --rules more-rules.toml",
    ] {
        let said = kitchen.refused(1, words);
        has(&said, "holds more than 1 MiB: that is the most");
        has(&said, "check that it is the right file");
    }
}

#[test]
fn a_description_above_one_mebibyte_is_refused() {
    let kitchen = Kitchen::new();
    kitchen.ok("export-all out");
    kitchen.file("out/description.json", " ".repeat(MOST + 1));
    let said = kitchen.refused(1, "--book new.draff import-all out");
    has(&said, "holds more than 1 MiB");
    has(&said, "name a folder that `draff export-all` wrote");
}
