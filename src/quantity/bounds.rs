//! Ranges with a name: one place holds each limit, its unit and the words of the refusal.

use super::Problem;

/// A named range of allowed values, both ends included unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// What is limited, as the user would call it.
    pub what: &'static str,
    /// The unit of `low` and `high`, for the message.
    pub unit: &'static str,
    /// Lowest allowed value.
    pub low: f64,
    /// Highest allowed value.
    pub high: f64,
    /// Whether the ends themselves are refused.
    pub open: bool,
}

/// Moisture of a grain that is weighed or typed, percent wet basis. 0 % and 100 % are not grain.
pub const MOISTURE: Bounds = Bounds::open("moisture (wet basis)", "%", 0.0, 100.0);
/// Standard deviation of a moisture, percentage points. Wider than this is no measurement.
pub const MOISTURE_SD: Bounds = Bounds::closed("standard deviation of a moisture", "%", 0.0, 20.0);
/// Temperatures a freezer, a kitchen or an oven can show, °C.
pub const TEMPERATURE: Bounds = Bounds::closed("temperature", "°C", -60.0, 300.0);
/// Grain, °C: colder than any freezer, or above the boiling point of its water, is a slip.
pub const GRAIN: Bounds = Bounds::closed("temperature of the grain", "°C", -60.0, 100.0);
/// Temperature of wet grain outside of a freezer, °C: it freezes a little below -1 °C.
pub const UNFROZEN_GRAIN: Bounds = Bounds::closed("temperature of the grain", "°C", -2.0, 100.0);
/// Water activity, a ratio of vapour pressures.
pub const WATER_ACTIVITY: Bounds = Bounds::closed("water activity", "", 0.0, 1.0);
/// Depths and widths of tubs and trays, centimetres.
pub const LENGTH: Bounds = Bounds::closed("length", "cm", 0.1, 200.0);
/// Depth of a layer that cools, centimetres.
pub const DEPTH: Bounds = Bounds::closed("depth", "cm", 0.1, 100.0);
/// What cooling grain stands in, °C: from just above where wet grain freezes to a hot room.
pub const COOLING_PLACE: Bounds = Bounds::closed("temperature of the fridge", "°C", -1.0, 40.0);
/// Wet grain that begins to cool, °C.
pub const COOLING_GRAIN: Bounds = Bounds::closed("temperature of the grain", "°C", -1.0, 100.0);
/// Hydration of a dough on total flour, percent.
pub const HYDRATION: Bounds = Bounds::closed("hydration", "%", 1.0, 300.0);
/// Grain share of total flour, percent.
pub const GRAIN_SHARE: Bounds = Bounds::open("grain share", "%", 0.0, 100.0);
/// Chance of an optional bake to happen, percent.
pub const CHANCE: Bounds = Bounds::closed("chance of an optional bake", "%", 0.0, 100.0);
/// Moisture at which dry grain is counted as flour, percent wet basis.
/// 15.5 % is the most that Codex STAN 152-1985 allows in wheat flour.
pub const FLOUR_BASIS: Bounds = Bounds::closed("flour basis", "%", 0.0, 15.5);
/// One malt's share of a grist, percent.
pub const GRIST_SHARE: Bounds = Bounds::closed("share of the grist", "%", 0.0, 100.0);
/// A share of total flour, percent. Water-rich or seed-rich doughs pass 100 %, none passes three times that.
pub const BAKERS_SHARE: Bounds = Bounds::closed("share of total flour", "%", 0.0, 300.0);
/// Dough or weight lost on the way, percent.
pub const LOSS: Bounds = Bounds::closed("loss", "%", 0.0, 50.0);
/// Masses the book takes, kilograms. A hundred tonnes is more than any bakery's grain.
pub const MASS: Bounds = Bounds {
    what: "mass",
    unit: "kg",
    low: 0.000_001,
    high: 100_000.0,
    open: false,
};

impl Bounds {
    const fn closed(what: &'static str, unit: &'static str, low: f64, high: f64) -> Self {
        Self {
            what,
            unit,
            low,
            high,
            open: false,
        }
    }

    const fn open(what: &'static str, unit: &'static str, low: f64, high: f64) -> Self {
        Self {
            what,
            unit,
            low,
            high,
            open: true,
        }
    }

    /// Lets `value` through or says what was found and what is allowed.
    ///
    /// Infinite and undefined values never pass.
    pub fn check(&self, value: f64) -> Result<f64, Problem> {
        let inside = if self.open {
            self.low < value && value < self.high
        } else {
            self.low <= value && value <= self.high
        };
        if inside {
            return Ok(value);
        }
        let (from, to) = if self.open {
            ("more than ", "less than ")
        } else {
            ("", "")
        };
        let space = if self.unit.len() > 1 { " " } else { "" };
        Err(Problem::new(format!(
            "{} is {}{space}{}: allowed is {from}{}{space}{} to {to}{}{space}{}",
            self.what,
            value,
            self.unit,
            self.low,
            self.unit,
            self.high,
            self.unit,
            space = space
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_of_an_open_range_are_refused() {
        assert!(MOISTURE.check(0.0).is_err());
        assert!(MOISTURE.check(100.0).is_err());
        assert_eq!(MOISTURE.check(99.9), Ok(99.9));
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(TEMPERATURE.check(value).is_err());
        }
    }

    #[test]
    fn message_names_found_and_allowed() {
        assert_eq!(
            MOISTURE.check(120.0).unwrap_err().to_string(),
            "moisture (wet basis) is 120%: allowed is more than 0% to less than 100%"
        );
        assert_eq!(
            TEMPERATURE.check(900.0).unwrap_err().to_string(),
            "temperature is 900 °C: allowed is -60 °C to 300 °C"
        );
    }
}
