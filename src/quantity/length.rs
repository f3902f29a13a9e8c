//! Lengths as people write them: `8cm`, `80 mm`, `3in`.

use super::{Problem, bounds, decimal};
use std::str::FromStr;
use uom::si::f64;
use uom::si::length::{centimeter, inch, meter};

/// A length between a millimetre and two metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length(f64::Length);

impl Length {
    /// Metres, for models.
    pub fn metres(self) -> f64 {
        self.0.get::<meter>()
    }

    /// Whole micrometres, for the book.
    pub fn micrometres(self) -> i64 {
        (self.metres() * 1e6).round() as i64
    }

    /// From whole micrometres.
    pub fn from_micrometres(micrometres: i64) -> Self {
        Self(f64::Length::new::<meter>(micrometres as f64 / 1e6))
    }

    /// Centimetres, for output.
    pub fn centimetres(self) -> f64 {
        self.0.get::<centimeter>()
    }
}

const EXAMPLE: &str = "8cm, 80mm or 3in";

impl FromStr for Length {
    type Err = Problem;

    /// Reads `8cm`, `80 mm`, `0.3 m`, `3in`.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let (number, unit) = decimal::split_number(text, "length", EXAMPLE)?;
        let shown = decimal::trim(text);
        let value = number.to_f64();
        let length = match unit {
            "mm" => f64::Length::new::<centimeter>(value / 10.0),
            "cm" => f64::Length::new::<centimeter>(value),
            "m" => f64::Length::new::<meter>(value),
            "in" | "\"" | "″" => f64::Length::new::<inch>(value),
            "" => {
                return Err(Problem::new(format!("length `{shown}` has no unit"))
                    .hint(format!("write it like {EXAMPLE}")));
            }
            other => {
                return Err(Problem::new(format!(
                    "length `{shown}` has the unit `{other}`: allowed are mm, cm, m and in"
                ))
                .hint(format!("write it like {EXAMPLE}")));
            }
        };
        bounds::LENGTH.check((length.get::<centimeter>() * 1e6).round() / 1e6)?;
        Ok(Self(length))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// 1 in is 25.4 mm exactly (NIST Special Publication 811, Appendix B.8).
    #[test]
    fn lengths_are_read_with_their_unit() {
        for (text, centimetres) in [
            ("8cm", 8.0),
            ("80 mm", 8.0),
            ("0.3m", 30.0),
            ("1in", 2.54),
            ("2.5\"", 6.35),
        ] {
            let length: Length = text.parse().unwrap();
            assert!((length.centimetres() - centimetres).abs() < 1e-9, "{text}");
        }
    }

    #[test]
    fn doubtful_lengths_are_refused() {
        for text in ["8", "8,5cm", "8ft", "0cm", "-1cm", "3m", "cm", ""] {
            assert!(text.parse::<Length>().is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_the_parser_panic(text in ".{0,40}") {
            let _ = text.parse::<Length>();
        }
    }
}
