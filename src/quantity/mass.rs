//! Masses: whole milligrams in the book, `uom` masses in the sums, units only at the edges.

use super::{Problem, bounds, decimal};
use std::str::FromStr;
use uom::si::f64::Mass;
use uom::si::mass::{gram, kilogram, milligram};
use uom::si::ratio::ratio;

/// Avoirdupois units at their exact size; `uom`'s own pound and ounce are rounded.
///
/// Source: NIST Special Publication 811, Appendix B: 1 lb = 0.45359237 kg exactly, 1 oz = 1/16 lb.
pub mod exact {
    unit! {
        system: uom::si;
        quantity: uom::si::mass;

        @avoirdupois_pound: 4.535_923_7_E-1; "lb", "pound", "pounds";
        @avoirdupois_ounce: 2.834_952_312_5_E-2; "oz", "ounce", "ounces";
    }
}

/// An amount as the book holds it: whole milligrams, so that sums close exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct Milligrams(i64);

impl Milligrams {
    /// Nothing at all.
    pub const ZERO: Self = Self(0);

    /// Takes a count of milligrams.
    pub const fn new(count: i64) -> Self {
        Self(count)
    }

    /// The count of milligrams.
    pub const fn get(self) -> i64 {
        self.0
    }

    /// Reads a mass that may be nothing: `0`, `0g`, `500 g`.
    ///
    /// # Errors
    ///
    /// Whatever [`Self::from_str`] refuses.
    pub fn or_nothing(text: &str) -> Result<Self, Problem> {
        let bare: String = text.split_whitespace().collect();
        match bare.as_str() {
            "0" | "0mg" | "0g" | "0kg" | "0lb" | "0oz" => Ok(Self::ZERO),
            _ => text.parse(),
        }
    }

    /// Grams, for output in which units are in the names.
    pub fn grams(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// Its text as it is typed, to the milligram: `857.25g`.
    pub fn as_typed(self) -> String {
        format!("{}g", self.grams())
    }

    /// The same amount as a quantity to calculate with.
    pub fn mass(self) -> Mass {
        Mass::new::<milligram>(self.0 as f64)
    }

    /// Rounds a calculated mass to whole milligrams.
    pub fn nearest(mass: Mass) -> Self {
        Self(mass.get::<milligram>().round() as i64)
    }

    /// The nearest to a calculated mass that a scale of this step shows.
    pub fn on_scale(mass: Mass, step: Self) -> Self {
        let step = step.mass();
        Self::nearest(step * (mass / step).get::<ratio>().round())
    }

    /// So much of two parts, as a scale of this step shows them, that together they show as `all` does.
    pub fn parts_on_scale(all: Mass, first: Mass, step: Self) -> [Self; 2] {
        let first = Self::on_scale(first, step);
        [first, Self(Self::on_scale(all, step).0 - first.0)]
    }

    /// Sum, or nothing where it would pass what 64 bits hold.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        self.0.checked_add(other.0).map(Self)
    }

    /// Difference, or nothing where more is taken than there is.
    pub fn taken(self, other: Self) -> Option<Self> {
        self.0
            .checked_sub(other.0)
            .filter(|left| *left >= 0)
            .map(Self)
    }
}

/// Grams of a calculated mass.
pub fn grams(mass: Mass) -> f64 {
    mass.get::<gram>()
}

/// A calculated mass from grams.
pub fn from_grams(value: f64) -> Mass {
    Mass::new::<gram>(value)
}

/// Milligrams in one unit as an exact fraction, or nothing where the unit is unknown.
fn milligrams_per(unit: &str) -> Option<(i128, i128)> {
    Some(match unit {
        "mg" => (1, 1),
        "g" | "gram" | "grams" => (1_000, 1),
        "kg" | "kilo" | "kilos" => (1_000_000, 1),
        "t" => (1_000_000_000, 1),
        "lb" | "lbs" => (45_359_237, 100),
        "oz" => (45_359_237, 1_600),
        _ => return None,
    })
}

const EXAMPLE: &str = "18.4kg, 500g, 40lb or 2lb6oz";

impl FromStr for Milligrams {
    type Err = Problem;

    /// Reads `18.4kg`, `500 g`, `40 lb`, `2lb6oz`. More than nothing, at most 100 t.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let mut total: i128 = 0;
        let mut rest = decimal::trim(text);
        let mut units_seen: Vec<&str> = Vec::new();
        while units_seen.is_empty() || !rest.is_empty() {
            let (number, tail) = decimal::split_number(rest, "mass", EXAMPLE)?;
            // `2lb-6oz` joins its parts by a hyphen; a sign is never meant there.
            if !units_seen.is_empty() && !rest.starts_with(|c: char| c.is_ascii_digit() || c == '.')
            {
                return Err(Problem::new(format!(
                    "mass `{}` has a sign inside",
                    decimal::trim(text)
                ))
                .hint(format!("write it like {EXAMPLE}")));
            }
            let end = tail
                .find(|c: char| !c.is_alphabetic())
                .unwrap_or(tail.len());
            let unit = &tail[..end];
            if unit.is_empty() {
                return Err(
                    Problem::new(format!("mass `{}` has no unit", decimal::trim(text)))
                        .hint(format!("write it like {EXAMPLE}")),
                );
            }
            let Some((top, bottom)) = milligrams_per(unit) else {
                return Err(Problem::new(format!(
                    "mass `{}` has the unit `{unit}`: allowed are mg, g, kg, t, lb, oz",
                    decimal::trim(text)
                ))
                .hint(format!("write it like {EXAMPLE}")));
            };
            // Only pounds with ounces are said in two parts; anything else is a typing error.
            let goes_on = matches!(
                (units_seen.as_slice(), unit),
                ([], _) | (["lb" | "lbs"], "oz")
            );
            if !goes_on {
                return Err(Problem::new(format!(
                    "mass `{}` is not one amount",
                    decimal::trim(text)
                ))
                .hint(format!("write it like {EXAMPLE}")));
            }
            units_seen.push(unit);
            total += number.scaled(top, bottom);
            rest = decimal::trim(&tail[end..]);
        }
        if total <= 0 {
            return Err(Problem::new(format!(
                "mass `{}` is not more than nothing",
                decimal::trim(text)
            ))
            .hint(format!("write it like {EXAMPLE}")));
        }
        let kilograms = Mass::new::<milligram>(total as f64).get::<kilogram>();
        bounds::MASS.check(kilograms)?;
        Ok(Self(total as i64))
    }
}

#[cfg(test)]
mod tests {
    use super::exact::{avoirdupois_ounce, avoirdupois_pound};
    use super::*;
    use proptest::prelude::*;

    fn mg(text: &str) -> i64 {
        text.parse::<Milligrams>().unwrap().get()
    }

    #[test]
    fn nothing_is_read_only_where_it_may_be() {
        for text in ["0", "0g", "0 kg", " 0 oz "] {
            assert_eq!(Milligrams::or_nothing(text), Ok(Milligrams::ZERO), "{text}");
            assert!(text.parse::<Milligrams>().is_err(), "{text}");
        }
        assert_eq!(Milligrams::or_nothing("2 g").map(Milligrams::get), Ok(2000));
        for text in ["", "00g", "0 litres", "-0g", "5"] {
            assert!(Milligrams::or_nothing(text).is_err(), "{text}");
        }
    }

    #[test]
    fn metric_masses_are_exact() {
        assert_eq!(mg("18.4kg"), 18_400_000);
        assert_eq!(mg("500 g"), 500_000);
        assert_eq!(mg("0.1 g"), 100);
        assert_eq!(mg("1.2t"), 1_200_000_000);
    }

    /// NIST Special Publication 811, Appendix B.8: 1 lb = 453.59237 g, 1 oz = 28.349523125 g, exact.
    #[test]
    fn pounds_and_ounces_are_exact() {
        assert_eq!(mg("40lb"), 18_143_695);
        assert_eq!(mg("1 lb"), 453_592);
        assert_eq!(mg("100000 oz"), 2_834_952_313);
        assert_eq!(mg("2lb6oz"), 907_185 + 170_097);
        let pound = Mass::new::<avoirdupois_pound>(1.0);
        assert!((grams(pound) - 453.592_37).abs() < 1e-12);
        let ounce = Mass::new::<avoirdupois_ounce>(1.0);
        assert!((grams(ounce) - 28.349_523_125).abs() < 1e-13);
    }

    #[test]
    fn doubtful_masses_are_refused_with_words_to_type() {
        for text in [
            "18.4",
            "18,4kg",
            "-3kg",
            "0kg",
            "NaN kg",
            "inf kg",
            "1e300 kg",
            "3 stone",
            "2kg3g",
            "1oz2lb",
            "2lb-6oz",
            "2lb+6oz",
            "2lb −6oz",
            "2lb - 6oz",
            "",
            "kg",
            "0.0001mg",
            "200000t",
        ] {
            let problem = text.parse::<Milligrams>().unwrap_err();
            assert!(!problem.to_string().is_empty(), "{text}");
        }
        let problem = "18.4".parse::<Milligrams>().unwrap_err();
        assert_eq!(problem.to_string(), "mass `18.4` has no unit");
        assert_eq!(
            problem.hints(),
            ["write it like 18.4kg, 500g, 40lb or 2lb6oz"]
        );
    }

    #[test]
    fn more_than_there_is_cannot_be_taken() {
        let there = Milligrams::new(5);
        assert_eq!(there.taken(Milligrams::new(5)), Some(Milligrams::ZERO));
        assert_eq!(there.taken(Milligrams::new(6)), None);
    }

    proptest! {
        #[test]
        fn milligrams_survive_the_way_through_text(count in 1i64..=100_000_000_000) {
            prop_assert_eq!(mg(&format!("{count}mg")), count);
            let grams = format!("{}.{:03}g", count / 1000, count % 1000);
            prop_assert_eq!(mg(&grams), count);
            prop_assert_eq!(mg(&Milligrams::new(count).as_typed()), count);
        }

        #[test]
        fn no_text_makes_the_parser_panic(text in ".{0,40}") {
            let _ = text.parse::<Milligrams>();
        }
    }
}
