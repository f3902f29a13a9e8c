//! Lot codes: `ALD-261120-1T` is source letters, brew date, number and check character.
//!
//! Short enough to write on a tub; sorts by age within a source; a mistyped one is caught.

use super::check_character::{check_character, holds};
use crate::quantity::{Problem, decimal};
use chrono::{Datelike, Days, NaiveDate, NaiveDateTime, Timelike};
use std::fmt;
use std::str::FromStr;

const EXAMPLE: &str = "write it as it stands on the tub, like ALD-261120-1T";
/// Highest number within one source and brew date.
pub const HIGHEST_NUMBER: u32 = 999_999;

/// Name of a lot: three capitals of its source, brew date, and a number within both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LotCode {
    letters: [u8; 3],
    brewed_on: NaiveDate,
    number: u32,
}

/// Why a text is not a lot code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LotCodeProblem {
    /// It does not have the shape of one.
    Malformed(Problem),
    /// The shape is right and the check character is not, so some character is wrong.
    WrongCheck {
        /// What was typed, trimmed and in capitals.
        typed: String,
        /// The code it would be if only the check character were wrong.
        would_be: LotCode,
    },
}

impl LotCode {
    /// Makes a code from three ASCII letters, a brew date of 2000 to 2099 and a number 1 to 999,999.
    pub fn new(letters: &str, brewed_on: NaiveDate, number: u32) -> Result<Self, Problem> {
        let letters = <[u8; 3]>::try_from(letters.as_bytes())
            .ok()
            .filter(|bytes| bytes.iter().all(u8::is_ascii_alphabetic))
            .ok_or_else(|| {
                Problem::new(format!(
                    "source letters `{letters}` are not three letters A to Z"
                ))
            })?
            .map(|byte| byte.to_ascii_uppercase());
        if !(2000..=2099).contains(&brewed_on.year()) {
            return Err(Problem::new(format!(
                "brew date {brewed_on} does not fit a lot code: allowed are the years 2000 to 2099"
            )));
        }
        if !(1..=HIGHEST_NUMBER).contains(&number) {
            return Err(Problem::new(format!(
                "lot number is {number}: allowed is 1 to {HIGHEST_NUMBER}"
            )));
        }
        Ok(Self {
            letters,
            brewed_on,
            number,
        })
    }

    /// Three capitals that stand for the source.
    pub fn letters(&self) -> &str {
        std::str::from_utf8(&self.letters).unwrap_or_default()
    }

    /// The brew day.
    pub fn brewed_on(&self) -> NaiveDate {
        self.brewed_on
    }

    /// Whether this is a code's end as somebody types it: its number and check character at least, and as much
    /// as he likes of what stands before them; hyphens and small letters forgiven.
    pub fn ends_in(&self, typed: &str) -> bool {
        let typed = decimal::trim(typed).to_ascii_uppercase().replace('-', "");
        let code = self.to_string().replace('-', "");
        // Letters and date are nine characters.
        typed.len() >= code.len() - 9 && code.ends_with(&typed)
    }

    /// Number among the lots of this source and brew day, from 1.
    pub fn number(&self) -> u32 {
        self.number
    }
}

impl fmt::Display for LotCode {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let date = (self.brewed_on.year().unsigned_abs() % 100) * 10_000
            + self.brewed_on.month() * 100
            + self.brewed_on.day();
        let mut code = format!("{}{date:06}{}", self.letters(), self.number);
        code.push(check_character(&code).unwrap_or_default());
        // Behind the date, then behind the letters.
        code.insert(9, '-');
        code.insert(3, '-');
        formatter.pad(&code)
    }
}

impl FromStr for LotCode {
    type Err = LotCodeProblem;

    /// Reads `ALD-261120-1T`, in small letters too, blanks around it and missing hyphens forgiven.
    fn from_str(text: &str) -> Result<Self, LotCodeProblem> {
        let typed = decimal::trim(text).to_ascii_uppercase();
        let refuse = |why: &str| {
            LotCodeProblem::Malformed(
                Problem::new(format!("lot code `{}` {why}", decimal::trim(text))).hint(EXAMPLE),
            )
        };
        if !typed.is_ascii() {
            return Err(refuse("holds other characters than letters, digits and -"));
        }
        let (letters, rest) = typed
            .split_at_checked(3)
            .filter(|(letters, _)| letters.bytes().all(|byte| byte.is_ascii_uppercase()))
            .ok_or_else(|| refuse("does not start with three letters"))?;
        let (date, rest) = rest
            .strip_prefix('-')
            .unwrap_or(rest)
            .split_at_checked(6)
            .filter(|(date, _)| date.bytes().all(|byte| byte.is_ascii_digit()))
            .ok_or_else(|| refuse("has no brew date of six digits after its letters"))?;
        let rest = rest.strip_prefix('-').unwrap_or(rest);
        let (number, check) = rest
            .split_at_checked(rest.len().saturating_sub(1))
            .filter(|(number, _)| !number.is_empty())
            .ok_or_else(|| refuse("ends before its number and check character"))?;
        let (number, count) = Some(number)
            .filter(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
            .filter(|number| !number.starts_with('0') && number.len() <= 6)
            .and_then(|number| Some((number, number.parse().ok()?)))
            .ok_or_else(|| refuse("has no number before its check character"))?;
        if !check.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
            return Err(refuse("does not end in a check character"));
        }
        let brewed_on = brew_date(date).ok_or_else(|| refuse("has a date that does not exist"))?;
        let code = Self::new(letters, brewed_on, count).map_err(LotCodeProblem::Malformed)?;
        if holds(&format!("{letters}{date}{number}{check}")) {
            Ok(code)
        } else {
            Err(LotCodeProblem::WrongCheck {
                typed,
                would_be: code,
            })
        }
    }
}

/// Reads `yymmdd` as a day of the years 2000 to 2099.
fn brew_date(digits: &str) -> Option<NaiveDate> {
    let digits: u32 = digits.parse().ok()?;
    NaiveDate::from_ymd_opt(
        2000 + i32::try_from(digits / 10_000).ok()?,
        digits / 100 % 100,
        digits % 100,
    )
}

impl From<LotCodeProblem> for Problem {
    fn from(problem: LotCodeProblem) -> Self {
        match problem {
            LotCodeProblem::Malformed(problem) => problem,
            LotCodeProblem::WrongCheck { typed, would_be } => Problem::new(format!(
                "lot code `{typed}` has a wrong check character: `{would_be}` would be right \
                 if all before it were"
            ))
            .hint("read the code on the tub again, character by character"),
        }
    }
}

/// Three capitals for a new source: the first three ASCII letters of its name if they are free, then
/// its first letter with two later ones, then its first letters filled up from the alphabet.
///
/// `taken` says which are in use. The same name and the same taken ones give the same letters. Should
/// all 17,576 be taken, the last is returned and the book's own rule of one source per three letters
/// refuses it.
pub fn letters_for(name: &str, taken: &dyn Fn(&str) -> bool) -> String {
    let letters: Vec<char> = name
        .chars()
        .filter(char::is_ascii_alphabetic)
        .map(|letter| letter.to_ascii_uppercase())
        .collect();
    // Pairs in reading order begin with the second and third letter, so the plain abbreviation
    // comes first of its own accord.
    let of_the_name = (1..letters.len()).flat_map(|second| {
        let letters = &letters;
        (second + 1..letters.len())
            .map(move |third| String::from_iter([letters[0], letters[second], letters[third]]))
    });
    let filled_up = (0..=letters.len().min(2)).rev().flat_map(|kept| {
        let start = String::from_iter(&letters[..kept]);
        let places = 3 - kept as u32;
        (0..26u32.pow(places)).map(move |index| {
            let fill = (0..places)
                .rev()
                .map(|place| char::from(b'A' + (index / 26u32.pow(place) % 26) as u8));
            start.chars().chain(fill).collect()
        })
    });
    of_the_name
        .chain(filled_up)
        .find(|candidate| !taken(candidate))
        .unwrap_or_else(|| "ZZZ".to_owned())
}

/// The hour at which the night after a brew day is over, and a mash is one of the next day: judgement.
const NIGHT_ENDS: u32 = 6;

/// Whether mashing that was over at this time of the clock was of this brew day: on it, or in the night after it.
pub fn is_of_brew_day(mashed: NaiveDateTime, brewed_on: NaiveDate) -> bool {
    let is_next_night = mashed.date() == brewed_on + Days::new(1) && mashed.hour() < NIGHT_ENDS;
    mashed.date() == brewed_on || is_next_night
}

#[cfg(test)]
mod tests;
