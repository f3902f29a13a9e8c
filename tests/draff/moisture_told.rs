//! What `moisture` says of its tests: whether they are enough, agree, or tell nothing, and which lot to ask for.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};

#[test]
fn json_and_words_agree_when_samples_are_enough() {
    let kitchen = Kitchen::new();
    let agree = |words: &str| {
        let found: Value = kitchen.json(words);
        let lot = found["lot"].as_str().unwrap();
        let said = one_line(&kitchen.ok(&format!("moisture {lot}")));
        let enough = &found["samples_enough"];
        assert_eq!(enough.is_u64(), said.contains("enough"), "{found} {said}");
        enough.clone()
    };
    // One more narrows a laboratory's figure, and no test narrows what a drying sample widens.
    let lot = kitchen.lot("6kg");
    assert_eq!(agree(&format!("moisture {lot} --lab 76%")), json!(null));
    let lot = kitchen.lot("6kg");
    assert_eq!(agree(&format!("moisture {lot} 14.2 114.2 37 g")), json!(1));
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 40 35 30.2 g"));
    assert_eq!(
        agree(&format!("moisture {lot} 13.9 113.9 37 g")),
        json!(null)
    );
}

#[test]
fn a_pan_with_next_to_nothing_in_it_is_no_test() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let before = kitchen.entries();
    for weighed in ["50.0g,50.1g,50.05g", "50.0g,50.1g"] {
        let ran = kitchen.run(&format!("moisture {lot} --weighing {weighed}"));
        assert_ne!(ran.code, 0, "{}", ran.out);
        has(&ran.told(), "0.1 g of grain in the pan");
        has(&ran.told(), "which tells nothing");
        has(&ran.told(), "weigh about 100 g");
    }
    assert_eq!(kitchen.entries(), before);
    // A fine balance tells something of little grain.
    kitchen.ok(&format!(
        "moisture {lot} --weighing 50.00g,51.00g,50.23g --readability 0.01g"
    ));
}
