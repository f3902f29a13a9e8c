use super::*;
use crate::quantity::DryFraction;

mod uncertainty;

fn grams(value: f64) -> Milligrams {
    Milligrams::new((value * 1000.0).round() as i64)
}

fn weighing(pan: f64, wet: f64, dry: &[f64]) -> Weighing {
    let dry = dry.iter().map(|reading| grams(*reading)).collect();
    Weighing::new(grams(pan), grams(wet), dry).unwrap()
}

fn one_stage(pan: f64, wet: f64, dry: &[f64]) -> Sample {
    Sample {
        first: weighing(pan, wet, dry),
        second: None,
    }
}

fn test_of(method: Method, samples: Vec<Sample>) -> MoistureTest {
    MoistureTest {
        method,
        readability: grams(0.1),
        samples,
        open: Vec::new(),
        laboratory: None,
    }
}

fn whole(test: &MoistureTest) -> TestResult {
    test.evaluate(Form::Whole, Kind::Mashed).unwrap()
}

/// Container 5 g, with wet sample 55 g, with dried sample 45 g: 20 % (University of Alaska Fairbanks
/// Cooperative Extension, FGV-00248, 2020).
#[test]
fn container_is_taken_off() {
    let found = one_stage(5.0, 55.0, &[45.0]).moisture();
    assert!((found.get() - 0.20).abs() < 1e-12);
}

/// 90 g dried to 70 g: 22 % as printed; 100 g dried to 80 g: 20 % (Jennings 2022, air-fryer method).
#[test]
fn tared_samples_need_no_pan() {
    let found = one_stage(0.0, 90.0, &[70.0]).moisture();
    assert!((found.get() - 0.22).abs() < 0.003);
    let found = one_stage(0.0, 100.0, &[80.0]).moisture();
    assert!((found.get() - 0.20).abs() < 1e-12);
}

/// 100 g wet dried to 35 g: 35 % dry matter (Jacobsen, microwave method).
#[test]
fn dry_matter_is_what_is_left() {
    let left = one_stage(0.0, 100.0, &[35.0]).moisture().dry_fraction();
    assert!((left.get() - DryFraction::new(0.35).unwrap().get()).abs() < 1e-12);
}

/// Equation of the Clemson University feed laboratory, `(c−a)/(b−a) × (z−x)/(y−x)`, with invented
/// readings a 10, b 210, c 60; x 50, y 60, z 59.3 g: 23.25 % dry matter.
#[test]
fn two_stages_multiply() {
    let sample = Sample {
        first: weighing(10.0, 210.0, &[60.0]),
        second: Some(weighing(50.0, 60.0, &[59.3])),
    };
    assert!((sample.moisture().get() - 0.7675).abs() < 1e-12);
}

/// Milled dried grain at 6.0 % and 6.2 % lies beyond r = 0.10 % (Casta 1997, EBC trial); unmilled
/// grain lies within its r = 0.3 %.
#[test]
fn duplicates_beyond_the_published_repeatability_are_flagged() {
    let samples = vec![
        one_stage(0.0, 100.0, &[94.0]),
        one_stage(0.0, 100.0, &[93.8]),
    ];
    let test = test_of(Method::Oven, samples);
    let apart = |form| {
        let warnings = test.evaluate(form, Kind::Mashed).unwrap().warnings;
        warnings
            .iter()
            .any(|warning| matches!(warning, Warning::DuplicatesApart { .. }))
    };
    assert!(apart(Form::Milled));
    assert!(!apart(Form::Dried));
    let warning = &test.evaluate(Form::Milled, Kind::Mashed).unwrap().warnings[0];
    let sentence = warning.to_string();
    assert!(sentence.contains("0.2 % apart"), "{sentence}");
    assert!(sentence.contains("within 0.1 %"), "{sentence}");
    assert!(sentence.contains("Casta 1997"), "{sentence}");
}

#[test]
fn duplicates_exactly_at_the_limit_pass() {
    let samples = vec![
        one_stage(0.0, 100.0, &[22.0]),
        one_stage(0.0, 100.0, &[22.3]),
    ];
    assert_eq!(whole(&test_of(Method::Oven, samples)).warnings, []);
}

/// End points: 0.1 % of the sample in an oven (AOAC 935.29), 1 g of 100 g in a microwave
/// (Saskatchewan Agriculture), the same by judgement in an air fryer.
#[test]
fn drying_that_has_not_ended_is_flagged() {
    let unfinished = |method, last| {
        let samples = vec![one_stage(50.0, 150.0, &[75.0, last])];
        whole(&test_of(method, samples)).warnings
    };
    assert_eq!(unfinished(Method::Oven, 74.9), []);
    let opened = vec![one_stage(50.0, 150.0, &[150.0, 75.0])];
    assert!(matches!(
        whole(&test_of(Method::Oven, opened)).warnings[..],
        [Warning::OneDriedWeight { sample: 1, .. }]
    ));
    assert!(matches!(
        unfinished(Method::Oven, 74.8)[..],
        [Warning::NotYetConstant { sample: 1, .. }]
    ));
    for method in [Method::Microwave, Method::AirFryer] {
        assert_eq!(unfinished(method, 74.0), []);
        assert!(matches!(
            unfinished(method, 73.9)[..],
            [Warning::NotYetConstant { .. }]
        ));
    }
}

/// The first of two stages is meant to leave 3 to 15 % water in, so only the second has an end.
#[test]
fn only_the_last_stage_must_be_constant() {
    let samples = vec![Sample {
        first: weighing(0.0, 100.0, &[30.0, 24.0]),
        second: Some(weighing(0.0, 20.0, &[19.0, 19.0])),
    }];
    assert_eq!(whole(&test_of(Method::Oven, samples)).warnings, []);
}

#[test]
fn weight_gained_while_drying_is_flagged() {
    for dried in [&[73.4, 73.5][..], &[75.0, 75.1, 73.4, 73.4]] {
        let test = test_of(Method::Oven, vec![one_stage(50.0, 150.0, dried)]);
        assert!(!test.is_unfinished());
        assert_eq!(
            whole(&test).warnings,
            [Warning::GainedWeight {
                sample: 1,
                gained: 0.1
            }]
        );
    }
}

/// At its lightest (150 − 73) ÷ 100 = 77 %: arithmetic. The same end points as for what is lost.
#[test]
fn a_sample_that_gained_weight_is_still_drying_and_has_at_least_what_it_lost_at_its_lightest() {
    for (method, dried) in [
        (Method::Oven, &[75.0, 73.0, 73.2][..]),
        (Method::Oven, &[73.0, 78.0]),
        (Method::Oven, &[73.0, 78.0, 78.0]),
        (Method::Oven, &[73.0, 78.0, 75.0]),
        (Method::Microwave, &[73.0, 74.1]),
        (Method::AirFryer, &[73.0, 74.1]),
    ] {
        let test = test_of(method, vec![one_stage(50.0, 150.0, dried)]);
        assert!(test.is_unfinished(), "{dried:?}");
        let found = whole(&test);
        assert!(!found.is_usable(), "{dried:?}");
        assert!((found.unfinished.at_least.unwrap().get() - 0.77).abs() < 1e-12);
        assert!((found.samples[0].get() - 0.77).abs() < 1e-12);
        assert!(
            matches!(found.warnings[..], [Warning::Heavier { sample: 1, .. }]),
            "{dried:?}: {:?}",
            found.warnings
        );
    }
    for (method, dried) in [
        (Method::Oven, &[73.0, 78.0, 73.0, 73.0][..]),
        (Method::Microwave, &[73.0, 74.0]),
    ] {
        let test = test_of(method, vec![one_stage(50.0, 150.0, dried)]);
        assert!(!test.is_unfinished(), "{dried:?}");
    }
    let second = Sample {
        first: weighing(0.0, 100.0, &[30.0]),
        second: Some(weighing(0.0, 20.0, &[19.0, 19.5])),
    };
    let found = whole(&test_of(Method::Oven, vec![second]));
    assert!((found.unfinished.at_least.unwrap().get() - 0.715).abs() < 1e-12);
}

#[test]
fn moisture_unusual_for_the_form_is_flagged() {
    let warned = |left: f64, form, kind| {
        let test = test_of(Method::Oven, vec![one_stage(0.0, 100.0, &[left])]);
        test.evaluate(form, kind).unwrap().warnings
    };
    assert_eq!(warned(22.0, Form::Whole, Kind::Mashed), []);
    assert_eq!(warned(35.0, Form::Pressed, Kind::Mashed), []);
    assert_eq!(warned(92.0, Form::Milled, Kind::Mashed), []);
    assert_eq!(warned(92.0, Form::Dried, Kind::Steeped), []);
    for (left, form) in [
        (40.0, Form::Whole),
        (10.0, Form::Blended),
        (22.0, Form::Pressed),
        (84.0, Form::Dried),
    ] {
        assert!(
            matches!(
                warned(left, form, Kind::Mashed)[..],
                [Warning::ImplausibleForForm { .. }]
            ),
            "{form}"
        );
    }
    let steeped = warned(40.0, Form::Whole, Kind::Steeped);
    assert_eq!(steeped, [Warning::NothingPublished]);
    let sentence = warned(40.0, Form::Whole, Kind::Mashed)[0].to_string();
    assert!(sentence.contains("60 %") && sentence.contains("70 % to 85 %"));
}

#[test]
fn a_laboratory_is_taken_at_its_word() {
    let laboratory = |moisture, standard_uncertainty| MoistureTest {
        method: Method::Lab,
        readability: grams(0.1),
        samples: Vec::new(),
        open: Vec::new(),
        laboratory: Some(Laboratory {
            wet_basis: WetBasis::new(moisture).unwrap(),
            standard_uncertainty,
        }),
    };
    let found = whole(&laboratory(0.764, 0.006));
    assert_eq!(found.moisture, Uncertain::known(0.764, 0.006));
    assert_eq!(found.repeatable, found.moisture);
    assert!(!found.is_weighed());
    assert_eq!(found.samples, []);
    for (moisture, sd) in [
        (0.764, 0.0),
        (0.764, -0.01),
        (0.764, f64::NAN),
        (0.764, 0.3),
        (0.0, 0.006),
        (1.0, 0.006),
    ] {
        let refused = laboratory(moisture, sd).evaluate(Form::Whole, Kind::Mashed);
        assert!(refused.is_err(), "{moisture} {sd}");
    }
}

#[test]
fn a_test_is_either_weighed_or_from_a_laboratory() {
    let mut test = test_of(Method::Oven, Vec::new());
    assert!(test.evaluate(Form::Whole, Kind::Mashed).is_err());
    test.samples = vec![one_stage(50.0, 150.0, &[73.4])];
    assert!(test.evaluate(Form::Whole, Kind::Mashed).is_ok());
    test.readability = Milligrams::ZERO;
    assert!(test.evaluate(Form::Whole, Kind::Mashed).is_err());
    test.readability = grams(0.1);
    test.laboratory = Some(Laboratory {
        wet_basis: WetBasis::new(0.764).unwrap(),
        standard_uncertainty: 0.006,
    });
    assert!(test.evaluate(Form::Whole, Kind::Mashed).is_err());
}

#[test]
fn methods_are_read_by_their_words() {
    for method in Method::ALL {
        assert_eq!(method.as_str().parse::<Method>().unwrap(), method);
    }
    let problem = "sun".parse::<Method>().unwrap_err();
    assert_eq!(
        problem.to_string(),
        "method is `sun`: allowed are oven, microwave, air-fryer, lab"
    );
}
