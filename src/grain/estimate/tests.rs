use super::*;
use proptest::prelude::*;

const LOTS: [Uncertain; 4] = [
    Uncertain::known(0.770, 0.004),
    Uncertain::known(0.774, 0.004),
    Uncertain::known(0.778, 0.004),
    Uncertain::known(0.772, 0.004),
];

fn whole(tests: &[Uncertain], earlier: &[Uncertain]) -> Estimate {
    estimate(tests, earlier, Form::Whole, Kind::Mashed)
}

#[test]
fn without_evidence_the_default_stands_in_and_says_so() {
    let found = whole(&[], &[]);
    assert_eq!(found.from, Evidence::PublishedDefault);
    assert_eq!(found.moisture, Uncertain::known(0.78, 0.0375));
    let steeped = estimate(&[], &[], Form::Whole, Kind::Steeped);
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
    let test = Uncertain::known(0.70, 0.03);
    let found = whole(&[test], &[]);
    assert_eq!(found.moisture, test);
    assert_eq!(
        found.from,
        Evidence::Tests {
            count: 1,
            with_earlier_lots: None
        }
    );
}

#[test]
fn earlier_lots_count_from_three_on() {
    assert_eq!(whole(&[], &LOTS[..2]).from, Evidence::PublishedDefault);
    let found = whole(&[], &LOTS);
    assert_eq!(found.from, Evidence::EarlierLots { count: 4 });
    assert_eq!(found.moisture, prediction(&LOTS).unwrap());
}

/// With three lots the t factor is 12.7, so lots must agree closely to beat the default.
#[test]
fn earlier_lots_wider_than_the_default_are_left_out() {
    let scattered = [0.70, 0.78, 0.84].map(|value| Uncertain::known(value, 0.004));
    assert_eq!(whole(&[], &scattered).from, Evidence::PublishedDefault);
    let test = Uncertain::known(0.76, 0.005);
    let found = whole(&[test], &scattered);
    assert_eq!(found.moisture, test);
}

#[test]
fn tests_and_earlier_lots_combine_by_inverse_variance() {
    let test = Uncertain::known(0.76, 0.0054);
    let learned = prediction(&LOTS).unwrap();
    let found = whole(&[test], &LOTS);
    assert_eq!(
        found.from,
        Evidence::Tests {
            count: 1,
            with_earlier_lots: Some(4)
        }
    );
    assert!(found.moisture.standard < test.standard.min(learned.standard));
    assert!(test.value < found.moisture.value && found.moisture.value < learned.value);
}

#[test]
fn claims_of_no_uncertainty_are_left_out() {
    for standard in [0.0, f64::NAN, f64::INFINITY] {
        let found = whole(&[Uncertain::known(0.70, standard)], &[]);
        assert_eq!(found.from, Evidence::PublishedDefault, "{standard}");
    }
}

#[test]
fn ranges_stay_inside_what_grain_can_be() {
    let dried = estimate(&[], &[], Form::Milled, Kind::Steeped);
    let (low, high) = dried.range();
    assert!(0.0 < low.get() && low < dried.wet_basis() && dried.wet_basis() < high);
    let wild = Uncertain {
        value: 0.76,
        standard: 0.05,
        freedom: 1.0,
    };
    let (low, high) = whole(&[wild], &[]).range();
    assert!(low.get() > 0.0 && low.get() < 0.13);
    assert!(high.get() < 1.0 && high.get() > 0.999);
}

/// One sample of 100 g on a 0.1 g balance: ± 1.96 · √(0.536² + 0.033²) points, by arithmetic.
#[test]
fn one_test_narrows_the_default_to_about_one_point() {
    let found = whole(&[], &[]).after_one_more_test();
    assert!((found - 0.01053).abs() < 5e-5, "{found}");
    let tested = whole(&[Uncertain::known(0.76, 0.0054)], &[]);
    let after = tested.after_one_more_test();
    assert!((after / tested.moisture.expanded() - 0.5f64.sqrt()).abs() < 0.01);
}

#[test]
fn evidence_has_a_stable_key_and_a_sentence() {
    let tests = |with_earlier_lots| Evidence::Tests {
        count: 2,
        with_earlier_lots,
    };
    for (evidence, key, words) in [
        (tests(None), "test", "2 moisture tests of this lot"),
        (
            tests(Some(4)),
            "test and earlier lots",
            "with 4 earlier lots",
        ),
        (
            Evidence::EarlierLots { count: 3 },
            "earlier lots",
            "DerSimonian & Laird 1986",
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
    fn a_further_test_never_widens_what_is_known_for_sure(
        value in 0.05f64..0.9,
        standard in 0.001f64..0.05,
    ) {
        let found = whole(&[Uncertain::known(value, standard)], &[]);
        prop_assert!(found.after_one_more_test() < found.moisture.expanded());
    }

    #[test]
    fn more_equal_tests_are_never_less_sure(count in 1usize..8, standard in 0.001f64..0.05) {
        let test = Uncertain::known(0.77, standard);
        let some = whole(&vec![test; count], &[]).moisture;
        prop_assert!((some.standard - standard / (count as f64).sqrt()).abs() < 1e-12);
        prop_assert!((some.value - 0.77).abs() < 1e-12);
    }
}
