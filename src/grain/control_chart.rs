//! Whether lots of a source stay as they were: the control chart of individual values and their moving range.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use crate::quantity::Uncertain;
use std::f64::consts::{FRAC_2_SQRT_PI, PI};
use std::fmt;

/// Mean of the range of two normal values, in standard deviations: d₂ of two, 2 ÷ √π.
const D2: f64 = FRAC_2_SQRT_PI;
/// Of fewer lots nobody can tell: judgement. The longest run rule takes as many.
pub const FEWEST: usize = 8;
/// What is no difference of moisture on any balance.
const NO_DIFFERENCE: f64 = 1e-9;

/// The limit of a moving range over its mean: D₄ of two, 1 + 3 d₃ ÷ d₂ with d₃ = √(2 − 4 ÷ π).
fn d4() -> f64 {
    1.0 + 3.0 * (2.0 - 4.0 / PI).sqrt() / D2
}

/// What is improbable while nothing changed: the zone tests of the Western Electric handbook, by their numbers there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// One value beyond a limit.
    Beyond,
    /// Two of three beyond two thirds of the way to it.
    TwoOfThree,
    /// Four of five beyond a third of the way.
    FourOfFive,
    /// Eight on one side.
    Eight,
}

/// Each rule: so many of the last ones lie further than so many standard deviations from the middle, on one side.
const RULES: [(Rule, usize, usize, f64); 4] = [
    (Rule::Beyond, 1, 1, 3.0),
    (Rule::TwoOfThree, 2, 3, 2.0),
    (Rule::FourOfFive, 4, 5, 1.0),
    (Rule::Eight, 8, 8, 0.0),
];

impl Rule {
    /// A short word for files that others read; it stays the same.
    pub const fn as_key(self) -> &'static str {
        match self {
            Self::Beyond => "beyond limit",
            Self::TwoOfThree => "2 of 3",
            Self::FourOfFive => "4 of 5",
            Self::Eight => "8 in a row",
        }
    }
}

/// On which side of the middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Wetter.
    Above,
    /// Drier.
    Below,
}

impl fmt::Display for Side {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Above => "above",
            Self::Below => "below",
        })
    }
}

/// A rule that was broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Signal {
    /// The rule.
    pub rule: Rule,
    /// On which side.
    pub side: Side,
    /// Which value broke it, the first one being 0.
    pub at: usize,
}

/// Values in the order of time, with limits from themselves.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlChart {
    /// Their median: an odd lot does not move it.
    pub middle: f64,
    /// Their standard deviation, from the differences of neighbours: a slow drift does not widen it.
    pub standard: f64,
    /// Every rule that was broken.
    pub signals: Vec<Signal>,
}

impl ControlChart {
    /// Of values in the order of time; nothing of fewer than [`FEWEST`].
    pub fn of(values: &[Uncertain]) -> Option<Self> {
        if values.len() < FEWEST {
            return None;
        }
        let count = values.len() as f64;
        let middle = median(values);
        let measured = values.iter().map(|one| one.standard.powi(2)).sum::<f64>() / count;
        // Values cannot be steadier than they are measured.
        let standard = (mean_range(values) / D2).max(measured.sqrt());
        Some(Self {
            signals: signals(values, middle, standard),
            middle,
            standard,
        })
    }

    /// The lower and the upper limit, three standard deviations away.
    pub fn limits(&self) -> (f64, f64) {
        (
            self.middle - 3.0 * self.standard,
            self.middle + 3.0 * self.standard,
        )
    }

    /// The side on which a value lies beyond a limit, where it does.
    pub fn beyond(&self, at: usize) -> Option<Side> {
        let is_it = |signal: &&Signal| signal.rule == Rule::Beyond && signal.at == at;
        self.signals.iter().find(is_it).map(|signal| signal.side)
    }

    /// The rule about several values that the last one broke: the level moved, and has not come back. The one about most
    /// values counts.
    pub fn drift(&self, count: usize) -> Option<Signal> {
        let is_now = |signal: &&Signal| signal.rule != Rule::Beyond && signal.at + 1 == count;
        self.signals.iter().rfind(is_now).copied()
    }
}

fn median(values: &[Uncertain]) -> f64 {
    let mut sorted: Vec<f64> = values.iter().map(|one| one.value).collect();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let lower = sorted[(sorted.len() - 1) / 2];
    lower + (sorted[half] - lower) / 2.0
}

/// The mean difference of neighbours. Differences beyond D₄ times it are set aside, again and again: one odd lot makes two
/// of them and would hide itself.
fn mean_range(values: &[Uncertain]) -> f64 {
    let between = |pair: &[Uncertain]| (pair[1].value - pair[0].value).abs();
    let mut ranges: Vec<f64> = values.windows(2).map(between).collect();
    loop {
        let mean = ranges.iter().sum::<f64>() / ranges.len().max(1) as f64;
        let before = ranges.len();
        ranges.retain(|range| *range <= mean * d4() + NO_DIFFERENCE);
        if ranges.len() == before {
            return mean;
        }
    }
}

fn signals(values: &[Uncertain], middle: f64, standard: f64) -> Vec<Signal> {
    let mut found = Vec::new();
    for at in 0..values.len() {
        for (rule, needed, of, deviations) in RULES {
            let Some(first) = (at + 1).checked_sub(of) else {
                continue;
            };
            for (side, sign) in [(Side::Above, 1.0), (Side::Below, -1.0)] {
                let is_out = |one: &Uncertain| {
                    sign * (one.value - middle) > deviations * standard + NO_DIFFERENCE
                };
                let out = values[first..=at].iter().filter(|one| is_out(one)).count();
                if out >= needed && is_out(&values[at]) {
                    found.push(Signal { rule, side, at });
                }
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart(values: &[f64]) -> Option<ControlChart> {
        let known = |value: &f64| Uncertain::known(*value, 1e-6);
        ControlChart::of(&values.iter().map(known).collect::<Vec<_>>())
    }

    fn rules(values: &[f64]) -> Vec<(&'static str, usize)> {
        let signals = chart(values).unwrap().signals;
        signals
            .iter()
            .map(|one| (one.rule.as_key(), one.at))
            .collect()
    }

    /// The table of factors for samples of two, as in ISO 7870-2 and in Montgomery, Introduction to Statistical Quality
    /// Control, appendix VI (both from memory): d₂ 1.128, d₃ 0.853, D₄ 3.267, and 2.66 for limits of individual values.
    #[test]
    fn the_factors_are_those_of_the_published_table() {
        let d3 = (2.0 - 4.0 / PI).sqrt();
        assert_eq!(
            format!("{D2:.3} {d3:.3} {:.3} {:.2}", d4(), 3.0 / D2),
            "1.128 0.853 3.267 2.66"
        );
    }

    /// Worked by hand: median 78, differences 1 2 1 1 2 1 1 of mean 9/7.
    #[test]
    fn limits_are_the_median_and_266_hundredths_of_the_mean_moving_range() {
        let chart = chart(&[77.0, 78.0, 80.0, 79.0, 78.0, 76.0, 77.0, 78.0]).unwrap();
        let reach = 3.0 * (9.0 / 7.0) / 1.128;
        let (low, high) = chart.limits();
        assert!((chart.middle - 78.0).abs() < 1e-9);
        assert!((low - (78.0 - reach)).abs() < 2e-3 && (high - (78.0 + reach)).abs() < 2e-3);
        assert_eq!(chart.signals, []);
    }

    #[test]
    fn each_rule_names_the_value_that_breaks_it() {
        let steady = [
            0.0, 1.0, -1.0, 0.5, -0.5, 1.0, -1.0, 0.5, -0.5, 1.0, -1.0, 0.0,
        ];
        assert_eq!(rules(&steady), []);
        let with = |last: &[f64]| {
            let mut values = [steady, steady].concat();
            values.extend(last);
            rules(&values)
        };
        // The mean moving range is about 1.4, so a standard deviation is about 1.3.
        assert_eq!(with(&[7.0]), [("beyond limit", 24)]);
        assert_eq!(with(&[3.4, 0.0, 3.4]), [("2 of 3", 26)]);
        assert_eq!(with(&[2.2, 2.3, 0.1, 2.2, 2.3]), [("4 of 5", 28)]);
        assert_eq!(
            with(&[-1.0, -1.2, -1.0, -1.1, -1.0, -1.2, -1.0, -1.1]).last(),
            Some(&("8 in a row", 31))
        );
    }

    #[test]
    fn an_odd_lot_does_not_hide_itself() {
        let mut values = [
            77.0, 78.0, 77.5, 78.5, 77.0, 78.0, 77.5, 78.5, 77.0, 78.0, 77.5, 78.5,
        ];
        values[6] = 86.0;
        let chart = chart(&values).unwrap();
        assert_eq!(chart.beyond(6), Some(Side::Above));
        assert_eq!(chart.beyond(5), None);
        assert_eq!(chart.signals.len(), 1, "the others are no drift for it");
    }

    #[test]
    fn a_slow_drift_is_found_while_it_lasts() {
        let values: Vec<f64> = (0..20u8)
            .map(|lot| 76.0 + 0.25 * f64::from(lot) + if lot % 2 == 0 { 0.4 } else { -0.4 })
            .collect();
        let drift = chart(&values).unwrap().drift(values.len()).unwrap();
        assert_eq!(drift.side, Side::Above);
        let mut back = values;
        back.extend([77.0, 79.0, 78.0]);
        assert_eq!(chart(&back).unwrap().drift(back.len()), None);
    }

    #[test]
    fn equal_values_are_steady_and_few_tell_nothing() {
        for value in [0.1, 0.77, 0.783, 0.0] {
            for many in [FEWEST, 9, 30] {
                let one = Uncertain::known(value, 0.0);
                let chart = ControlChart::of(&vec![one; many]).unwrap();
                assert!(chart.middle.is_finite() && chart.limits().0.is_finite());
                assert_eq!(chart.signals, [], "{many} of {value}");
            }
        }
        assert_eq!(chart(&[78.0; FEWEST - 1]), None);
        assert_eq!(chart(&[]), None);
    }

    #[test]
    fn limits_are_never_closer_than_the_tests_are_sure() {
        let values = vec![Uncertain::known(0.78, 0.005); FEWEST];
        let (low, high) = ControlChart::of(&values).unwrap().limits();
        assert!((low - 0.765).abs() < 1e-9 && (high - 0.795).abs() < 1e-9);
    }

    /// How often steady lots are called odd or drifting, and how often one lot six standard deviations off is found. In the
    /// normal case of known limits one lot in 370 lies beyond them; the rest are our own figures, of a simulation in
    /// another language with the same rules: 7, 19 and 42 of 100 charts of 8, 20 and 50 steady lots break some rule, and the
    /// odd lot is found in 21 of 100 charts of 8 lots, in 77 of 12, in 95 of 20.
    ///
    /// ```text
    /// python3: random.seed(1); 3,000 times x = [random.gauss(0, 1) for _ in range(n)]
    /// mr = [abs(a - b) for a, b in zip(x, x[1:])]
    /// while True: m = sum(mr) / len(mr); kept = [r for r in mr if r <= 3.267 * m]; stop if all are kept, else mr = kept
    /// z = [(v - statistics.median(x)) / (m / 1.128) for v in x]; count charts where a rule is broken; then x[n // 2] += 6 and z anew
    /// ```
    #[test]
    fn alarms_are_as_rare_as_the_second_program_says() {
        let mut state = 12_345u64;
        let mut uniform = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            ((state >> 11) as f64 + 0.5) / (1u64 << 53) as f64
        };
        let mut normal = || (-2.0 * libm::log(uniform())).sqrt() * libm::cos(2.0 * PI * uniform());
        for (lots, alarms, found) in [(8, 0.074, 0.206), (12, 0.125, 0.766), (20, 0.190, 0.951)] {
            let (mut alarmed, mut odd) = (0, 0);
            for _ in 0..2_000 {
                let mut values: Vec<f64> = (0..lots).map(|_| normal()).collect();
                alarmed += i32::from(!chart(&values).unwrap().signals.is_empty());
                values[lots / 2] += 6.0;
                odd += i32::from(chart(&values).unwrap().beyond(lots / 2).is_some());
            }
            let (alarmed, odd) = (f64::from(alarmed) / 2e3, f64::from(odd) / 2e3);
            assert!((alarmed - alarms).abs() < 0.03, "{lots}: {alarmed}");
            assert!((odd - found).abs() < 0.04, "{lots}: {odd}");
        }
    }
}
