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
        agree(&format!("moisture {lot} 13.9 113.9 37 g --new-dish")),
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

/// 64 % and 99 %, in one test or in two: a typing error that no range covers.
#[test]
fn samples_that_tell_nothing_are_named_with_what_to_type() {
    let (right, wrong) = ("--weighing 0g,100g,36g", "--weighing 0g,100g,1g");
    for tests in [
        vec![format!("{right} {wrong}")],
        vec![right.to_owned(), wrong.to_owned()],
    ] {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.lot("10kg");
        let first = kitchen.entries() + 1;
        for test in &tests {
            kitchen.ok(&format!("moisture {lot} {test} --new-dish"));
        }
        kitchen.at("2026-11-20T10:30:00Z");
        let last = kitchen.entries();
        let far = format!(
            "two samples lie 35.0 points apart, 64.0 % in entry {first} and 99.0 % in entry {last}"
        );
        let to_do = format!("weigh a third sample: `draff moisture {lot} PAN WET DRY g`");
        let correct = format!("`draff correct {last} --weighing PAN,WET,DRY --reason TEXT`");
        let found = kitchen.ok(&format!("moisture {lot}"));
        assert!(
            !found.contains("One more") && !found.contains("Enough"),
            "{found}"
        );
        for said in [
            found.clone(),
            kitchen.ok("shelf"),
            kitchen.ok(&format!(
                "hold-back {lot} --wet 300g --flour 1kg --hydration 70%"
            )),
        ] {
            let said = one_line(&said);
            for words in [&far, &to_do, &correct] {
                has(&said, words);
            }
            assert!(
                !said.contains("100 %") && !said.contains("100.0 %"),
                "{said}"
            );
        }
        has(&one_line(&found), "to 95 %) of ALD");
        // Put right, nothing is left of it.
        let samples = match tests.len() {
            1 => "--weighing 0g,100g,36g --weighing 0g,100g,36g",
            _ => "--weighing 0g,100g,36g",
        };
        kitchen.ok(&format!(
            "correct {last} {samples} --reason \"a digit lost\""
        ));
        assert!(!kitchen.ok("shelf").contains("points apart"));
    }
}

/// Joined twice: the lot that holds its grain now is named, and there is no range of nothing.
#[test]
fn the_moisture_of_grain_that_was_joined_away_leads_to_its_lot() {
    let mut kitchen = Kitchen::new();
    let lots = ["4kg", "5kg", "6kg"].map(|wet| kitchen.lot(wet));
    kitchen.ok(&format!("moisture {} 14.2 114.2 37.2 g", lots[0]));
    kitchen.at("2026-11-20T11:00:00Z");
    let joined = |one: &str, other: &str| {
        let made = kitchen.json(&format!("join {one} {other}"));
        made["lot"].as_str().unwrap().to_owned()
    };
    let between = joined(&lots[0], &lots[1]);
    let last = joined(&between, &lots[2]);
    for lot in [&lots[0], &lots[1], &between] {
        for why in ["", " --why"] {
            let said = kitchen.ok(&format!("moisture {lot}{why}"));
            let to_ask = format!(
                "Nothing is left of {lot}: it was joined into {last}. Ask for that lot: `draff moisture {last}{why}`"
            );
            has(&one_line(&said), &to_ask);
            for nonsense in ["0 g left", "19 times in 20", "Worth", "One more", "Enough"] {
                assert!(!said.contains(nonsense), "{said}");
            }
        }
    }
    let said = kitchen.ok(&format!("moisture {}", lots[0]));
    has(&said, "1 sample: 77.00 %");
    let said = kitchen.ok(&format!("moisture {last} --why"));
    has(&one_line(&said), "in the 15 kg left");
}

#[test]
fn several_tests_of_a_lot_say_whether_they_agree_and_that_all_count() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let test =
        |weights: &str| one_line(&kitchen.ok(&format!("moisture {lot} --weighing {weights}")));
    let one = test("14.2g,114.5g,37.2g");
    assert!(!one.contains("count"), "{one}");
    has(
        &test("13.8g,114.1g,37.0g"),
        "2 moisture tests of this lot; the tests agree, and both count",
    );
    let apart = test("13.9g,114.1g,34.5g");
    has(&apart, "Both count, and the range is wider for it.");
    has(
        &apart,
        "3 moisture tests of this lot; the tests differ, and all count",
    );
}

#[test]
fn the_doubt_of_the_oven_and_the_use_of_a_test_are_said_plainly() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 14.2g,114.5g,37.2g --weighing 13.8g,114.1g,37.0g"
    ));
    let why = one_line(&kitchen.ok(&format!("moisture {lot} --why")));
    has(
        &why,
        "the oven, which shifts all samples alike, so more of them do not help: ",
    );
    has(&why, "no bake is planned, so a test helps no dough now");
}
