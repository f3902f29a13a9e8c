//! Numbers with their unit, and no more digits than they have.

use crate::grain::moisture_test::Unfinished;
use crate::grain::{DryGrain, Estimate, LotCode, possible_range};
use crate::quantity::mass::exact::{avoirdupois_ounce, avoirdupois_pound};
use crate::quantity::temperature::Limit;
use crate::quantity::text::{count, trimmed};
use crate::quantity::{Milligrams, Temperature, Uncertain, WetBasis};
use uom::si::f64::Mass;
use uom::si::mass::{gram, kilogram};
use uom::si::ratio::ratio;

mod mass_unit;

pub use mass_unit::{MassUnit, column};

/// What calculating may put an amount off by, in steps of what is shown: far less than a milligram.
const NOISE_OF_A_STEP: f64 = 1e-6;

/// Which units the user reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units {
    /// Kilograms, grams, °C.
    Metric,
    /// Pounds, ounces, °F.
    Us,
}

/// Decimal places that show a half-width with one digit, or with two where it begins with 1 or 2.
fn places_for(half_width: f64) -> usize {
    if !half_width.is_finite() || half_width <= 0.0 {
        return 2;
    }
    let exponent = libm::log10(half_width).floor();
    let leading = half_width / libm::pow(10.0, exponent);
    let digits = if leading < 2.95 { 1.0 } else { 0.0 };
    (digits - exponent).clamp(0.0, 4.0) as usize
}

impl Units {
    /// Chooses by `--us`.
    pub const fn of(us: bool) -> Self {
        if us { Self::Us } else { Self::Metric }
    }

    /// The letter of the scale of temperatures.
    pub const fn scale_letter(self) -> &'static str {
        match self {
            Self::Metric => "C",
            Self::Us => "F",
        }
    }

    /// The usual unit of a mass.
    pub const fn mass_unit(self) -> &'static str {
        match self {
            Self::Metric => "g",
            Self::Us => "lb",
        }
    }

    /// The unit in which a weighed amount is shown.
    pub fn weighed_unit(self, wet: Milligrams) -> &'static str {
        match (self, self.is_in_the_larger_unit(wet)) {
            (Self::Metric, true) => "kg",
            (Self::Metric, false) => "g",
            (Self::Us, true) => "lb",
            (Self::Us, false) => "oz",
        }
    }

    fn is_in_the_larger_unit(self, wet: Milligrams) -> bool {
        match self {
            Self::Metric => wet.mass().get::<kilogram>() >= 1.0,
            Self::Us => wet.mass().get::<avoirdupois_pound>() >= 1.0,
        }
    }

    /// A weighed amount as it was weighed: `18.4 kg`, `500 g`, `40 lb`.
    pub fn weighed(self, wet: Milligrams) -> String {
        let mass = wet.mass();
        match self {
            Self::Metric if self.is_in_the_larger_unit(wet) => {
                format!("{} kg", trimmed(mass.get::<kilogram>(), 3))
            }
            // A scale for yeast shows milligrams; nothing that was weighed is shown as nothing.
            Self::Metric if mass.get::<gram>() < 10.0 => {
                format!("{} g", trimmed(mass.get::<gram>(), 3))
            }
            Self::Metric => format!("{} g", trimmed(mass.get::<gram>(), 1)),
            Self::Us if self.is_in_the_larger_unit(wet) => {
                format!("{} lb", trimmed(mass.get::<avoirdupois_pound>(), 2))
            }
            // Tenths of an ounce do not show yeast, nor the step of a scale.
            Self::Us if wet > Milligrams::ZERO && mass.get::<avoirdupois_ounce>() < 0.95 => {
                format!(
                    "{:.2} oz ({} g)",
                    mass.get::<avoirdupois_ounce>(),
                    trimmed(mass.get::<gram>(), 3)
                )
            }
            Self::Us => format!("{} oz", trimmed(mass.get::<avoirdupois_ounce>(), 1)),
        }
    }

    /// One unit for masses that stand together: that of the largest.
    pub fn unit_of(self, masses: impl IntoIterator<Item = Mass>) -> MassUnit {
        let (small, large, least) = match self {
            Self::Metric => (
                MassUnit::Gram,
                MassUnit::Kilogram,
                Mass::new::<kilogram>(1.0),
            ),
            Self::Us => (
                MassUnit::Ounce,
                MassUnit::Pound,
                Mass::new::<avoirdupois_pound>(1.0),
            ),
        };
        let is_large = |mass: Mass| mass >= least || -mass >= least;
        if masses.into_iter().any(is_large) {
            large
        } else {
            small
        }
    }

    /// A limit, by its own °F partner where there is one.
    pub fn limit(self, limit: Limit) -> String {
        match (self, limit.in_fahrenheit()) {
            (Self::Us, Some(partner)) => self.temperature(partner),
            _ => self.temperature(limit.in_celsius()),
        }
    }

    /// The same as it is typed: `18.4kg`.
    pub fn typed(self, wet: Milligrams) -> String {
        let shown = match self.weighed(wet) {
            small if small.ends_with(')') => Self::Metric.weighed(wet),
            shown => shown,
        };
        shown.replace(' ', "")
    }

    /// A calculated amount to weigh: to the gram, or to the tenth of an ounce.
    pub fn to_weigh(self, mass: Mass) -> String {
        match self {
            // Above what a bench scale takes, bakers speak of kilograms; a gram is still shown.
            Self::Metric if mass.get::<gram>() >= 4999.5 => {
                format!("{} kg", trimmed(mass.get::<kilogram>(), 3))
            }
            Self::Metric => format!("{:.0} g", mass.get::<gram>()),
            // Yeast and salt are below what tenths of an ounce show.
            Self::Us if mass.get::<gram>() > 0.0 && mass.get::<avoirdupois_ounce>() < 0.95 => {
                format!(
                    "{:.2} oz ({:.1} g)",
                    mass.get::<avoirdupois_ounce>(),
                    mass.get::<gram>()
                )
            }
            Self::Us => {
                let tenths = (mass.get::<avoirdupois_ounce>() * 10.0).round();
                let pounds = (tenths / 160.0).floor();
                let ounces = trimmed((tenths - pounds * 160.0) / 10.0, 1);
                if pounds == 0.0 {
                    format!("{ounces} oz")
                } else {
                    format!("{pounds} lb {ounces} oz")
                }
            }
        }
    }

    /// A calculated amount among others of one dough: to the gram, however much it is, so that all are in one unit.
    pub fn on_the_bench(self, mass: Mass) -> String {
        match self {
            Self::Metric => format!("{:.0} g", mass.get::<gram>()),
            Self::Us => self.to_weigh(mass),
        }
    }

    /// The largest amount of those that [`Self::to_weigh`] shows that is no more than this.
    pub fn to_weigh_at_most(self, mass: Mass) -> String {
        let step = self.step_to_weigh(mass);
        self.to_weigh(step * ((mass / step).get::<ratio>() + NOISE_OF_A_STEP).floor())
    }

    /// The smallest amount of those that [`Self::to_weigh`] shows that is no less than this.
    pub fn to_weigh_at_least(self, mass: Mass) -> String {
        let step = self.step_to_weigh(mass);
        self.to_weigh(step * ((mass / step).get::<ratio>() - NOISE_OF_A_STEP).ceil())
    }

    /// The step in which [`Self::to_weigh`] shows an amount of this size.
    fn step_to_weigh(self, mass: Mass) -> Mass {
        match self {
            Self::Metric => Mass::new::<gram>(1.0),
            Self::Us if mass.get::<avoirdupois_ounce>() < 0.95 => {
                Mass::new::<avoirdupois_ounce>(0.01)
            }
            Self::Us => Mass::new::<avoirdupois_ounce>(0.1),
        }
    }

    /// An exact amount, two places behind the point.
    pub fn exactly(self, mass: Mass) -> String {
        match self {
            Self::Metric => format!("{:.2} g", mass.get::<gram>()),
            // A hundredth of an ounce is coarser than what rounding changes of yeast.
            Self::Us if mass.get::<avoirdupois_ounce>() < 0.95 => format!(
                "{:.2} oz ({:.2} g)",
                mass.get::<avoirdupois_ounce>(),
                mass.get::<gram>()
            ),
            Self::Us => format!("{:.2} oz", mass.get::<avoirdupois_ounce>()),
        }
    }

    /// Dry grain alone, as precise as it is known: `4.0 kg`.
    pub fn dry(self, dry: &DryGrain) -> String {
        let (value, _, _, unit) = self.range_numbers(dry);
        format!("{value} {unit}")
    }

    /// Dry grain with its 95 % range: `4.0 kg (2.7 to 5.4 kg)`.
    pub fn dry_with_range(self, dry: &DryGrain) -> String {
        let (value, low, high, unit) = self.range_numbers(dry);
        format!("{value} {unit} ({low} to {high} {unit})")
    }

    fn range_numbers(self, dry: &DryGrain) -> (String, String, String, &'static str) {
        let (unit, scale): (_, fn(Mass) -> f64) = match self {
            Self::Metric if dry.best.get::<kilogram>() >= 1.0 => {
                ("kg", |mass| mass.get::<kilogram>())
            }
            Self::Metric => ("g", |mass| mass.get::<gram>()),
            Self::Us if dry.best.get::<avoirdupois_pound>() >= 1.0 => {
                ("lb", |mass| mass.get::<avoirdupois_pound>())
            }
            Self::Us => ("oz", |mass| mass.get::<avoirdupois_ounce>()),
        };
        let half = (scale(dry.high) - scale(dry.low)) / 2.0;
        let places = places_for(half);
        let show = |mass| format!("{:.places$}", scale(mass));
        (show(dry.best), show(dry.low), show(dry.high), unit)
    }

    /// A temperature: `4.2 °C`, `39.6 °F`.
    pub fn temperature(self, temperature: Temperature) -> String {
        match self {
            Self::Metric => format!("{} °C", trimmed(temperature.degrees_celsius(), 1)),
            Self::Us => format!("{} °F", trimmed(temperature.degrees_fahrenheit(), 1)),
        }
    }
}

impl Units {
    /// A temperature that is set by a knob, as of an oven: whole degrees of Fahrenheit.
    pub fn oven(self, temperature: Temperature) -> String {
        match self {
            Self::Metric => self.temperature(temperature),
            Self::Us => format!("{:.0} °F", temperature.degrees_fahrenheit()),
        }
    }

    /// A difference of temperatures: `6.4 °C`, `11.5 °F`.
    pub fn difference(self, kelvin: f64) -> String {
        match self {
            Self::Metric => format!("{} °C", trimmed(kelvin, 1)),
            Self::Us => format!("{} °F", trimmed(kelvin * 1.8, 1)),
        }
    }
}

/// A moisture with its 95 % range: `78 ± 7 %`, or `82 % (43 to 95 %)` where grain cannot be what ± says.
pub fn moisture(moisture: &Uncertain) -> String {
    let half = moisture.expanded() * 100.0;
    let places = places_for(half);
    let value = moisture.value * 100.0;
    let (low, high) = possible_range(moisture);
    if (low.get(), high.get()) == moisture.range() {
        return format!("{value:.places$} ± {half:.places$} %");
    }
    let (low, high) = (low.percent(), high.percent());
    // No grain is water alone: an end that would be rounded to that is shown finer.
    let places = places + usize::from(format!("{high:.places$}").starts_with("100"));
    format!("{value:.places$} % ({low:.places$} to {high:.places$} %)")
}

/// Moistures of samples side by side: `77.07 %, 76.97 %`.
pub fn samples(samples: &[WetBasis]) -> String {
    let shown: Vec<String> = samples
        .iter()
        .map(|sample| format!("{:.2} %", sample.percent()))
        .collect();
    shown.join(", ")
}

/// A fraction in percent with at most one decimal: `76.9 %`.
pub fn percent(fraction: f64) -> String {
    format!("{} %", trimmed(fraction * 100.0, 1))
}

/// The largest fraction that [`percent`] shows that is no more than this; nothing where that is none.
pub fn percent_at_most(fraction: f64) -> Option<f64> {
    // What calculating may put it off by must not cost a tenth.
    let tenths = (fraction * 1000.0 + 1e-10).floor();
    (tenths > 0.0).then_some(tenths / 1000.0)
}

/// A fraction in percent with one decimal always, where several stand side by side: `77.0 %`.
pub fn tenths(fraction: f64) -> String {
    format!("{:.1} %", fraction * 100.0)
}

/// A share of flour or dough in percent, finer where it is small: yeast is a matter of hundredths.
pub fn share(fraction: f64) -> String {
    let places = if fraction < 0.1 { 2 } else { 1 };
    format!("{:.places$} %", fraction * 100.0)
}

/// The estimate and where it comes from: `78 ± 7 %, not tested`.
pub fn estimate(estimate: &Estimate) -> String {
    let unfinished = if estimate.unfinished.samples > 0 {
        format!("; {}", unfinished(&estimate.unfinished))
    } else {
        String::new()
    };
    format!(
        "{}, {}{unfinished}",
        moisture(&estimate.moisture),
        known_from(estimate.from.as_key())
    )
}

/// Where a moisture is known from, in words, by its keys in JSON: one, or one for each of several lots.
pub fn known_from(keys: &str) -> String {
    let words = |key: &str| -> Option<&'static str> {
        match key {
            "test" => Some("tested"),
            "published default" | "no published composition" => Some("not tested"),
            // Those that were brewed later count as well.
            "test and earlier lots" => Some("test and other lots"),
            "earlier lots" => Some("from other lots"),
            "lots of other sources" => Some("from lots of other sources"),
            "given" => Some("as you typed it"),
            "given, with the spread of one tested sample" => {
                Some("as you typed it, with the spread of one tested sample")
            }
            _ => None,
        }
    };
    words(keys).map_or_else(
        || {
            let each = keys.split(", ").map(|key| words(key).unwrap_or(key));
            each.collect::<Vec<_>>().join(", ")
        },
        str::to_owned,
    )
}

/// Samples whose drying has not ended: `1 sample still drying, at least 62.6 %`.
pub fn unfinished(unfinished: &Unfinished) -> String {
    let at_least = unfinished.at_least.map_or(String::new(), |least| {
        format!(", at least {}", percent(least.get()))
    });
    format!(
        "{} still drying{at_least}",
        count(unfinished.samples, "sample")
    )
}

/// The same of lots in a dough: `ALD-261120-1T: 1 sample still drying, at least 62.6 %`.
pub fn drying(lots: &[(LotCode, Unfinished)]) -> Vec<String> {
    let of_lot = |(lot, samples): &(LotCode, Unfinished)| format!("{lot}: {}", unfinished(samples));
    lots.iter().map(of_lot).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_more_digits_than_the_range_has() {
        assert_eq!(moisture(&Uncertain::known(0.78, 0.0375)), "78 ± 7 %");
        assert_eq!(moisture(&Uncertain::known(0.7692, 0.0054)), "76.9 ± 1.1 %");
        assert_eq!(moisture(&Uncertain::known(0.7692, 0.002)), "76.9 ± 0.4 %");
        assert_eq!(moisture(&Uncertain::known(0.76923, 0.0)), "76.92 ± 0.00 %");
    }

    #[test]
    fn masses_that_stand_together_have_one_unit() {
        let shown = |units: Units, grams: &[f64]| -> Vec<String> {
            let masses = grams.iter().map(|grams| Mass::new::<gram>(*grams));
            let unit = units.unit_of(masses.clone());
            masses.map(|mass| unit.shown(mass)).collect()
        };
        assert_eq!(
            shown(Units::Metric, &[844.4, -2529.0, 0.4, 0.0]),
            ["0.844 kg", "−2.529 kg", "0.0004 kg", "0 kg"]
        );
        assert_eq!(
            shown(Units::Metric, &[844.4, 8.26, 0.0]),
            ["844 g", "8.3 g", "0 g"]
        );
        assert_eq!(
            shown(Units::Us, &[907.18474, 100.0, 10.0]),
            ["2 lb", "0.22 lb", "0.02 lb"]
        );
        assert_eq!(shown(Units::Us, &[100.0, 10.0]), ["3.53 oz", "0.35 oz"]);
    }

    #[test]
    fn masses_are_shown_as_weighed() {
        let weighed = |mg| Units::Metric.weighed(Milligrams::new(mg));
        assert_eq!(weighed(18_400_000), "18.4 kg");
        assert_eq!(weighed(500_000), "500 g");
        assert_eq!(weighed(12_345_678), "12.346 kg");
        assert_eq!(Units::Us.weighed("40lb".parse().unwrap()), "40 lb");
        assert_eq!(
            Units::Us.to_weigh("2lb6oz".parse::<Milligrams>().unwrap().mass()),
            "2 lb 6 oz"
        );
        let yeast = "0.6g".parse::<Milligrams>().unwrap();
        assert_eq!(Units::Us.to_weigh(yeast.mass()), "0.02 oz (0.6 g)");
        assert_eq!(Units::Us.to_weigh(Mass::default()), "0 oz");
        assert_eq!(Units::Us.exactly(yeast.mass()), "0.02 oz (0.60 g)");
        assert_eq!(Units::Us.exactly(Mass::new::<gram>(100.0)), "3.53 oz");
        assert_eq!(Units::Us.weighed(yeast), "0.02 oz (0.6 g)");
        assert_eq!(Units::Us.typed(yeast), "0.6g");
        assert_eq!(Units::Us.typed("40lb".parse().unwrap()), "40lb");
        assert_eq!(Units::Us.weighed(Milligrams::ZERO), "0 oz");
        assert_eq!(Units::Us.oven("218C".parse().unwrap()), "424 °F");
        assert_eq!(Units::Us.temperature("41F".parse().unwrap()), "41 °F");
    }
}
