//! Grist: what was mashed or steeped, each malt or cereal with its share.

use crate::quantity::{Problem, bounds, decimal, text};
use std::fmt;
use std::str::FromStr;

const EXAMPLE: &str =
    "write it like \"pale barley malt 80%, wheat malt 12%, chocolate malt 8%\", or with no shares";

/// What went into the brew, in the order in which it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Grist {
    parts: Vec<Part>,
}

/// One malt or cereal.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is, in the words of who wrote it.
    pub name: String,
    /// Percent of the grist by mass; either all parts have one or none has.
    pub share: Option<f64>,
}

impl Grist {
    /// The malts and cereals, at least one.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }
}

impl FromStr for Grist {
    type Err = Problem;

    /// Reads `pale barley malt 80%, wheat malt 12%` or `pale barley malt, wheat malt`.
    ///
    /// Shares may sum to less than 100 %, since a part may be unknown, never to more.
    fn from_str(typed: &str) -> Result<Self, Problem> {
        let parts = typed
            .split(',')
            .map(Part::from_str)
            .collect::<Result<Vec<_>, _>>()?;
        if let Some(without) = parts.iter().find(|part| part.share.is_none())
            && parts.iter().any(|part| part.share.is_some())
        {
            return Err(refuse(format!(
                "`{}` in the grist has no share while others have one",
                without.name
            )));
        }
        for (index, part) in parts.iter().enumerate() {
            if parts[..index]
                .iter()
                .any(|earlier| earlier.name.eq_ignore_ascii_case(&part.name))
            {
                return Err(refuse(format!("`{}` is in the grist twice", part.name)));
            }
        }
        let sum: f64 = parts.iter().filter_map(|part| part.share).sum();
        if sum > 100.0 + 1e-9 {
            return Err(refuse(format!(
                "shares of the grist sum to {sum}%: at most 100% is allowed"
            )));
        }
        Ok(Self { parts })
    }
}

impl FromStr for Part {
    type Err = Problem;

    fn from_str(typed: &str) -> Result<Self, Problem> {
        let typed = decimal::trim(typed);
        let Some(before) = typed.strip_suffix('%').map(decimal::trim) else {
            // A number without its sign is doubtful: it may be a share, or half of one that was
            // written with a decimal comma.
            let ends_in_number = typed
                .rsplit(char::is_whitespace)
                .next()
                .is_some_and(is_number);
            if ends_in_number || typed.contains('%') {
                return Err(refuse(format!("`{typed}` in the grist does not end in %")));
            }
            return Ok(Self {
                name: checked_name(typed)?,
                share: None,
            });
        };
        let start = before.rfind(|c| !digit_or_point(c)).map_or(0, |at| {
            at + before[at..].chars().next().map_or(0, char::len_utf8)
        });
        let (name, share) = before.split_at(start);
        // `malt -5%` would otherwise read as a malt named `malt -` with 5 %.
        if decimal::trim(name).ends_with(['-', '−', '+']) {
            return Err(refuse(format!("`{typed}` in the grist has a signed share")));
        }
        let (share, _) = decimal::split_number(share, "share of the grist", "wheat malt 12%")?;
        Ok(Self {
            name: checked_name(name)?,
            share: Some(bounds::GRIST_SHARE.check(share.to_f64())?),
        })
    }
}

fn digit_or_point(c: char) -> bool {
    c.is_ascii_digit() || c == '.'
}

fn is_number(word: &str) -> bool {
    !word.is_empty() && word.chars().all(digit_or_point)
}

fn checked_name(name: &str) -> Result<String, Problem> {
    let name = text::checked(name, "name in the grist", text::LONGEST_NAME)
        .map_err(|problem| problem.hint(EXAMPLE))?;
    if name.contains('%') {
        return Err(refuse(format!(
            "`{name}` in the grist has a % inside its name"
        )));
    }
    Ok(name)
}

fn refuse(message: String) -> Problem {
    Problem::new(message).hint(EXAMPLE)
}

impl fmt::Display for Grist {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, part) in self.parts.iter().enumerate() {
            let comma = if index == 0 { "" } else { ", " };
            write!(formatter, "{comma}{}", part.name)?;
            if let Some(share) = part.share {
                write!(formatter, " {share}%")?;
            }
        }
        Ok(())
    }
}
