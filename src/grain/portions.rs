//! Portions of a lot: how many of which weight.

use crate::quantity::{Milligrams, Problem};
use std::str::FromStr;

/// So many portions of one weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Portions {
    /// How many.
    pub number: u32,
    /// What each weighs.
    pub each: Milligrams,
}

impl Portions {
    /// The most portions in one act: more is a typing error.
    pub const MOST: u32 = 200;
}

impl FromStr for Portions {
    type Err = Problem;

    /// Reads `8x500g`, `8 × 500 g`.
    fn from_str(text: &str) -> Result<Self, Problem> {
        const EXAMPLE: &str = "write it like 8x500g";
        let (number, each) = text.split_once(['x', 'X', '×']).ok_or_else(|| {
            Problem::new(format!(
                "portions `{text}` have no x between number and weight"
            ))
            .hint(EXAMPLE)
        })?;
        let number = number
            .trim()
            .parse()
            .ok()
            .filter(|number| (1..=Self::MOST).contains(number))
            .ok_or_else(|| {
                Problem::new(format!(
                    "number of portions is `{}`: allowed is 1 to {}",
                    number.trim(),
                    Self::MOST
                ))
                .hint(EXAMPLE)
            })?;
        Ok(Self {
            number,
            each: each.parse()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn portions_are_read_and_slips_refused() {
        let eight = Portions {
            number: 8,
            each: Milligrams::new(500_000),
        };
        for text in ["8x500g", "8 × 500 g", " 8X0.5kg"] {
            assert_eq!(text.parse::<Portions>().unwrap(), eight, "{text}");
        }
        for text in [
            "", "8", "x500g", "0x500g", "-1x500g", "8x", "8x500", "201x1g", "1.5x1kg",
        ] {
            assert!(text.parse::<Portions>().is_err(), "{text}");
        }
    }
}
