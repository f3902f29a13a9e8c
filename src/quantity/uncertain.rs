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
}

/// The 97.5 % quantile of Student's t distribution: the factor for a two-sided 95 % range.
pub fn coverage_factor(freedom: f64) -> f64 {
    const UPPER: f64 = 0.975;
    // The t quantile meets the normal one to 1e-9 long before this many degrees of freedom.
    let normal = || Normal::standard().inverse_cdf(UPPER);
    if freedom > 1e10 {
        return normal();
    }
    StudentsT::new(0.0, 1.0, freedom).map_or_else(|_| normal(), |t| t.inverse_cdf(UPPER))
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
