//! Exact decimal numbers and the split of `18.4kg` into number and unit.
//!
//! A mass goes from text to whole milligrams without passing through floating point, so what the
//! scale showed is what the book holds.

use super::Problem;

/// An exact decimal: `digits ÷ 10^scale`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimal {
    digits: i128,
    scale: u32,
}

/// No quantity of this trade needs more digits, and this many cannot overflow.
const MOST_DIGITS: usize = 15;

impl Decimal {
    /// The value as floating point.
    pub fn to_f64(self) -> f64 {
        self.digits as f64 / 10f64.powi(self.scale as i32)
    }

    /// `self × numerator ÷ denominator`, rounded half away from zero to a whole number.
    pub fn scaled(self, numerator: i128, denominator: i128) -> i128 {
        let top = self.digits * numerator;
        let bottom = 10i128.pow(self.scale) * denominator;
        let half = bottom / 2;
        if top < 0 {
            (top - half) / bottom
        } else {
            (top + half) / bottom
        }
    }

    /// Adds a whole number given on the same footing, used for `°F − 32`.
    #[must_use]
    pub fn plus(self, whole: i128) -> Self {
        Self {
            digits: self.digits + whole * 10i128.pow(self.scale),
            scale: self.scale,
        }
    }
}

/// Splits the first number off `text` and returns it with what follows it.
///
/// Plain digits with at most one decimal point. A comma or an exponent is doubtful and refused.
pub fn split_number<'a>(
    text: &'a str,
    what: &str,
    example: &str,
) -> Result<(Decimal, &'a str), Problem> {
    let text = trim(text);
    let refuse = |why: &str| {
        Problem::new(format!("{what} `{text}` {why}")).hint(format!("write it like {example}"))
    };
    let (sign, unsigned) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let end = unsigned
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(unsigned.len());
    let (number, rest) = unsigned.split_at(end);
    let mut after = rest.chars();
    if number.is_empty() {
        return Err(refuse("does not start with a number"));
    }
    if after.next() == Some(',') {
        return Err(refuse(
            "has a comma: a decimal point is meant, or no separator at all",
        ));
    }
    if rest.starts_with(['e', 'E'])
        && rest[1..].starts_with(|c: char| c.is_ascii_digit() || c == '+' || c == '-')
    {
        return Err(refuse("has an exponent: write the number out"));
    }
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    if fraction.contains('.') || (whole.is_empty() && fraction.is_empty()) {
        return Err(refuse("is not a number"));
    }
    if whole.trim_start_matches('0').len() + fraction.len() > MOST_DIGITS {
        return Err(refuse("has more digits than any scale shows"));
    }
    let digits = whole
        .bytes()
        .chain(fraction.bytes())
        .fold(0, |sum, digit| sum * 10 + i128::from(digit - b'0'));
    let number = Decimal {
        digits: sign * digits,
        scale: fraction.len() as u32,
    };
    Ok((number, trim(rest)))
}

/// Trims white space, the non-breaking kinds that spreadsheets insert included.
pub fn trim(text: &str) -> &str {
    text.trim_matches(|c: char| {
        c.is_whitespace() || c == '\u{a0}' || c == '\u{202f}' || c == '\u{feff}'
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(text: &str) -> Result<(f64, String), String> {
        split_number(text, "mass", "18.4kg")
            .map(|(n, rest)| (n.to_f64(), rest.to_owned()))
            .map_err(|problem| problem.to_string())
    }

    #[test]
    fn number_and_unit_come_apart() {
        assert_eq!(split("18.4kg"), Ok((18.4, "kg".into())));
        assert_eq!(split(" 500\u{a0}g "), Ok((500.0, "g".into())));
        assert_eq!(split("-18 °C"), Ok((-18.0, "°C".into())));
        assert_eq!(split(".5kg"), Ok((0.5, "kg".into())));
    }

    #[test]
    fn doubtful_numbers_are_refused() {
        for text in [
            "18,4kg",
            "NaN kg",
            "inf kg",
            "1e300 kg",
            "1.2.3kg",
            ".",
            "",
            "1234567890123456kg",
        ] {
            assert!(split(text).is_err(), "{text}");
        }
    }

    #[test]
    fn scaling_rounds_half_away_from_zero() {
        let (number, _) = split_number("2.5", "n", "1").unwrap();
        assert_eq!(number.scaled(1, 1), 3);
        let (number, _) = split_number("-2.5", "n", "1").unwrap();
        assert_eq!(number.scaled(1, 1), -3);
    }
}
