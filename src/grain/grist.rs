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

impl Grist {
    /// The grist of grain put together of several brews, each with its part of the whole by mass.
    ///
    /// Shares are those of the mixture, rounded to a hundredth of a percent; they still add up to the same. Where
    /// one brew has none, none is left. Every name stays.
    pub fn mixed(brews: &[(f64, Self)]) -> Option<Self> {
        let all: f64 = brews.iter().map(|(mass, _)| mass).sum();
        let known = brews
            .iter()
            .all(|(_, grist)| grist.parts.iter().all(|part| part.share.is_some()));
        let mut parts: Vec<Part> = Vec::new();
        for (mass, grist) in brews {
            for part in &grist.parts {
                let share = part.share.filter(|_| known).map(|share| share * mass / all);
                let same = |other: &&mut Part| other.name.eq_ignore_ascii_case(&part.name);
                match parts.iter_mut().find(same) {
                    Some(there) => {
                        there.share = there.share.zip(share).map(|(one, other)| one + other);
                    }
                    None => parts.push(Part {
                        name: part.name.clone(),
                        share,
                    }),
                }
            }
        }
        round(&mut parts);
        (!parts.is_empty()).then_some(Self { parts })
    }

    /// Whether it is the other, each share rounded up or down to a hundredth of a percent.
    pub fn is_rounded_like(&self, other: &Self) -> bool {
        let differs = |one: &Part, other: &Part| match (one.share, other.share) {
            (Some(one), Some(other)) => (one - other).abs() > 0.01 + 1e-6,
            (one, other) => one != other,
        };
        self.parts.len() == other.parts.len()
            && self
                .parts
                .iter()
                .zip(&other.parts)
                .all(|(one, other)| one.name == other.name && !differs(one, other))
    }
}

/// Rounds shares to hundredths of a percent that sum to what all do: the largest rests are rounded up.
fn round(parts: &mut [Part]) {
    const STEPS: f64 = 100.0;
    // A whole number that came out a hair too small stays what it is.
    let whole = |share: f64| (share * STEPS + 1e-6).floor();
    let mut shares: Vec<&mut f64> = parts
        .iter_mut()
        .filter_map(|part| part.share.as_mut())
        .collect();
    let all: f64 = shares.iter().map(|share| **share).sum();
    let down: f64 = shares.iter().map(|share| whole(**share)).sum();
    let up = ((all * STEPS).round() - down).max(0.0) as usize;
    let rest = |share: f64| share * STEPS - whole(share);
    shares.sort_by(|one, other| rest(**other).total_cmp(&rest(**one)));
    for (place, share) in shares.into_iter().enumerate() {
        let step = if place < up { 1.0 } else { 0.0 };
        *share = (whole(*share) + step) / STEPS;
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn canonical(text: &str) -> String {
        text.parse::<Grist>().unwrap().to_string()
    }

    #[test]
    fn a_mixture_names_everything_that_is_in_it() {
        let grist = |text: &str| text.parse::<Grist>().unwrap();
        let mixed = |brews: &[(f64, &str)]| {
            let brews: Vec<(f64, Grist)> = brews
                .iter()
                .map(|(mass, text)| (*mass, grist(text)))
                .collect();
            Grist::mixed(&brews).unwrap().to_string()
        };
        assert_eq!(
            mixed(&[
                (3.0, "barley malt 80%, wheat malt 20%"),
                (1.0, "Barley malt 100%")
            ]),
            "barley malt 85%, wheat malt 15%"
        );
        assert_eq!(
            mixed(&[(1.0, "barley malt 100%"), (1.0, "rye malt")]),
            "barley malt, rye malt"
        );
        let thirds = mixed(&[(1.0, "a 100%"), (1.0, "b 100%"), (1.0, "c 100%")]);
        assert_eq!(thirds, "a 33.34%, b 33.33%, c 33.33%");
        assert_eq!(grist(&thirds).to_string(), thirds);
        // 16 kg of barley malt and 5 kg with 30 % of wheat: 19.5 and 1.5 parts of 21.
        let rounded = mixed(&[
            (16.0, "barley malt 100%"),
            (5.0, "barley malt 70%, wheat malt 30%"),
        ]);
        assert_eq!(rounded, "barley malt 92.86%, wheat malt 7.14%");
        let cut = grist("barley malt 92.85%, wheat malt 7.14%");
        assert!(grist(&rounded).is_rounded_like(&cut));
        for other in [
            "barley malt 92.84%, wheat malt 7.14%",
            "barley malt 92.86%, rye malt 7.14%",
            "barley malt 92.86%",
            "barley malt, wheat malt",
        ] {
            assert!(!grist(&rounded).is_rounded_like(&grist(other)), "{other}");
        }
        assert_eq!(Grist::mixed(&[]), None);
    }

    #[test]
    fn malts_and_shares_are_read_in_order() {
        let grist: Grist = "pale barley malt 80%, wheat malt 12%, chocolate malt 8%"
            .parse()
            .unwrap();
        let parts: Vec<_> = grist
            .parts()
            .iter()
            .map(|part| (part.name.as_str(), part.share))
            .collect();
        assert_eq!(
            parts,
            [
                ("pale barley malt", Some(80.0)),
                ("wheat malt", Some(12.0)),
                ("chocolate malt", Some(8.0)),
            ]
        );
    }

    #[test]
    fn a_grist_is_given_back_in_one_spelling() {
        for (typed, expected) in [
            ("barley malt", "barley malt"),
            (" barley malt ,wheat", "barley malt, wheat"),
            ("wheat malt 12.50 %,  rye 7%", "wheat malt 12.5%, rye 7%"),
            ("crystal 60 8%", "crystal 60 8%"),
            ("blé malté 100%", "blé malté 100%"),
            ("rye80%", "rye 80%"),
            ("a 33.3%, b 33.3%, c 33.4%", "a 33.3%, b 33.3%, c 33.4%"),
        ] {
            assert_eq!(canonical(typed), expected);
            assert_eq!(canonical(expected), expected);
        }
    }

    #[test]
    fn doubtful_grists_are_refused_with_an_example() {
        for text in [
            "",
            "pale malt 80%,",
            "pale malt 80%, wheat malt",
            "pale malt 80%, wheat malt 30%",
            "pale malt 80%, wheat malt 20.1%",
            "pale malt 80, wheat malt 20",
            "pale malt 80,5%, wheat malt 19.5%",
            "pale malt -5%",
            "80%",
            "pale 80% malt",
            "pale 80% malt 20%",
            "pale malt 1.2.3%",
            "pale malt 50%, Pale Malt 30%",
            "pale\nmalt 50%",
        ] {
            let problem = text.parse::<Grist>().unwrap_err();
            assert!(!problem.hints().is_empty(), "{text}: {problem}");
        }
        assert!("pale malt 120%".parse::<Grist>().is_err());
        assert!(format!("{} 5%", "x".repeat(61)).parse::<Grist>().is_err());
    }

    proptest! {
        #[test]
        fn no_text_makes_the_parser_panic(text in "[a-zé0-9%,. \u{1}−-]{0,40}") {
            if let Ok(grist) = text.parse::<Grist>() {
                prop_assert_eq!(grist.to_string().parse::<Grist>(), Ok(grist));
            }
        }
    }
}
