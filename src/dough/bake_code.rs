//! Bake codes: `B-12F` is the letter, the number of the bake and a check character.
//!
//! Short enough to say across the bench; a mistyped one is caught as a lot code is.

use crate::grain::check_character::{check_character, holds};
use crate::quantity::{Problem, decimal};
use std::fmt;
use std::str::FromStr;

const EXAMPLE: &str = "write it as it stands on the sheet, like B-1S";

/// Name of a bake: its number in the book, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BakeCode(u32);

impl BakeCode {
    /// The code of a number from 1 on.
    pub const fn new(number: u32) -> Self {
        Self(number)
    }

    /// The number of the bake in the book.
    pub const fn number(self) -> u32 {
        self.0
    }

    /// Whether a text begins like one, so that a command that takes lots and bakes can tell them apart.
    pub fn looks_like(text: &str) -> bool {
        let text = decimal::trim(text).as_bytes();
        matches!(text.first(), Some(b'B' | b'b')) && matches!(text.get(1), Some(b'-' | b'0'..=b'9'))
    }

    /// The code in a text that is written like one and holds nothing else, in the form that is read: `B-1S` of `bake b 1s`.
    /// Its check character may be wrong.
    pub fn written_in(text: &str) -> Option<String> {
        let text = decimal::trim(text).to_ascii_uppercase();
        let code: String = text
            .strip_prefix("BAKE")
            .unwrap_or(&text)
            .chars()
            .filter(|c| !c.is_whitespace() && *c != ':')
            .map(|c| match c {
                '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
                other => other,
            })
            .collect();
        let rest = code.strip_prefix('B')?.trim_start_matches('-');
        let check = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let is_code = check.len() < rest.len()
            && check.len() <= 2
            && check.bytes().all(|byte| byte.is_ascii_alphanumeric());
        is_code.then_some(code)
    }

    /// The code that a text is, however it is written; nothing where it holds anything else.
    pub fn meant_by(text: &str) -> Option<Self> {
        Self::written_in(text)?.parse().ok()
    }
}

impl fmt::Display for BakeCode {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = self.0;
        let check = check_character(&format!("B{number}")).unwrap_or_default();
        formatter.pad(&format!("B-{number}{check}"))
    }
}

impl FromStr for BakeCode {
    type Err = Problem;

    /// Reads `B-12F`, in small letters too, a missing hyphen forgiven.
    fn from_str(text: &str) -> Result<Self, Problem> {
        let typed = decimal::trim(text).to_ascii_uppercase();
        let malformed = || {
            Problem::new(format!(
                "bake `{}` is no code of a bake",
                decimal::trim(text)
            ))
            .hint(EXAMPLE)
        };
        let rest = typed.strip_prefix('B').ok_or_else(malformed)?;
        let rest = rest.strip_prefix('-').unwrap_or(rest);
        let number: u32 = rest
            .split_at_checked(rest.len().saturating_sub(1))
            .map(|(number, _)| number)
            .filter(|number| !number.starts_with('0') && number.len() <= 9)
            .filter(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
            .and_then(|number| number.parse().ok())
            .ok_or_else(malformed)?;
        if holds(&format!("B{rest}")) {
            Ok(Self(number))
        } else {
            Err(Problem::new(format!(
                "bake `{typed}` has the wrong last character: something in it is mistyped"
            ))
            .hint(EXAMPLE))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_code_is_read_back_however_it_is_typed() {
        let code = BakeCode::new(12);
        let text = code.to_string();
        assert!(EXAMPLE.contains(&BakeCode::new(1).to_string()), "{EXAMPLE}");
        for typed in [
            text.clone(),
            text.to_lowercase(),
            text.replace('-', ""),
            format!(" {text} "),
        ] {
            assert_eq!(typed.parse(), Ok(code), "{typed}");
            assert!(BakeCode::looks_like(&typed), "{typed}");
        }
        assert!(!BakeCode::looks_like("BAK-261120-1T"));
    }

    #[test]
    fn a_text_that_is_a_code_alone_is_taken_for_one() {
        for (text, code) in [
            ("B-1S", "B-1S"),
            ("b 2q", "B2Q"),
            ("bake B-2Q", "B-2Q"),
            ("Bake: b - 2 q", "B-2Q"),
            ("B\u{2013}2Q", "B-2Q"),
            ("B-2R", "B-2R"),
            ("B-2", "B-2"),
            ("B-2QQ", "B-2QQ"),
        ] {
            assert_eq!(BakeCode::written_in(text).as_deref(), Some(code), "{text}");
            assert_eq!(BakeCode::meant_by(text), code.parse().ok(), "{text}");
        }
        assert_eq!(BakeCode::meant_by(" b1s "), Some(BakeCode::new(1)));
        assert_eq!(BakeCode::meant_by("B-1S rolls"), None);
        for text in [
            "",
            "B",
            "rolls",
            "B-1S rolls",
            "bake 2",
            "bread",
            "b-side",
            "BAK-261120-1T",
            "rolls for B-1S",
        ] {
            assert_eq!(BakeCode::written_in(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_no_code_is_refused() {
        for typed in [
            "",
            "B",
            "B-",
            "B-1",
            "12K",
            "B-0K",
            "B-é",
            "B--12K",
            "B-99999999999",
        ] {
            assert!(typed.parse::<BakeCode>().is_err(), "{typed}");
        }
    }

    proptest! {
        #[test]
        fn one_wrong_character_is_caught(number in 1u32..100_000, at in 0usize..8, other in "[0-9A-Z]") {
            let code = BakeCode::new(number).to_string();
            let at = 2 + at % (code.len() - 2);
            let mut wrong = code.clone();
            wrong.replace_range(at..=at, &other);
            prop_assume!(wrong != code);
            prop_assert!(wrong.parse::<BakeCode>().is_err(), "{wrong} for {code}");
        }
    }
}
