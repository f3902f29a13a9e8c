//! Temperatures in thousandths of a degree Celsius, with the scale they were read on.
//!
//! Limits are compared, so a temperature is a whole number here: floating kelvins do not come back
//! bit-exact. The scale is kept because rule texts round their pairs (70 °F is not 21 °C) and a
//! reading is judged on the scale it was taken with.

use super::{Problem, bounds, decimal};
use std::str::FromStr;
use uom::si::f64::ThermodynamicTemperature;
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit};

/// The scale of a thermometer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scale {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// A temperature as it was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Temperature {
    milli_celsius: i32,
    scale: Scale,
}

impl Temperature {
    /// A reading in thousandths of a degree Celsius and the scale it was read on.
    pub const fn new(milli_celsius: i32, scale: Scale) -> Self {
        Self {
            milli_celsius,
            scale,
        }
    }

    /// Whole degrees Celsius, for constants.
    pub const fn celsius(degrees: i32) -> Self {
        Self::new(degrees * 1000, Scale::Celsius)
    }

    /// Thousandths of a degree Celsius.
    pub const fn milli_celsius(self) -> i32 {
        self.milli_celsius
    }

    /// The scale it was read on.
    pub const fn scale(self) -> Scale {
        self.scale
    }

    /// Degrees Celsius, for models and output.
    pub fn degrees_celsius(self) -> f64 {
        f64::from(self.milli_celsius) / 1000.0
    }

    /// The same, if grain can be so warm.
    pub fn of_grain(self) -> Result<Self, Problem> {
        bounds::GRAIN
            .check(self.degrees_celsius())
            .map_err(|problem| {
                problem.hint(
                    "read the thermometer again, and type it with its point and unit, like 24.0C",
                )
            })?;
        Ok(self)
    }

    /// The same, if wet grain that never lay in a freezer can be so cold.
    pub fn of_unfrozen_grain(self) -> Result<Self, Problem> {
        self.of_grain()?;
        bounds::UNFROZEN_GRAIN
            .check(self.degrees_celsius())
            .map_err(|problem| {
                problem.hint(
                    "it would be a block of ice: read the thermometer again, and type it with its unit, like 19.5C or 67F",
                )
            })?;
        Ok(self)
    }

    /// Degrees Fahrenheit, for output.
    pub fn degrees_fahrenheit(self) -> f64 {
        ThermodynamicTemperature::new::<degree_celsius>(self.degrees_celsius())
            .get::<degree_fahrenheit>()
    }

    /// The warmer of two.
    #[must_use]
    pub fn warmer(self, other: Self) -> Self {
        if other.milli_celsius > self.milli_celsius {
            other
        } else {
            self
        }
    }

    /// The colder of two.
    #[must_use]
    pub fn colder(self, other: Self) -> Self {
        if other.milli_celsius < self.milli_celsius {
            other
        } else {
            self
        }
    }
}

/// A limit as a rule text prints it: in °C and, where the text gives one, its own °F partner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    celsius: Temperature,
    fahrenheit: Option<Temperature>,
}

impl Limit {
    /// A limit in °C with an optional °F partner that holds for readings taken in °F.
    pub const fn new(celsius: Temperature, fahrenheit: Option<Temperature>) -> Self {
        Self {
            celsius,
            fahrenheit,
        }
    }

    /// The limit in °C.
    pub const fn in_celsius(self) -> Temperature {
        self.celsius
    }

    /// Its °F partner, where the text gives one.
    pub const fn in_fahrenheit(self) -> Option<Temperature> {
        self.fahrenheit
    }

    fn thousandths_for(self, scale: Scale) -> i32 {
        match (scale, self.fahrenheit) {
            (Scale::Fahrenheit, Some(partner)) => partner.milli_celsius,
            _ => self.celsius.milli_celsius,
        }
    }

    /// Whether `reading` is at or below the limit.
    pub fn at_or_below(self, reading: Temperature) -> bool {
        reading.milli_celsius <= self.thousandths_for(reading.scale)
    }

    /// Whether `reading` is at or above the limit.
    pub fn at_or_above(self, reading: Temperature) -> bool {
        reading.milli_celsius >= self.thousandths_for(reading.scale)
    }
}

const EXAMPLE: &str = "4C, 4.2C, -18C or 39F";

impl FromStr for Temperature {
    type Err = Problem;

    /// Reads `4C`, `4.2 °C`, `-18C`, `39F`, `39 °F`.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let (number, unit) = decimal::split_number(text, "temperature", EXAMPLE)?;
        let shown = decimal::trim(text);
        let (thousandths, scale) = match unit {
            "C" | "c" | "°C" | "°c" | "℃" => (number.scaled(1000, 1), Scale::Celsius),
            "F" | "f" | "°F" | "°f" | "℉" => {
                (number.plus(-32).scaled(5000, 9), Scale::Fahrenheit)
            }
            "" => {
                return Err(Problem::new(format!("temperature `{shown}` has no unit"))
                    .hint(format!("write it like {EXAMPLE}")));
            }
            other => {
                return Err(Problem::new(format!(
                    "temperature `{shown}` has the unit `{other}`: allowed are C and F"
                ))
                .hint(format!("write it like {EXAMPLE}")));
            }
        };
        bounds::TEMPERATURE.check(thousandths as f64 / 1000.0)?;
        Ok(Self::new(thousandths as i32, scale))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Temperature {
        text.parse().unwrap()
    }

    /// °C = (°F − 32) · 5/9, NIST Special Publication 811, Appendix B.8.
    #[test]
    fn both_scales_are_read_exactly() {
        assert_eq!(read("4.2C").milli_celsius(), 4_200);
        assert_eq!(read("-18 °C").milli_celsius(), -18_000);
        assert_eq!(read("41F").milli_celsius(), 5_000);
        assert_eq!(read("212 °F").milli_celsius(), 100_000);
        assert_eq!(read("39F").milli_celsius(), 3_889);
        assert!((read("78.8F").degrees_celsius() - 26.0).abs() < 1e-9);
        assert!((read("26C").degrees_fahrenheit() - 78.8).abs() < 1e-9);
    }

    /// Common practice, no source: 450 °F is called 230 °C, 390 °F is called 200 °C.
    #[test]
    fn oven_pairs_agree_within_what_an_oven_holds() {
        assert!((read("450F").degrees_celsius() - 230.0).abs() < 3.0);
        assert!((read("390F").degrees_celsius() - 200.0).abs() < 3.0);
    }

    #[test]
    fn doubtful_temperatures_are_refused() {
        for text in ["4", "4K", "hot", "", "4,2C", "400C", "-100C"] {
            assert!(text.parse::<Temperature>().is_err(), "{text}");
        }
    }

    #[test]
    fn a_reading_is_judged_on_its_own_scale() {
        let limit = Limit::new(read("21C"), Some(read("70F")));
        assert!(limit.at_or_below(read("70F")));
        assert!(!limit.at_or_below(read("21.1C")));
        let plain = Limit::new(read("21C"), None);
        assert!(!plain.at_or_below(read("70F")));
    }
}
