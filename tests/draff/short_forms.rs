//! Short forms that one command takes every command takes, and what no short form takes is told with the long one.

use crate::env::{Kitchen, has};

#[test]
fn a_lot_is_traced_by_the_end_of_its_code() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let whole = kitchen.json(&format!("trace {lot}"));
    let end = lot.rsplit('-').next().unwrap();
    for short in [end, &end.to_lowercase(), &lot[4..]] {
        assert_eq!(kitchen.json(&format!("trace {short}")), whole, "{short}");
    }
    // Grain that was used for something of that name is meant by it, as before.
    kitchen.ok(&format!("use {lot} 1kg --for {end}"));
    let used = kitchen.json(&format!("trace {end}"));
    assert_eq!(used["asked"], format!("back from `{end}`"));
}

#[test]
fn a_trace_by_the_end_of_no_code_on_hand_says_so() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    let end = lot.rsplit('-').next().unwrap();
    kitchen.ok(&format!("use {lot} 5kg --for bread"));
    has(
        &kitchen.refused(1, &format!("trace {end}")),
        "no lot on hand has a code that ends in",
    );
    kitchen.ok(&format!("trace {lot}"));
    // Words that begin with a digit are no end of a code.
    has(
        &kitchen.refused(1, "trace \"6 buns\""),
        "no grain was used for `6 buns`",
    );
}

#[test]
fn several_samples_one_after_the_other_are_told_the_long_option() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    for several in [
        "14.2 114.5 37.2 g 14.0 110 36 g",
        "14.2 114.5 37.2 g 14.0 110 36",
        "14.2 114.5 37.2 14.0 110 36 g",
        "14.0 110 36 14.2 114.5 37.2 g",
        "0 100 24.6 0 100 24.7 g",
        "14.2g 114.5g 37.2g 14.0g 110g 36g",
    ] {
        let told = kitchen.refused(2, &format!("moisture {lot} {several}"));
        has(&told, "--weighing 12.0g,112.0g,35.4g --weighing");
        assert!(!told.contains("gg"), "nobody typed it: {told}");
    }
    let told = kitchen.refused(
        2,
        &format!("moisture {lot} 14.2 114.5 37.2 g 14.0 110 36 g"),
    );
    has(&told, "`g` stands between the weights");
    has(&told, "one sample, with the unit once at the end");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 14.2g,114.5g,37.2g --weighing 14.0g,110g,36g"
    ));
}
