//! One pan of grain on the balance: empty, with wet grain, and again while it dries.

use super::clipped;
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
        if wet <= pan {
            return refuse(format!(
                "pan with wet grain weighs {} g and the pan alone {} g: there is no grain in it",
                grams(wet),
                grams(pan)
            ));
        }
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
        let last = self.dry.last().map_or(self.wet, |last| *last);
        clipped((self.wet.get() - last.get()) as f64 / self.sample())
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

impl FromStr for Weighing {
    type Err = Problem;

    /// Reads `PAN,WET,DRY[,DRY…]`, each a mass with its unit.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let text = decimal::trim(text);
        let readings: Vec<&str> = text.split(',').map(decimal::trim).collect();
        let [pan, wet, dry @ ..] = readings.as_slice() else {
            return Err(wrong_shape(text));
        };
        if dry.is_empty() {
            return Err(wrong_shape(text));
        }
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
            .collect::<Result<_, _>>()?;
        Self::new(pan_mass(pan)?, mass(wet)?, dry)
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
