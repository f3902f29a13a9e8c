//! One pan of grain on the balance: empty, with wet grain, and again while it dries.

use super::{OpenSample, clipped};
use crate::quantity::{Milligrams, Problem, WetBasis, decimal};
use std::str::FromStr;

const EXAMPLE: &str =
    "write pan, pan with wet grain, pan with dried grain: 50.0g,150.0g,73.4g (pan 0g if tared)";

/// Readings of one pan. Holds: more wet grain than none, and some but not all of it is left dry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weighing {
    pan: Milligrams,
    wet: Milligrams,
    dry: Vec<Milligrams>,
}

impl Weighing {
    /// Takes the empty pan, the pan with wet grain, and the pan with the drying grain at each
    /// weighing, the last of which counts. The pan may be nothing, on a tared balance.
    ///
    /// Refused: no wet grain, no dry weighing, a dry weighing not above the pan or above the wet
    /// one, and a last one that lost nothing.
    pub fn new(pan: Milligrams, wet: Milligrams, dry: Vec<Milligrams>) -> Result<Self, Problem> {
        let refuse = |message: String| Err(Problem::new(message).hint(EXAMPLE));
        let grams = Milligrams::grams;
        OpenSample::new(pan, wet)?;
        for reading in &dry {
            if *reading < pan {
                return refuse(format!(
                    "pan heavier than pan + dry: the pan alone weighs {} g, with dried grain {} g",
                    grams(pan),
                    grams(*reading)
                ));
            }
            if *reading == pan {
                return refuse(format!(
                    "pan with dried grain weighs {} g, the same as the pan alone: \
                     moisture of 100 % is not grain",
                    grams(pan)
                ));
            }
            if *reading > wet {
                return refuse(format!(
                    "pan with dried grain weighs {} g, more than the {} g before drying",
                    grams(*reading),
                    grams(wet)
                ));
            }
        }
        match dry.last() {
            None => refuse("weighing has no weight after drying".to_owned()),
            Some(last) if *last == wet => refuse(format!(
                "pan weighs {} g before and after drying: moisture of 0 % is not measured",
                grams(wet)
            )),
            Some(_) => Ok(Self { pan, wet, dry }),
        }
    }

    /// The same pan with what is new of the later readings behind its own.
    #[must_use]
    pub fn weighed_on(&self, later: &Self) -> Self {
        let mut dry = self.dry.clone();
        dry.extend_from_slice(self.new_in(later));
        Self {
            dry,
            ..self.clone()
        }
    }

    /// The readings that come after its own, where the later ones begin with these; else all. One reading alone is a
    /// new one: the same weight again says that it is dry.
    pub(super) fn new_in<'a>(&self, later: &'a Self) -> &'a [Milligrams] {
        let later = later.dry.as_slice();
        let own = self.dry.as_slice();
        // An opened sample begins with its wet weight, which few type as a dried one.
        let typed = own.strip_prefix(&[self.wet]).unwrap_or(own);
        let known = |known| later.strip_prefix(known).filter(|_| later.len() > 1);
        known(own).or_else(|| known(typed)).unwrap_or(later)
    }

    /// The empty pan.
    pub fn pan(&self) -> Milligrams {
        self.pan
    }

    /// The pan with the wet grain.
    pub fn wet(&self) -> Milligrams {
        self.wet
    }

    /// The pan with the drying grain, each time it was weighed, at least once.
    pub fn dry(&self) -> &[Milligrams] {
        &self.dry
    }

    /// Mass of the sample before drying, milligrams, more than 0.
    pub fn sample(&self) -> f64 {
        (self.wet.get() - self.pan.get()) as f64
    }

    /// Water lost until the last weighing ÷ wet sample: `m = (W − D) ÷ (W − T)`.
    pub fn moisture(&self) -> WetBasis {
        self.lost(self.dry.last().map_or(self.wet, |last| *last))
    }

    /// The lightest that the pan was while the grain dried.
    pub(super) fn lightest(&self) -> Milligrams {
        self.dry.iter().min().map_or(self.wet, |lightest| *lightest)
    }

    /// Water lost until the lightest weighing ÷ wet sample.
    pub(super) fn at_lightest(&self) -> WetBasis {
        self.lost(self.lightest())
    }

    fn lost(&self, left: Milligrams) -> WetBasis {
        clipped((self.wet.get() - left.get()) as f64 / self.sample())
    }

    /// Standard uncertainty of the moisture (a fraction) from the balance's readability alone.
    ///
    /// Each reading is off by at most half a digit, so `u = d ÷ √12` (JCGM 100:2008, 4.3.7 and
    /// F.2.2.1), and the three readings enter the moisture with the sensitivities `1 − m`, `−1` and
    /// `m`, each over the sample mass.
    pub fn balance_uncertainty(&self, readability: Milligrams) -> f64 {
        balance_uncertainty(self.moisture().get(), self.sample(), readability)
    }
}

/// The same for a moisture and a sample mass (milligrams) without their weighing.
pub(super) fn balance_uncertainty(moisture: f64, sample: f64, readability: Milligrams) -> f64 {
    let reading = readability.get() as f64 / 12f64.sqrt();
    let sensitivity = (1.0 - moisture).powi(2) + 1.0 + moisture.powi(2);
    reading * sensitivity.sqrt() / sample
}

impl OpenSample {
    /// The sample with its first dried weights. Its wet weight stands before them: the sample was seen to lose the
    /// difference, so it is not dry before a later weight agrees.
    pub(super) fn dried(&self, first: &Weighing) -> Weighing {
        let dried = first.dry.strip_prefix(&[self.wet]).unwrap_or(&first.dry);
        Weighing {
            pan: self.pan,
            wet: self.wet,
            dry: std::iter::once(&self.wet).chain(dried).copied().collect(),
        }
    }

    /// Refused where there is no wet grain in the pan.
    pub fn new(pan: Milligrams, wet: Milligrams) -> Result<Self, Problem> {
        if wet > pan {
            return Ok(Self { pan, wet });
        }
        Err(Problem::new(format!(
            "pan with wet grain weighs {} g and the pan alone {} g: there is no grain in it",
            wet.grams(),
            pan.grams()
        ))
        .hint(EXAMPLE))
    }
}

impl FromStr for Weighing {
    type Err = Problem;

    /// Reads `PAN,WET,DRY[,DRY…]`, each a mass with its unit.
    fn from_str(text: &str) -> Result<Self, Problem> {
        match text.parse()? {
            PanReadings::Dried(weighing) => Ok(weighing),
            PanReadings::Wet(_) => Err(wrong_shape(decimal::trim(text))),
        }
    }
}

/// Readings of one pan, as far as there are any yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PanReadings {
    /// The sample goes into the oven now.
    Wet(OpenSample),
    /// It was weighed again.
    Dried(Weighing),
}

impl FromStr for PanReadings {
    type Err = Problem;

    /// Reads `PAN,WET[,DRY…]`, each a mass with its unit.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let text = decimal::trim(text);
        let readings: Vec<&str> = text.split(',').map(decimal::trim).collect();
        let [pan, wet, dry @ ..] = readings.as_slice() else {
            return Err(wrong_shape(text));
        };
        // Bare numbers are caught here so that the hint shows the whole weighing, not one mass.
        if let Some(bare) = readings
            .iter()
            .find(|reading| !reading.ends_with(char::is_alphabetic))
        {
            return Err(
                Problem::new(format!("weighing `{text}` has `{bare}` without a unit"))
                    .hint(EXAMPLE),
            );
        }
        let dry = dry
            .iter()
            .map(|reading| mass(reading))
            .collect::<Result<Vec<_>, _>>()?;
        let (pan, wet) = (pan_mass(pan)?, mass(wet)?);
        if dry.is_empty() {
            return OpenSample::new(pan, wet).map(Self::Wet);
        }
        Weighing::new(pan, wet, dry).map(Self::Dried)
    }
}

fn wrong_shape(text: &str) -> Problem {
    Problem::new(format!(
        "weighing `{text}` is not pan, wet and dry with commas between"
    ))
    .hint(EXAMPLE)
}

fn mass(text: &str) -> Result<Milligrams, Problem> {
    text.parse()
        .map_err(|problem: Problem| problem.within("weighing"))
}

/// A pan may weigh nothing where the balance was tared with it, which no other mass may.
fn pan_mass(text: &str) -> Result<Milligrams, Problem> {
    let tared = decimal::split_number(text, "mass", "50.0g").is_ok_and(|(number, unit)| {
        number.to_f64() == 0.0 && format!("1{unit}").parse::<Milligrams>().is_ok()
    });
    if tared {
        return Ok(Milligrams::ZERO);
    }
    mass(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn moisture(text: &str) -> f64 {
        text.parse::<Weighing>().unwrap().moisture().get()
    }

    #[test]
    fn readings_are_read_in_order_and_the_last_counts() {
        let weighing: Weighing = "50.0g, 150.0 g,75g,73.4g".parse().unwrap();
        assert_eq!(weighing.pan(), Milligrams::new(50_000));
        assert_eq!(weighing.wet(), Milligrams::new(150_000));
        assert_eq!(
            weighing.dry(),
            [Milligrams::new(75_000), Milligrams::new(73_400)]
        );
        assert!((weighing.moisture().get() - 0.766).abs() < 1e-12);
    }

    #[test]
    fn any_unit_of_mass_will_do() {
        assert!((moisture("0.05kg,150g,73400mg") - 0.766).abs() < 1e-12);
        assert!((moisture("0g,4oz,1oz") - 0.75).abs() < 1e-5);
        assert!((moisture("0.0 g,100g,22g") - 0.78).abs() < 1e-12);
    }

    #[test]
    fn impossible_readings_are_refused_in_words() {
        for (text, words) in [
            ("50g,150g,45g", "pan heavier than pan + dry"),
            ("50g,150g,45g,60g", "pan heavier than pan + dry"),
            ("50g,150g,50g", "moisture of 100 % is not grain"),
            ("50g,150g,151g", "more than the 150 g before drying"),
            ("50g,150g,150g", "moisture of 0 % is not measured"),
            ("150g,150g,100g", "there is no grain in it"),
            ("160g,150g,155g", "there is no grain in it"),
            ("50g,150g", "is not pan, wet and dry"),
            ("50g", "is not pan, wet and dry"),
            ("", "is not pan, wet and dry"),
            ("50,150,73.4", "`50` without a unit"),
            ("50,0g,150,0g,73,4g", "`50` without a unit"),
            ("50g,150g,,", "`` without a unit"),
            ("50g,150g,NaN g", "does not start with a number"),
            ("50g,0g,0g", "not more than nothing"),
            ("-5g,150g,73g", "not more than nothing"),
            ("50g,150g,1e300 g", "exponent"),
        ] {
            let problem = text.parse::<Weighing>().unwrap_err();
            assert!(problem.to_string().contains(words), "{text}: {problem}");
            assert!(!problem.hints().is_empty(), "{text}");
        }
        let problem = "50,150,73.4".parse::<Weighing>().unwrap_err();
        assert!(problem.hints()[0].contains("50.0g,150.0g,73.4g"));
    }

    /// `u(m) = d/√12 · √((1−m)² + 1 + m²) ÷ A`: 0.1 g on 100 g at 50 % gives √1.5 · 0.1/√12/100
    /// (arithmetic).
    #[test]
    fn the_balance_is_as_sure_as_its_last_digit() {
        let weighing: Weighing = "0g,100g,50g".parse().unwrap();
        let found = weighing.balance_uncertainty(Milligrams::new(100));
        assert!((found - 1.5f64.sqrt() * 0.001 / 12f64.sqrt()).abs() < 1e-15);
    }

    proptest! {
        #[test]
        fn whatever_is_let_through_is_grain(
            pan in 0i64..1_000_000,
            wet in 0i64..1_000_000,
            dry in 0i64..1_000_000,
        ) {
            let readings = [pan, wet, dry].map(Milligrams::new);
            let weighing = Weighing::new(readings[0], readings[1], vec![readings[2]]);
            prop_assert_eq!(weighing.is_ok(), pan < dry && dry < wet);
            if let Ok(weighing) = weighing {
                let found = weighing.moisture().get();
                prop_assert!(0.0 < found && found < 1.0);
                let expected = (wet - dry) as f64 / (wet - pan) as f64;
                prop_assert!((found - expected).abs() < 1e-9);
            }
        }
    }
}
