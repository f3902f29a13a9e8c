//! How well drying tells the moisture of spent grain: what repeats, and what every test of one oven shares.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::Form;
use crate::quantity::Uncertain;
use crate::quantity::uncertain::welch_satterthwaite;

/// A limit r or R is this many standard deviations: 1.96 √2, rounded as in ISO 5725-6 (from memory).
pub(super) const LIMIT_FACTOR: f64 = 2.8;

/// Published precision of drying spent grain, fractions of wet mass.
///
/// Source: EBC collaborative trial, Casta 1997, Monatsschrift für Brauwissenschaft 50(9/10). Its grain
/// had 3 to 8 % water; that the figures hold for wet grain as well is an assumption.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precision {
    /// Repeatability limit r: most that two tests by one person in one oven should differ.
    pub repeatability: f64,
    /// Reproducibility limit R: most that tests in two laboratories should differ.
    pub reproducibility: f64,
}

impl Precision {
    /// Unmilled grain with 3.4 % water.
    pub const UNMILLED: Self = Self {
        repeatability: 0.003,
        reproducibility: 0.015,
    };

    /// Dried and milled grain with 4 to 8 % water.
    pub const MILLED: Self = Self {
        repeatability: 0.0010,
        reproducibility: 0.0067,
    };

    /// That of a form.
    pub const fn of(form: Form) -> Self {
        match form {
            Form::Milled => Self::MILLED,
            Form::Whole | Form::Pressed | Form::Blended | Form::Dried => Self::UNMILLED,
        }
    }

    /// Standard deviation of single samples in one oven, s_r.
    pub fn repeatability_sd(&self) -> f64 {
        self.repeatability / LIMIT_FACTOR
    }

    /// Standard deviation of single samples each from another laboratory, s_R.
    pub fn reproducibility_sd(&self) -> f64 {
        self.reproducibility / LIMIT_FACTOR
    }

    /// Standard deviation between laboratories, s_L = √(s_R² − s_r²): the bias of one oven and one way
    /// of working, which no number of samples from it averages out.
    pub fn between_laboratories_sd(&self) -> f64 {
        (self.reproducibility_sd().powi(2) - self.repeatability_sd().powi(2)).sqrt()
    }

    /// A value that holds only what repeats, with the bias of its oven added.
    pub fn with_bias(&self, repeatable: Uncertain) -> Uncertain {
        let bias = self.between_laboratories_sd();
        Uncertain {
            value: repeatable.value,
            standard: libm::hypot(repeatable.standard, bias),
            freedom: welch_satterthwaite(&[
                (repeatable.standard, repeatable.freedom),
                (bias, f64::INFINITY),
            ]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// r 0.3 and R 1.5 %, milled r 0.10 and R 0.67 % (Casta 1997); the rest is arithmetic.
    #[test]
    fn the_oven_is_most_of_what_one_cannot_know() {
        for (precision, r, big_r, between) in [
            (Precision::UNMILLED, 0.10714, 0.53571, 0.52489),
            (Precision::MILLED, 0.03571, 0.23929, 0.23661),
        ] {
            let points = |found: f64, expected: f64| {
                assert!(
                    (found * 100.0 - expected).abs() < 5e-6,
                    "{found} {expected}"
                );
            };
            points(precision.repeatability_sd(), r);
            points(precision.reproducibility_sd(), big_r);
            points(precision.between_laboratories_sd(), between);
        }
    }

    #[test]
    fn only_milled_grain_has_the_figures_of_milled_grain() {
        for form in Form::ALL {
            let milled = Precision::of(form) == Precision::MILLED;
            assert_eq!(milled, form == Form::Milled, "{form}");
        }
    }

    /// What is added is taken as known, so it adds width and takes doubt about the width away: equal
    /// parts, one with 4 degrees of freedom, make 16 (Welch–Satterthwaite, arithmetic).
    #[test]
    fn bias_adds_as_a_known_part() {
        let bias = Precision::UNMILLED.between_laboratories_sd();
        let found = Precision::UNMILLED.with_bias(Uncertain {
            value: 0.77,
            standard: bias,
            freedom: 4.0,
        });
        assert_eq!(found.value, 0.77);
        assert!((found.standard / bias - 2f64.sqrt()).abs() < 1e-12);
        assert!((found.freedom - 16.0).abs() < 1e-9);
    }
}
