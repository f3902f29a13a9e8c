//! Samples that go into the oven together and are weighed one by one, until their weight stays the same.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::{Value, json};

/// `$LOT` stands for the lot.
fn moisture(kitchen: &Kitchen, lot: &str, weighings: &str) -> Value {
    kitchen.json(&format!("moisture {lot} {weighings}"))
}

/// How many samples it has, and how many of them are drying.
fn samples(answer: &Value) -> (usize, u64) {
    let all = answer["samples"].as_array().unwrap().len();
    (all, answer["unfinished_samples"].as_u64().unwrap())
}

/// (64.5 − 27.9) ÷ 50.3 = 72.8 % and (63.9 − 27.5) ÷ 50.0 = 72.8 %: arithmetic.
#[test]
fn samples_opened_together_are_finished_one_by_one() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let opened = moisture(
        &kitchen,
        &lot,
        "--weighing 14.2g,64.5g --weighing 13.9g,63.9g",
    );
    assert_eq!(samples(&opened), (0, 2));
    kitchen.at("2026-11-20T13:00:00Z");
    let one = moisture(&kitchen, &lot, "14.2 64.5 27.9 27.9 g");
    assert_eq!(samples(&one), (1, 1), "{one}");
    assert_eq!(one["from"], "test");
    kitchen.at("2026-11-20T13:30:00Z");
    let both = moisture(&kitchen, &lot, "--weighing 13.9g,63.9g,27.5g,27.5g");
    assert_eq!(samples(&both), (2, 0), "{both}");
    for question in ["shelf", "today"] {
        let said = kitchen.ok(question);
        assert!(
            !said.contains("still drying") && !said.contains("weigh 1"),
            "{said}"
        );
    }
    has(&kitchen.ok(&format!("moisture {lot}")), "1 moisture test");
}

#[test]
fn the_second_of_two_is_finished_alone() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let weighed = "--weighing 14.2g,64.5g,27.9g,27.9g --weighing 13.9g,63.9g,30g,27.9g";
    assert_eq!(samples(&moisture(&kitchen, &lot, weighed)), (2, 1));
    kitchen.at("2026-11-20T10:30:00Z");
    let done = moisture(&kitchen, &lot, "--weighing 13.9g,63.9g,27.9g");
    assert_eq!(samples(&done), (2, 0), "{done}");
}

/// Each pan has its own time in the oven: the second is weighed a minute after the first.
#[test]
fn pans_are_weighed_in_turn() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    moisture(&kitchen, &lot, "14.2 64.5 g");
    moisture(&kitchen, &lot, "13.9 63.9 g");
    for (time, [first, second]) in [("13:00", ["28.1", "27.7"]), ("13:20", ["27.9", "27.5"])] {
        kitchen.at(&format!("2026-11-20T{time}:00Z"));
        let one = moisture(&kitchen, &lot, &format!("14.2 64.5 {first} g"));
        assert_eq!(one["unfinished_samples"], 2, "{one}");
        kitchen.at(&format!("2026-11-20T{}1:00Z", &time[..4]));
        moisture(&kitchen, &lot, &format!("13.9 63.9 {second} g"));
    }
    kitchen.at("2026-11-20T13:29:00Z");
    let said = kitchen.refused(1, &format!("moisture {lot} 14.2 64.5 27.9 g"));
    has(&said, "was weighed 9 min ago");
    kitchen.at("2026-11-20T13:31:00Z");
    // Of two entries, in one command.
    let both = moisture(
        &kitchen,
        &lot,
        "--weighing 14.2g,64.5g,27.9g --weighing 13.9g,63.9g,27.5g",
    );
    assert_eq!(samples(&both), (2, 0), "{both}");
}

/// (64.5 − 27.8) ÷ 50.3 = 73.0 %, at least, until two weights agree: AOAC 935.29 takes 0.1 % of the sample.
#[test]
fn an_opened_sample_is_no_test_before_its_weight_stays_the_same() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let untested = moisture(&kitchen, &lot, "14.2 64.5 g");
    for (time, dried, least) in [("12", "33g", 31.5), ("13", "27.8g", 36.7)] {
        kitchen.at(&format!("2026-11-20T{time}:00:00Z"));
        let found = moisture(&kitchen, &lot, &format!("--weighing 14.2g,64.5g,{dried}"));
        assert_eq!(samples(&found), (1, 1), "{found}");
        assert_eq!(found["wet_basis"], untested["wet_basis"]);
        assert!((found["at_least"].as_f64().unwrap() - least / 50.3).abs() < 1e-9);
        assert!(!found.to_string().contains("points apart"), "{found}");
    }
    kitchen.at("2026-11-20T14:00:00Z");
    let dry = moisture(&kitchen, &lot, "14.2 64.5 27.8 g");
    assert_eq!(samples(&dry), (1, 0));
    assert!((dry["wet_basis"].as_f64().unwrap() - 36.7 / 50.3).abs() < 1e-9);
}

#[test]
fn a_finished_sample_that_is_typed_again_is_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    moisture(&kitchen, &lot, "14.2 64.5 33 27.8 27.8 g");
    kitchen.at("2026-11-23T10:10:00Z");
    let told = kitchen.told(&format!("moisture {lot} 14.2 64.5 27.8 g"));
    has(&told, "have a sample of the same pan and wet weight");
    let again = kitchen.entries();
    kitchen.ok(&format!("strike {again} --reason \"the same sample\""));
    assert_eq!(samples(&kitchen.json(&format!("moisture {lot}"))), (1, 0));
}

#[test]
fn weights_that_are_in_the_book_already_are_refused() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    moisture(&kitchen, &lot, "14.2 64.5 g");
    let said = kitchen.refused(1, &format!("moisture {lot} 14.2 64.5 g"));
    has(&said, "has these weights already");
    // Another pan of the same weights, beside the first.
    let both = moisture(
        &kitchen,
        &lot,
        "--weighing 14.2g,64.5g --weighing 14.2g,64.5g",
    );
    assert_eq!(samples(&both), (0, 2), "{both}");
}

/// Three samples of 77 % beside one that has lost 84 % already: (114.2 − 30.2) ÷ 100.
#[test]
fn the_sample_that_widens_the_range_is_named() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    moisture(&kitchen, &lot, "14.2 114.2 40 35 30.2 g");
    let drying = kitchen.entries();
    for pan in ["13.9", "13.8", "13.7"] {
        let said = kitchen.ok(&format!(
            "moisture {lot} {pan} 114.{} 37 g --new-dish",
            &pan[3..]
        ));
        assert!(
            !said.contains("One more") && !said.contains("enough"),
            "{said}"
        );
        let said = one_line(&said);
        has(
            &said,
            &format!("A sample of entry {drying} is still drying"),
        );
        has(&said, &format!("or strike entry {drying}"));
    }
    kitchen.at("2026-11-20T10:30:00Z");
    let wide = kitchen.json(&format!("moisture {lot}"));
    assert!(wide["warnings"].to_string().contains("84.0 %"), "{wide}");
    kitchen.ok(&format!("strike {drying} --reason \"burnt\""));
    let told = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(told["warnings"], json!([]));
    assert!(told["expanded_95"].as_f64() < Some(0.02), "{told}");
}

/// Where one more test narrows the range by more than a fifth, the samples there are are not enough.
#[test]
fn enough_and_one_more_do_not_contradict_each_other() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    has(
        &kitchen.ok(&format!("moisture {lot}")),
        "1 sample of this lot is enough",
    );
    let laboratory = kitchen.ok(&format!("moisture {lot} --lab 76%"));
    has(&laboratory, "would narrow ± 1.0 to ± 0.7");
    assert!(!laboratory.contains("enough"), "{laboratory}");
    let weighed = kitchen.lot("6kg");
    let said = kitchen.ok(&format!("moisture {weighed} 14.2 114.2 37 g"));
    has(&said, "1 sample of this lot is enough");
}

/// What a test leaves uncertain hangs on what else was tested, so the log says what was measured and `moisture` the range.
#[test]
fn the_log_says_what_was_measured_and_no_range_of_its_own() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 39.1 g"));
    let other = kitchen.lot("6kg");
    kitchen.ok(&format!(
        "moisture {other} --weighing 14.2g,114.2g,37g --weighing 13.9g,113.9g,40g"
    ));
    for question in [format!("log {lot}"), format!("trace {lot}")] {
        let said = kitchen.ok(&question);
        let test = said.lines().find(|line| line.contains("oven: ")).unwrap();
        has(test, "oven: 75.1 %");
        assert!(!test.contains('±'), "{test}");
    }
}

#[test]
fn dried_grain_is_to_be_measured_by_a_moment_and_in_time() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.at("2026-11-20T15:00:00Z");
    let treated = |minutes: u32| {
        let done = format!("--wet-in 2kg --wet-out 480g --minutes {minutes} --temp 65C");
        kitchen.told(&format!("treat {lot} --step dry {done}"))
    };
    let told = treated(60);
    has(&told, "Measure it by Fri 20 Nov ");
    has(&told, "--method microwave --weighing");
    has(&told, "an oven takes hours");
    let past = treated(240);
    assert!(!past.contains("Measure it"), "{past}");
}

/// A part was taken off while the sample dried: its dried weight counts for the part and for what is left.
#[test]
fn a_sample_is_of_the_lot_that_it_was_opened_of() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} --weighing 0g,100g"));
    let part = kitchen.json(&format!("move {lot} --wet 2kg --to freezer"));
    let part = part["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!("moisture {part} --weighing 0g,100g,23g,23g"));
    for of in [&lot, &part] {
        let answer = kitchen.json(&format!("moisture {of}"));
        assert_eq!(answer["from"], "test", "{answer}");
        assert_eq!(answer["unfinished_samples"], 0, "{answer}");
    }
}

/// Two samples of one tub 3 points apart, as one test or as two: the same range, the next tub of that brewery too.
#[test]
fn a_tub_is_as_uneven_in_two_tests_as_in_one() {
    let (one, other) = ("--weighing 0g,100g,22g", "--weighing 0g,100g,25g");
    let ranges = |tests: &[String]| {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.lot("6kg");
        kitchen.at("2026-11-20T13:00:00Z");
        for test in tests {
            kitchen.ok(&format!("moisture {lot} {test} --new-dish"));
        }
        let next = kitchen.lot("5kg");
        [lot, next].map(|lot| {
            let range = &kitchen.json(&format!("moisture {lot}"))["expanded_95"];
            range.as_f64().unwrap()
        })
    };
    let together = ranges(&[format!("{one} {other}")]);
    let apart = ranges(&[one.to_owned(), other.to_owned()]);
    for (together, apart) in together.iter().zip(apart) {
        assert!(
            (together / apart - 1.0).abs() < 0.01,
            "{together} and {apart}"
        );
    }
}

/// Grain of two tested tubs is tested grain, after it was pressed too.
#[test]
fn what_was_joined_of_tested_lots_is_tested() {
    let mut kitchen = Kitchen::new();
    let lots = [kitchen.lot("3kg"), kitchen.lot("4kg")];
    kitchen.at("2026-11-20T13:00:00Z");
    for lot in &lots {
        kitchen.ok(&format!("moisture {lot} --weighing 0g,100g,23g"));
    }
    let joined = kitchen.json(&format!("join {} {}", lots[0], lots[1]));
    let joined = joined["lot"].as_str().unwrap();
    let pressed = kitchen.json(&format!("treat {joined} --step press --wet-out 5kg"));
    let pressed = pressed["lot"].as_str().unwrap();
    let said = kitchen.ok(&format!("moisture {pressed}"));
    let said = one_line(&said);
    has(&said, "the grain before it was tested");
}

/// (114.2 − 38.2) ÷ 100 = 76 % so far: arithmetic.
#[test]
fn a_sample_that_is_drying_is_named_wherever_the_estimate_is() {
    let kitchen = Kitchen::with_less_grain(LOAF);
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 45 41 38.2 g"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 4 --lot {lot}"
    ));
    let batch = format!("batch \"small loaf\" --pieces 4 --lot {lot}");
    let sum = format!("hold-back {lot} --share 5% --flour 1kg --hydration 68%");
    let known = [
        kitchen.on_shelf(&lot)["moisture"].clone(),
        kitchen.json(&sum)["moisture"].clone(),
        kitchen.json(&batch)["hold_back"]["moisture"].clone(),
        kitchen.json("sheet B-1S")["hold_back"]["moisture"].clone(),
    ];
    for moisture in known {
        assert_eq!(
            (&moisture["unfinished_samples"], &moisture["at_least"]),
            (&json!(1), &json!(0.76)),
            "{moisture}"
        );
    }
    for words in [batch.as_str(), "sheet B-1S"] {
        let said = one_line(&kitchen.ok(words));
        has(
            &said,
            &format!("{lot}: 1 sample still drying, at least 76 %"),
        );
    }
}

#[test]
fn a_sample_that_dries_is_not_enough_and_says_when_it_is_dry() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let weighed = |kitchen: &Kitchen, weights: &str| -> (String, Value) {
        let said = kitchen.ok(&format!("moisture {lot} {weights} g"));
        let found = kitchen.json(&format!("moisture {lot}"));
        (one_line(&said), found["samples_enough"].clone())
    };
    for weights in ["15.0 115.3", "15.0 115.3 38.6"] {
        let (said, enough) = weighed(&kitchen, weights);
        assert!(!said.contains("Enough"), "{said}");
        assert!(enough.is_null(), "{enough}");
    }
    let said = one_line(&kitchen.ok(&format!("moisture {lot}")));
    has(
        &said,
        "Weigh it again after about an hour more: when it lost no more than 0.1 g (0.1 %, AOAC 935.29, malt), it is dry",
    );
    kitchen.at("2026-11-20T11:00:00Z");
    let (said, enough) = weighed(&kitchen, "15.0 115.3 38.5");
    has(
        &said,
        "Enough 1 sample of this lot is enough: a second is not needed",
    );
    assert_eq!(enough, 1);
}

/// A sample at 88 % that still dries: from the dry end of the default, 70.7 %, and no further than grain can be.
#[test]
fn a_sample_that_dries_on_says_nothing_of_the_dry_end() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let ends = || {
        let found = kitchen.json(&format!("moisture {lot}"));
        let number = |key: &str| found[key].as_f64().unwrap();
        let (value, half) = (number("wet_basis"), number("expanded_95"));
        (value - half, value + half)
    };
    let (driest, wettest) = ends();
    kitchen.ok(&format!("moisture {lot} --weighing 0g,100g,20g,12g"));
    let (dry, wet) = ends();
    assert!((dry - driest).abs() < 1e-9, "{dry} and {driest}");
    assert!(wet > wettest && wet < 0.951, "{wet}");
    let said = kitchen.ok(&format!(
        "hold-back {lot} --wet 300g --flour 1kg --hydration 70%"
    ));
    has(&one_line(&said), "almost surely 70.7 % to 95.0 %");
    // A test knows the dry end better, and the sample leaves it that.
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 37.2 g --new-dish"));
    let (dry, _) = ends();
    assert!(dry > 0.755, "{dry}");
}

/// A test that is under way is finished before another one is begun.
#[test]
fn a_sample_in_the_oven_is_the_test_that_narrows() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let shown = || one_line(&kitchen.ok(&format!("moisture {lot}")));
    has(
        &shown(),
        "Test one sample of 100 g would narrow ± 7.3 to ± 1.1 points",
    );
    kitchen.ok(&format!("moisture {lot} --weighing 12g,112g"));
    let drying = shown();
    has(
        &drying,
        "Finish the sample that is drying: one of 100 g would narrow ± 7.3 to ± 1.1 points",
    );
    assert!(!drying.contains("One more"), "{drying}");
    kitchen.ok(&format!("moisture {lot} --weighing 14g,115g"));
    has(&shown(), "Finish the samples that are drying: one of 100 g");
}
