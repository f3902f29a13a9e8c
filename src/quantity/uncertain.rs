//! A value with its standard uncertainty and degrees of freedom, and its 95 % range.

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// A measured or estimated value.
///
/// The 95 % range uses Student's t with the degrees of freedom; infinitely many mean the normal
/// distribution. Rule: JCGM 100:2008 (GUM), sections 4 to 6 and annex G.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty, same unit as the value.
    pub standard: f64,
    /// Degrees of freedom, at least 1; infinite where the uncertainty is taken as known.
    pub freedom: f64,
}

impl Uncertain {
    /// A value whose standard uncertainty is taken as known.
    pub const fn known(value: f64, standard: f64) -> Self {
        Self {
            value,
            standard,
            freedom: f64::INFINITY,
        }
    }

    /// Half-width of the 95 % range.
    pub fn expanded(&self) -> f64 {
        coverage_factor(self.freedom) * self.standard
    }

    /// Lower and upper end of the 95 % range.
    pub fn range(&self) -> (f64, f64) {
        let half = self.expanded();
        (self.value - half, self.value + half)
    }

    /// The value below which the true one is with this chance, above 0 and below 1.
    pub fn quantile(&self, chance: f64) -> f64 {
        if self.standard <= 0.0 {
            return self.value;
        }
        self.value + self.standard * student_quantile(self.freedom, chance)
    }

    /// The chance that the true value is below `limit`, the value being as uncertain as it says.
    pub fn chance_below(&self, limit: f64) -> f64 {
        if self.standard <= 0.0 {
            return if self.value < limit { 1.0 } else { 0.0 };
        }
        student_chance((limit - self.value) / self.standard, self.freedom)
    }
}

/// The 97.5 % quantile of Student's t distribution: the factor for a two-sided 95 % range.
pub fn coverage_factor(freedom: f64) -> f64 {
    student_quantile(freedom, 0.975)
}

/// The beta function behind the exact distribution loses its digits, and then all sense, where that nears the normal one;
/// from here on what is near the normal one is worked out from it.
const SERIES_FROM: f64 = 1000.0;

/// The digits of a distribution that are the same on every machine.
///
/// The library takes logarithms and powers from the machine's own C library, whose last bits differ from one to the next. Of two
/// plans that are as good as each other such a bit would choose.
pub fn same_everywhere(figure: f64) -> f64 {
    const DIGITS: f64 = 1e12;
    (figure * DIGITS).round() / DIGITS
}

/// The chance of less than `t` in Student's t distribution; with endless freedom in the normal one.
///
/// Near the normal one by Abramowitz & Stegun 1964, 26.7.8, from memory; the tests hold it against the quantiles.
fn student_chance(t: f64, freedom: f64) -> f64 {
    if freedom < SERIES_FROM
        && let Ok(exact) = StudentsT::new(0.0, 1.0, freedom)
    {
        return same_everywhere(exact.cdf(t));
    }
    let part = freedom.recip() / 4.0;
    let normal = t * (1.0 - part) / (1.0 + 2.0 * part * t * t).sqrt();
    same_everywhere(Normal::standard().cdf(normal))
}

/// Quantile of Student's t distribution; with endless freedom that of the normal one.
fn student_quantile(freedom: f64, chance: f64) -> f64 {
    let normal = same_everywhere(Normal::standard().inverse_cdf(chance));
    if freedom >= SERIES_FROM {
        return quantile_near_normal(normal, freedom);
    }
    StudentsT::new(0.0, 1.0, freedom).map_or(normal, |t| same_everywhere(t.inverse_cdf(chance)))
}

/// Student's t quantile from the normal quantile `z` in powers of 1 ÷ freedom.
///
/// Source: Abramowitz & Stegun 1964, Handbook of Mathematical Functions, 26.7.5, from memory; the
/// tests hold it against SciPy.
fn quantile_near_normal(z: f64, freedom: f64) -> f64 {
    let square = z * z;
    let first = (square + 1.0) * z / 4.0;
    let second = ((5.0 * square + 16.0) * square + 3.0) * z / 96.0;
    let third = (((3.0 * square + 19.0) * square + 17.0) * square - 15.0) * z / 384.0;
    let step = freedom.recip();
    z + step * (first + step * (second + step * third))
}

/// Effective degrees of freedom of `√(Σ uᵢ²)` by the Welch–Satterthwaite formula (GUM, G.4.1).
///
/// `parts` holds each standard uncertainty with its own degrees of freedom.
pub fn welch_satterthwaite(parts: &[(f64, f64)]) -> f64 {
    let total: f64 = parts.iter().map(|(standard, _)| standard * standard).sum();
    let weighed: f64 = parts
        .iter()
        .filter(|(_, freedom)| freedom.is_finite())
        .map(|(standard, freedom)| standard.powi(4) / freedom)
        .sum();
    if weighed == 0.0 {
        f64::INFINITY
    } else {
        total * total / weighed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Student's t quantiles from SciPy 1.17.1:
    ///
    /// ```text
    /// from scipy.stats import t
    /// for freedom in [1, 1.0001, 1.25, 1.5, 1.9, 2, 2.37, 2.999, 3, 3.7, 4.2, 5, 6.66, 8.1, 10,
    ///                 12.5, 17.3, 25, 41.7, 60, 99.9, 150, 400.4, 1000, 5432.1, 1e5, 1e6, 1e8, 1e9]:
    ///     print(f"({freedom!r}, {float(t.ppf(0.975, freedom))!r}),")
    /// ```
    const QUANTILES: [(f64, f64); 29] = [
        (1.0, 12.706204736174694),
        (1.0001, 12.703202820451473),
        (1.25, 8.027951377252052),
        (1.5, 6.016663104427929),
        (1.9, 4.527118077100328),
        (2.0, 4.302652729749462),
        (2.37, 3.7189208397974567),
        (2.999, 3.183046715326888),
        (3.0, 3.1824463052837078),
        (3.7, 2.8675207071911895),
        (4.2, 2.7250727225923743),
        (5.0, 2.5705818356363146),
        (6.66, 2.389317165226697),
        (8.1, 2.3010580770367275),
        (10.0, 2.228138851986274),
        (12.5, 2.1691859427125406),
        (17.3, 2.1070320037534676),
        (25.0, 2.0595385527532972),
        (41.7, 2.018511922996425),
        (60.0, 2.0002978220142604),
        (99.9, 1.9839958380769385),
        (150.0, 1.9759053308966201),
        (400.4, 1.9659063831279446),
        (1000.0, 1.9623390808264083),
        (5432.1, 1.960400793677062),
        (100000.0, 1.9599877075346095),
        (1000000.0, 1.959966356814107),
        (100000000.0, 1.9599640082627663),
        (1000000000.0, 1.959963986912325),
    ];

    #[test]
    fn coverage_factors_agree_with_scipy() {
        for (freedom, expected) in QUANTILES {
            let found = coverage_factor(freedom);
            assert!(
                (found / expected - 1.0).abs() < 1e-11,
                "{freedom} degrees of freedom: {found}, SciPy has {expected}"
            );
        }
    }

    /// `t.ppf(0.01, 5)` and `norm.ppf(0.9)` of SciPy, from memory to the digits of printed tables.
    #[test]
    fn quantiles_turn_chances_round() {
        let t = Uncertain {
            value: 1.0,
            standard: 2.0,
            freedom: 5.0,
        };
        assert!((t.quantile(0.01) - (1.0 - 2.0 * 3.365)).abs() < 2e-3);
        assert!((Uncertain::known(0.0, 1.0).quantile(0.9) - 1.2816).abs() < 1e-4);
        for chance in [0.003, 0.4, 0.5, 0.98] {
            assert!((t.chance_below(t.quantile(chance)) - chance).abs() < 1e-9);
        }
        assert_eq!(Uncertain::known(3.0, 0.0).quantile(0.1), 3.0);
    }

    /// A quantile's chance is the one it was asked for, whatever the freedom: the quantiles are SciPy's.
    #[test]
    fn chances_hold_at_many_degrees_of_freedom() {
        for (freedom, quantile) in QUANTILES {
            let one = Uncertain {
                value: 0.0,
                standard: 1.0,
                freedom,
            };
            for (limit, chance) in [(quantile, 0.975), (-quantile, 0.025), (0.0, 0.5)] {
                let found = one.chance_below(limit);
                assert!(
                    (found - chance).abs() < 1e-7,
                    "{freedom}: {found}, not {chance}"
                );
            }
        }
        let many = Uncertain {
            freedom: 3e8,
            ..Uncertain::known(0.0, 1.0)
        };
        for tenths in -80..=80 {
            let limit = f64::from(tenths) / 10.0;
            let known = Uncertain::known(0.0, 1.0).chance_below(limit);
            assert!((many.chance_below(limit) - known).abs() < 1e-7, "{limit}");
        }
    }

    /// `norm.ppf(0.975)` of SciPy 1.17.1.
    #[test]
    fn endless_freedom_means_the_normal_distribution() {
        let found = coverage_factor(f64::INFINITY);
        assert!((found / 1.959963984540054 - 1.0).abs() < 1e-12, "{found}");
    }

    /// GUM, G.4.1: equal parts with 4 degrees of freedom each make 8; a part known for sure adds
    /// width and no doubt about it (arithmetic).
    #[test]
    fn degrees_of_freedom_add_up_by_welch_and_satterthwaite() {
        assert!((welch_satterthwaite(&[(1.0, 4.0), (1.0, 4.0)]) - 8.0).abs() < 1e-12);
        assert!((welch_satterthwaite(&[(1.0, 4.0), (1.0, f64::INFINITY)]) - 16.0).abs() < 1e-12);
        assert_eq!(welch_satterthwaite(&[(1.0, f64::INFINITY)]), f64::INFINITY);
    }
}
