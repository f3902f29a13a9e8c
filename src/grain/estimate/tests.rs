use super::*;
use crate::grain::by_cause::Part;
use crate::grain::moisture_test::{Method, MoistureTest, Sample};
use crate::grain::next_lot::{Published, next_lot};
use crate::grain::weighing::Weighing;
use crate::quantity::Milligrams;
use proptest::prelude::*;

mod shared_bias;

/// A test weighed here whose own scatter is `repeatable`.
fn weighed(value: f64, repeatable: f64) -> TestResult {
    let repeatable = Uncertain::known(value, repeatable);
    TestResult {
        unfinished: Unfinished::default(),
        samples: vec![clipped(value)],
        moisture: Precision::UNMILLED.with_bias(repeatable),
        repeatable,
        warnings: Vec::new(),
    }
}

/// A laboratory's figure.
fn laboratory(value: f64, standard: f64) -> TestResult {
    let moisture = Uncertain::known(value, standard);
    TestResult {
        unfinished: Unfinished::default(),
        samples: Vec::new(),
        moisture,
        repeatable: moisture,
        warnings: Vec::new(),
    }
}

/// Samples of 100 g on a balance that shows 0.1 g, from what is left of each in milligrams.
fn oven(left: &[i64]) -> TestResult {
    let samples = left
        .iter()
        .map(|left| Sample {
            first: Weighing::new(
                Milligrams::ZERO,
                Milligrams::new(100_000),
                vec![Milligrams::new(*left)],
            )
            .unwrap(),
            second: None,
        })
        .collect();
    MoistureTest {
        method: Method::Oven,
        readability: Milligrams::new(100),
        samples,
        open: Vec::new(),
        laboratory: None,
    }
    .evaluate(Form::Whole, Kind::Mashed)
    .unwrap()
}

fn lots() -> [TestResult; 4] {
    [0.770, 0.774, 0.778, 0.772].map(|value| weighed(value, 0.0015))
}

fn predicted(lots: &[TestResult]) -> ByCause {
    let repeatable: Vec<Uncertain> = lots.iter().map(|lot| lot.repeatable).collect();
    let next = next_lot(
        &repeatable,
        &[],
        &Published::of(&default_moisture(Form::Whole, Kind::Mashed)),
    );
    let lot = Uncertain {
        value: next.value,
        standard: next.between,
        freedom: next.freedom,
    };
    let mean = |cause: Cause, standard| Part {
        seen_in: cause.clone(),
        cause,
        standard,
        freedom: f64::INFINITY,
    };
    ByCause::one(lot, Cause::Lot(String::new()))
        .with(mean(Cause::Source(String::new()), next.mean_error))
        .with(mean(Cause::Overall, next.overall_error))
}

/// The same with the bias of one oven, as a known part.
fn predicted_here(lots: &[TestResult]) -> Uncertain {
    let oven = Precision::UNMILLED.between_laboratories_sd();
    let part = Part {
        cause: Cause::Oven,
        standard: oven,
        freedom: f64::INFINITY,
        seen_in: Cause::Oven,
    };
    predicted(lots).with(part).uncertain()
}

fn whole(tests: &[TestResult], earlier: &[TestResult]) -> Estimate {
    let earlier = Earlier {
        own: earlier,
        others: &[],
    };
    estimate(
        tests,
        earlier,
        Form::Whole,
        Kind::Mashed,
        &Within::default(),
    )
}

#[test]
fn without_evidence_the_default_stands_in_and_says_so() {
    let found = whole(&[], &[]);
    assert_eq!(found.from, Evidence::PublishedDefault);
    assert_eq!(found.moisture, Uncertain::known(0.78, 0.0375));
    let nothing = |form, kind| estimate(&[], Earlier::default(), form, kind, &Within::default());
    let steeped = nothing(Form::Whole, Kind::Steeped);
    assert_eq!(steeped.from, Evidence::NoPublishedComposition);
    assert!((steeped.moisture.standard - 0.05).abs() < 1e-12);
    assert_eq!(steeped.moisture.value, 0.78);
}

/// Fresh grain of 77–80 % (Głowacki et al. 2022), 75–80 % (Oliver 2011), 70–80 % (Bianco et al.
/// 2020) and one lot of 81.9 % (Hatungimana & Erickson 2019) lie in the default's range.
#[test]
fn the_default_covers_what_is_published() {
    let (low, high) = whole(&[], &[]).range();
    for published in [0.77, 0.80, 0.75, 0.71, 0.819] {
        assert!(low.get() < published && published < high.get());
    }
    assert!((low.get() - 0.7065).abs() < 1e-4 && (high.get() - 0.8535).abs() < 1e-4);
}

#[test]
fn a_guess_is_never_mixed_into_a_measured_value() {
    for test in [weighed(0.70, 0.03), laboratory(0.70, 0.03)] {
        let found = whole(std::slice::from_ref(&test), &[]);
        assert_eq!(found.moisture, test.moisture);
        assert_eq!(
            found.from,
            Evidence::Tests {
                count: 1,
                with_earlier_lots: None
            }
        );
    }
}

/// The bias of the oven cannot be seen from how lots differ, so it comes on top of what is predicted.
#[test]
fn every_earlier_lot_counts_from_the_first_on() {
    let lots = lots();
    let mut last = whole(&[], &[]).moisture.expanded();
    for count in 1..=lots.len() {
        let found = whole(&[], &lots[..count]);
        assert_eq!(found.from, Evidence::EarlierLots { count });
        assert_eq!(found.moisture, predicted_here(&lots[..count]));
        assert!(found.moisture.expanded() < last, "{count}");
        last = found.moisture.expanded();
    }
}

#[test]
fn lots_of_other_sources_say_a_little_until_the_grain_itself_is_tested() {
    let others = [lots().to_vec(), lots()[..1].to_vec()];
    let earlier = Earlier {
        own: &[],
        others: &others,
    };
    let of = |tests: &[TestResult]| {
        estimate(
            tests,
            earlier,
            Form::Whole,
            Kind::Mashed,
            &Within::default(),
        )
    };
    let found = of(&[]);
    assert_eq!(found.from, Evidence::OtherSources { count: 5 });
    assert!(found.moisture.expanded() < whole(&[], &[]).moisture.expanded());
    assert!((0.773..0.78).contains(&found.moisture.value));
    let test = weighed(0.76, 0.0011);
    assert_eq!(of(std::slice::from_ref(&test)).moisture, test.moisture);
    assert!(
        (found.after_one_more_test() / of(&[oven(&[23_000])]).moisture.expanded() - 1.0).abs()
            < 0.01
    );
}

#[test]
fn earlier_lots_that_laboratories_tested_have_no_oven_in_common() {
    let lots = [0.770, 0.774, 0.778].map(|value| laboratory(value, 0.005));
    assert_eq!(whole(&[], &lots).moisture, predicted(&lots).uncertain());
    let test = weighed(0.77, 0.001);
    let found = whole(std::slice::from_ref(&test), &lots).moisture;
    assert!(found.standard < Precision::UNMILLED.between_laboratories_sd());
}

/// Lots that really differ by some tenths of a point differ although every test had ± 1.05 points.
#[test]
fn shared_bias_does_not_hide_that_lots_differ() {
    let lots = [0.764, 0.770, 0.776, 0.773].map(|value| weighed(value, 0.0011));
    let values: Vec<Uncertain> = lots.iter().map(|lot| lot.moisture).collect();
    assert_eq!(pooling::paule_mandel(&values), 0.0);
    let repeatable: Vec<Uncertain> = lots.iter().map(|lot| lot.repeatable).collect();
    let seen = pooling::paule_mandel(&repeatable).sqrt();
    assert!(seen > 0.004, "{seen}");
}

/// Where a brewery's lots scatter the answer says so: wider than the default, which knows nothing of it.
#[test]
fn earlier_lots_that_scatter_widen_what_is_expected() {
    let scattered = [0.70, 0.78, 0.84].map(|value| weighed(value, 0.0011));
    let found = whole(&[], &scattered);
    assert_eq!(found.from, Evidence::EarlierLots { count: 3 });
    assert!(found.moisture.expanded() > whole(&[], &[]).moisture.expanded());
    let test = weighed(0.76, 0.0011);
    let found = whole(std::slice::from_ref(&test), &scattered);
    assert!((found.moisture.value - 0.76).abs() < 1e-4);
}

#[test]
fn tests_and_earlier_lots_combine_by_inverse_variance() {
    let test = weighed(0.76, 0.0011);
    let learned = predicted(&lots());
    let found = whole(std::slice::from_ref(&test), &lots());
    assert_eq!(
        found.from,
        Evidence::Tests {
            count: 1,
            with_earlier_lots: Some(4)
        }
    );
    assert!(found.moisture.standard < test.moisture.standard);
    assert!(found.moisture.standard > Precision::UNMILLED.between_laboratories_sd());
    assert!(test.moisture.value < found.moisture.value && found.moisture.value < learned.value);
}

/// Two tests of one sample or one test of both: the same grain, oven and balance.
#[test]
fn samples_count_the_same_in_one_test_or_in_two() {
    let together = whole(&[oven(&[23_000, 23_000])], &[]).moisture;
    let apart = whole(&[oven(&[23_000]), oven(&[23_000])], &[]).moisture;
    assert!((together.standard / apart.standard - 1.0).abs() < 1e-12);
    assert!((together.expanded() / apart.expanded() - 1.0).abs() < 1e-12);
    // Scattered ones too; what the balance adds to scatter is less than a hundredth.
    for left in [
        &[22_500, 23_500][..],
        &[21_000, 24_000],
        &[22_000, 23_000, 24_000],
    ] {
        let together = whole(&[oven(left)], &[]).moisture;
        let singles: Vec<TestResult> = left.iter().map(|one| oven(&[*one])).collect();
        let apart = whole(&singles, &[]).moisture;
        assert!((together.expanded() / apart.expanded() - 1.0).abs() < 0.01);
    }
}

#[test]
fn claims_of_no_uncertainty_are_left_out() {
    for standard in [0.0, f64::NAN, f64::INFINITY] {
        for test in [weighed(0.70, standard), laboratory(0.70, standard)] {
            let found = whole(&[test], &[]);
            assert_eq!(found.from, Evidence::PublishedDefault, "{standard}");
        }
    }
}

#[test]
fn ranges_stay_inside_what_grain_can_be() {
    let dried = estimate(
        &[],
        Earlier::default(),
        Form::Milled,
        Kind::Steeped,
        &Within::default(),
    );
    let (low, high) = dried.range();
    assert!(0.0 < low.get() && low < dried.wet_basis() && dried.wet_basis() < high);
    let mut wild = laboratory(0.76, 0.05);
    wild.moisture.freedom = 1.0;
    let (low, high) = whole(std::slice::from_ref(&wild), &[]).range();
    assert!(low.get() > 0.0 && low.get() < 0.13);
    // 100 % is no grain: the limit of 95 %, and of what was found at 96 % half way on to pure water.
    assert!((high.get() - 0.95).abs() < 1e-12);
    wild.moisture.value = 0.96;
    let (_, high) = whole(&[wild], &[]).range();
    assert!((high.get() - 0.98).abs() < 1e-12);
}

/// What a sample has lost so far says nothing of how dry the grain may be.
#[test]
fn a_sample_that_dries_on_widens_the_wet_end_alone() {
    let estimates = [
        whole(&[], &[]),
        whole(&[], &lots()),
        whole(&[weighed(0.77, 0.0011)], &[]),
        whole(&[weighed(0.77, 0.0011), laboratory(0.74, 0.005)], &lots()),
    ];
    for known in estimates {
        let (driest, wettest) = known.moisture.range();
        for so_far in [0.3, 0.7, 0.77, 0.79, 0.85, 0.93, 0.999] {
            let found = known.clone().beside(Unfinished {
                samples: 1,
                at_least: Some(clipped(so_far)),
            });
            let (low, high) = found.moisture.range();
            assert!((low - driest).abs() < 1e-12, "{so_far}: {low}");
            let reach = (2.0 * so_far - known.moisture.value).min(super::wettest(so_far));
            assert!(
                (high - reach.max(wettest)).abs() < 1e-12,
                "{so_far}: {high}"
            );
            assert_eq!(found.widened_by().is_some(), reach > wettest, "{so_far}");
            assert!((found.by_cause.uncertain().standard - found.moisture.standard).abs() < 1e-12);
            assert!(found.after_one_more_test() <= found.moisture.expanded() + 1e-12);
            assert!(found.after_one_more_test() >= known.after_one_more_test());
        }
    }
}

#[test]
fn tests_that_say_less_than_none_are_known_as_such() {
    assert!(!whole(&[], &[]).says_less_than_default);
    assert!(!whole(&[oven(&[22_800, 23_200])], &[]).says_less_than_default);
    assert!(whole(&[oven(&[36_000, 1_000])], &[]).says_less_than_default);
    assert!(whole(&[oven(&[36_000]), oven(&[1_000])], &[]).says_less_than_default);
}

/// One sample of 100 g on a 0.1 g balance: ± 1.96 · √(0.536² + 0.033²) points, by arithmetic.
#[test]
fn one_test_narrows_the_default_to_about_one_point() {
    let found = whole(&[], &[]).after_one_more_test();
    assert!((found - 0.01053).abs() < 5e-5, "{found}");
}

/// What is promised of one more test is what it then does, if it says what the first one said.
#[test]
fn one_more_test_does_what_was_promised() {
    for earlier in [&[][..], &lots()] {
        let promised = whole(&[oven(&[23_000])], earlier).after_one_more_test();
        let kept = whole(&[oven(&[23_000]), oven(&[23_000])], earlier).moisture;
        assert!((promised / kept.expanded() - 1.0).abs() < 1e-12);
    }
    // A laboratory has another oven, so a test here says more beside it.
    let elsewhere = whole(&[laboratory(0.77, 0.0054)], &[]);
    let narrower = elsewhere.after_one_more_test() / elsewhere.moisture.expanded();
    assert!((narrower - 0.5f64.sqrt()).abs() < 0.01, "{narrower}");
}

#[test]
fn evidence_has_a_stable_key_and_a_sentence() {
    let tests = |with_earlier_lots| Evidence::Tests {
        count: 2,
        with_earlier_lots,
    };
    for (evidence, key, words) in [
        (tests(None), "test", "2 moisture tests of this lot"),
        (tests(Some(4)), "test and earlier lots", "with 4 other lots"),
        (
            Evidence::EarlierLots { count: 3 },
            "earlier lots",
            "Paule & Mandel 1982",
        ),
        (
            Evidence::PublishedDefault,
            "published default",
            "Bianco et al. 2020",
        ),
        (
            Evidence::NoPublishedComposition,
            "no published composition",
            "steeped grain",
        ),
    ] {
        assert_eq!(evidence.as_key(), key);
        assert!(evidence.to_string().contains(words), "{evidence}");
    }
}

proptest! {
    #[test]
    fn a_further_test_never_widens_what_is_known(
        values in proptest::collection::vec((0.70f64..0.85, 0.001f64..0.01, any::<bool>()), 1..5),
    ) {
        let tests: Vec<TestResult> = values
            .iter()
            .map(|(value, sd, here)| if *here { weighed(*value, *sd) } else { laboratory(*value, *sd) })
            .collect();
        let found = whole(&tests, &[]);
        prop_assert!(found.after_one_more_test() <= found.moisture.expanded());
    }

    #[test]
    fn more_equal_tests_narrow_to_the_bias_of_the_oven_and_no_further(
        count in 1usize..8,
        standard in 0.001f64..0.05,
    ) {
        let some = whole(&vec![weighed(0.77, standard); count], &[]).moisture;
        let oven = Precision::UNMILLED.between_laboratories_sd();
        let expected = libm::hypot(standard / (count as f64).sqrt(), oven);
        prop_assert!((some.standard / expected - 1.0).abs() < 1e-12);
        prop_assert!((some.value - 0.77).abs() < 1e-12);
    }

    #[test]
    fn laboratories_average_out(count in 1usize..8, standard in 0.001f64..0.05) {
        let some = whole(&vec![laboratory(0.77, standard); count], &[]).moisture;
        prop_assert!((some.standard - standard / (count as f64).sqrt()).abs() < 1e-12);
    }
}
