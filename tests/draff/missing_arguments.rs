//! What was left out of a command is told with what it means, not by its name alone.

use crate::env::{Kitchen, has};

/// What is told of a command that is refused as not understood, in one line.
fn told(words: &str) -> String {
    Kitchen::bare().refused(2, words)
}

#[test]
fn a_missing_code_is_told_with_where_to_find_it() {
    for command in ["sheet", "bake show", "bake done"] {
        let told = told(command);
        has(
            &told,
            "missing from this command: BAKE: The bake's code, such as B-1S; `draff bake list` shows",
        );
        has(&told, &format!("Usage: draff {command} <BAKE>"));
    }
}

#[test]
fn where_one_of_several_is_missing_each_is_told() {
    let batch = told("batch \"pan loaf\" --pieces 3");
    has(&batch, "--lot <LOT>: The lot to draw from, by its code");
    has(
        &batch,
        "or --moisture <PERCENT>: How wet the grain is where there is no lot",
    );
    let hold_back = told("hold-back --wet 1kg --flour 1kg --hydration 70%");
    has(&hold_back, "LOT: The lot's code, as `draff shelf` shows it");
    has(&hold_back, "or --moisture <PERCENT>: How wet the grain is");
    assert!(!hold_back.contains("Flour from the bag"), "{hold_back}");
}

#[test]
fn what_is_missing_fits_the_screen() {
    for words in ["use", "probe X", "pickup", "bake add x", "batch x"] {
        let told = Kitchen::bare().refused_as_written(2, words);
        assert!(
            told.lines().all(|line| line.chars().count() <= 80),
            "{words}: {told}"
        );
    }
}
