//! Four fractions that are all plain ratios and must never be mixed up.
//!
//! Wet basis is water ÷ wet mass, dry basis is water ÷ dry mass, dry fraction is dry mass ÷ wet mass
//! and water activity is a ratio of vapour pressures. Each is a type of its own, so that handing one
//! to a function that wants another does not compile:
//!
//! ```compile_fail,E0308
//! use draffbook::quantity::{DryBasis, WetBasis};
//! fn dry_grain(moisture: WetBasis) -> f64 { 1.0 - moisture.get() }
//! dry_grain(DryBasis::new(3.5).unwrap());
//! ```
//! ```compile_fail,E0308
//! use draffbook::quantity::{DryFraction, WetBasis};
//! let moisture: WetBasis = DryFraction::new(0.22).unwrap();
//! ```
//! ```compile_fail,E0308
//! use draffbook::quantity::{WaterActivity, WetBasis};
//! let moisture: WetBasis = WaterActivity::new(0.55).unwrap();
//! ```
//! ```compile_fail,E0369
//! use draffbook::quantity::{DryBasis, WetBasis};
//! let sum = WetBasis::new(0.78).unwrap() + DryBasis::new(3.5).unwrap();
//! ```
//! The same lines with the types they ask for do compile:
//!
//! ```
//! use draffbook::quantity::{DryBasis, DryFraction, WaterActivity, WetBasis};
//! fn dry_grain(moisture: WetBasis) -> f64 { 1.0 - moisture.get() }
//! assert!((dry_grain(WetBasis::new(0.78).unwrap()) - 0.22).abs() < 1e-12);
//! let dry: DryFraction = DryFraction::new(0.22).unwrap();
//! let activity: WaterActivity = WaterActivity::new(0.55).unwrap();
//! let basis: DryBasis = WetBasis::new(0.75).unwrap().to_dry_basis().unwrap();
//! assert!((basis.get() - 3.0).abs() < 1e-12 && dry.get() < activity.get());
//! ```

use super::{Problem, bounds, decimal};
use std::str::FromStr;
use uom::si::f64::Ratio;
use uom::si::ratio::{percent, ratio};

/// Water ÷ wet mass, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct WetBasis(Ratio);

/// Water ÷ dry mass, from 0 up; above 1 for wet grain.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct DryBasis(Ratio);

/// Dry mass ÷ wet mass, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct DryFraction(Ratio);

/// Water vapour pressure of the grain ÷ that of pure water at the same temperature, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct WaterActivity(Ratio);

/// Refuses what is no number or lies outside `low..=high`.
fn within(value: f64, what: &str, low: f64, high: f64) -> Result<Ratio, Problem> {
    if (low..=high).contains(&value) {
        Ok(Ratio::new::<ratio>(value))
    } else {
        Err(Problem::new(format!(
            "{what} is {value}: allowed is {low} to {high}"
        )))
    }
}

impl WetBasis {
    /// Takes water ÷ wet mass between 0 (bone dry) and 1 (water).
    pub fn new(value: f64) -> Result<Self, Problem> {
        within(value, "moisture (wet basis)", 0.0, 1.0).map(Self)
    }

    /// Water ÷ wet mass.
    pub fn get(self) -> f64 {
        self.0.get::<ratio>()
    }

    /// The same in percent.
    pub fn percent(self) -> f64 {
        self.0.get::<percent>()
    }

    /// `db = wb ÷ (1 − wb)`; pure water has no dry matter to divide by and is refused.
    pub fn to_dry_basis(self) -> Result<DryBasis, Problem> {
        if self.get() >= 1.0 {
            return Err(Problem::new(
                "moisture of 100 % (wet basis) has no dry basis: there is no dry matter",
            ));
        }
        Ok(DryBasis(Ratio::new::<ratio>(
            self.get() / (1.0 - self.get()),
        )))
    }

    /// `1 − wb`.
    pub fn dry_fraction(self) -> DryFraction {
        DryFraction(Ratio::new::<ratio>(1.0 - self.get()))
    }
}

impl DryBasis {
    /// Takes water ÷ dry mass, any finite value from 0 up.
    pub fn new(value: f64) -> Result<Self, Problem> {
        within(value, "moisture (dry basis)", 0.0, f64::MAX).map(Self)
    }

    /// Water ÷ dry mass.
    pub fn get(self) -> f64 {
        self.0.get::<ratio>()
    }

    /// `wb = db ÷ (1 + db)`.
    pub fn to_wet_basis(self) -> WetBasis {
        WetBasis(Ratio::new::<ratio>(self.get() / (1.0 + self.get())))
    }
}

impl DryFraction {
    /// Takes dry mass ÷ wet mass between 0 and 1.
    pub fn new(value: f64) -> Result<Self, Problem> {
        within(value, "dry fraction", 0.0, 1.0).map(Self)
    }

    /// Dry mass ÷ wet mass.
    pub fn get(self) -> f64 {
        self.0.get::<ratio>()
    }

    /// `1 − dry fraction`.
    pub fn to_wet_basis(self) -> WetBasis {
        WetBasis(Ratio::new::<ratio>(1.0 - self.get()))
    }
}

impl WaterActivity {
    /// Takes a water activity between 0 and 1.
    pub fn new(value: f64) -> Result<Self, Problem> {
        bounds::WATER_ACTIVITY
            .check(value)
            .map(|value| Self(Ratio::new::<ratio>(value)))
    }

    /// The ratio of vapour pressures.
    pub fn get(self) -> f64 {
        self.0.get::<ratio>()
    }
}

impl FromStr for WaterActivity {
    type Err = Problem;

    /// Reads `0.55`: a water activity is a bare number by trade custom.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let (number, rest) = decimal::split_number(text, "water activity", "0.55")?;
        if !rest.is_empty() {
            return Err(Problem::new(format!(
                "water activity `{}` has a unit",
                decimal::trim(text)
            ))
            .hint("write it like 0.55"));
        }
        Self::new(number.to_f64())
    }
}

/// A percentage as typed, before it is known what it is a percentage of. Holds percent, not a ratio.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Percent(Ratio);

impl Percent {
    /// Checks against a named range and returns the ratio, 0.78 for `78%`.
    pub fn within(self, bounds: &bounds::Bounds) -> Result<f64, Problem> {
        bounds.check(self.0.get::<percent>())?;
        Ok(self.0.get::<ratio>())
    }
}

impl FromStr for Percent {
    type Err = Problem;

    /// Reads `78%` and `76.4 %`. A bare number is doubtful: 0.78 and 78 look alike.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let (number, rest) = decimal::split_number(text, "percentage", "78%")?;
        if rest != "%" {
            return Err(Problem::new(format!(
                "percentage `{}` does not end in %",
                decimal::trim(text)
            ))
            .hint("write it like 78% or 76.4%"));
        }
        Ok(Self(Ratio::new::<percent>(number.to_f64())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn pure_water_has_no_dry_basis() {
        let problem = WetBasis::new(1.0).unwrap().to_dry_basis().unwrap_err();
        assert!(problem.to_string().contains("no dry matter"));
    }

    #[test]
    fn what_is_no_fraction_is_refused() {
        for value in [-0.1, 1.1, f64::NAN, f64::INFINITY] {
            assert!(WetBasis::new(value).is_err());
            assert!(DryFraction::new(value).is_err());
            assert!(WaterActivity::new(value).is_err());
        }
        assert!(DryBasis::new(f64::INFINITY).is_err());
        assert!(DryBasis::new(6.874).is_ok());
    }

    #[test]
    fn percentages_need_their_sign() {
        assert!("0.78".parse::<Percent>().is_err());
        assert!("78 pct".parse::<Percent>().is_err());
        let typed: Percent = "76.4 %".parse().unwrap();
        assert!((typed.within(&bounds::MOISTURE).unwrap() - 0.764).abs() < 1e-15);
        for text in ["0%", "100%", "120%", "-5%"] {
            assert!(
                text.parse::<Percent>()
                    .unwrap()
                    .within(&bounds::MOISTURE)
                    .is_err(),
                "{text}"
            );
        }
        assert!("0.55%".parse::<WaterActivity>().is_err());
    }

    proptest! {
        #[test]
        fn wet_basis_to_dry_basis_and_back(value in 0.0f64..0.999) {
            let wet = WetBasis::new(value).unwrap();
            let back = wet.to_dry_basis().unwrap().to_wet_basis();
            prop_assert!((back.get() - value).abs() < 1e-12);
            prop_assert!((wet.dry_fraction().to_wet_basis().get() - value).abs() < 1e-15);
        }
    }
}
