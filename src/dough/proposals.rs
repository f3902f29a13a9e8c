//! What bakes say of the losses and the mixing heat that a formula states: figures for a person to accept into a new version.

use super::formula::Formula;
use crate::quantity::{Problem, Uncertain};

/// So many of the newest bakes count: an older oven or baker says little about the next one. Our choice.
pub const NEWEST: usize = 30;
/// Of fewer bakes nothing is proposed: judgement.
const FEWEST: usize = 5;

/// A figure that a formula states.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// Weight lost in the oven and while cooling, ÷ raw dough.
    BakeLoss,
    /// Dough lost between bowl and tin, ÷ mixed dough.
    HandlingLoss,
    /// By how many kelvins mixing warms the dough.
    MixingRise,
}

impl Figure {
    /// Each.
    pub const ALL: [Self; 3] = [Self::BakeLoss, Self::HandlingLoss, Self::MixingRise];

    /// Its key in a formula's file.
    pub const fn as_key(self) -> &'static str {
        match self {
            Self::BakeLoss => "bake_loss",
            Self::HandlingLoss => "handling_loss",
            Self::MixingRise => "mixing_rise",
        }
    }

    /// What a formula states.
    pub const fn stated(self, formula: &Formula) -> Option<f64> {
        match self {
            Self::BakeLoss => Some(formula.bake_loss),
            Self::HandlingLoss => Some(formula.handling_loss),
            Self::MixingRise => formula.mixing_rise,
        }
    }

    /// The smallest difference that is worth a new version: judgement.
    const fn worth(self) -> f64 {
        match self {
            Self::BakeLoss | Self::HandlingLoss => 0.005,
            Self::MixingRise => 0.5,
        }
    }

    /// As it is written in a formula's file: percent or kelvins, to a tenth.
    pub fn written(self, value: f64) -> String {
        match self {
            Self::BakeLoss | Self::HandlingLoss => format!("{:.1}%", value.max(0.0) * 100.0),
            Self::MixingRise => format!("{:.1}K", value.max(0.0)),
        }
    }
}

/// A bake whose pieces were counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountedBake {
    /// Pieces that its dough was for.
    pub planned: u32,
    /// Pieces that came out of the oven.
    pub came_out: u32,
    /// What its formula stated as handling loss.
    pub handling_loss: f64,
    /// What the pieces weighed, baked, ÷ what as many weighed raw; nothing where nobody weighed them.
    pub left: Option<f64>,
}

impl CountedBake {
    /// The part of the raw weight that the oven took.
    pub fn bake_loss(&self) -> Option<f64> {
        self.left.map(|left| 1.0 - left)
    }

    /// The part of the dough that became no piece: it was mixed for so many, with the stated loss on top.
    pub fn handling_loss(&self) -> Option<f64> {
        let part = f64::from(self.came_out) / f64::from(self.planned);
        (self.planned > 0).then_some(1.0 - part * (1.0 - self.handling_loss))
    }
}

/// What bakes say of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proposal {
    /// Which.
    pub figure: Figure,
    /// What the formula states.
    pub stated: Option<f64>,
    /// Mean of the bakes, with its range; nothing of too few.
    pub found: Option<Uncertain>,
    /// How many bakes it rests on.
    pub bakes: usize,
    /// How many bakes are left out because their version names another mixer.
    pub of_other_mixers: usize,
}

impl Proposal {
    /// From what each bake that counts says of it.
    pub fn of(figure: Figure, formula: &Formula, values: &[f64], of_other_mixers: usize) -> Self {
        Self {
            figure,
            stated: figure.stated(formula),
            found: mean(values),
            bakes: values.len(),
            of_other_mixers,
        }
    }

    /// The figure to accept: where the stated one lies outside the range of the bakes' mean, and far enough from it.
    pub fn proposed(&self) -> Option<f64> {
        let found = self.found?;
        let apart = self
            .stated
            .map_or(f64::INFINITY, |stated| (stated - found.value).abs());
        (apart > found.expanded() && apart >= self.figure.worth()).then_some(found.value)
    }
}

/// The mean of equally good values, its standard uncertainty s ÷ √n with n − 1 degrees of freedom (JCGM 100:2008, 4.2).
fn mean(values: &[f64]) -> Option<Uncertain> {
    if values.len() < FEWEST {
        return None;
    }
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    Some(Uncertain {
        value: mean,
        standard: (squares / (count - 1.0) / count).sqrt(),
        freedom: count - 1.0,
    })
}

/// The text of a formula's file with what is proposed in place of what it states; all else stays as it was written.
pub fn accepted(text: &str, proposals: &[Proposal]) -> Result<String, Problem> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for proposal in proposals {
        let Some(value) = proposal.proposed() else {
            continue;
        };
        let (key, written) = (proposal.figure.as_key(), proposal.figure.written(value));
        let tables = lines
            .iter()
            .position(|line| line.trim_start().starts_with('['));
        let tables = tables.unwrap_or(lines.len());
        let states = |line: &String| {
            let rest = line.trim_start().strip_prefix(key);
            rest.is_some_and(|rest| rest.trim_start().starts_with('='))
        };
        match lines[..tables].iter().position(states) {
            Some(at) => {
                let (before, rest) = lines[at].split_once('=').unwrap_or((&lines[at], ""));
                let comment = rest.find('#').map_or("", |from| &rest[from..]);
                let line = format!("{}= \"{written}\"  {comment}", before);
                lines[at] = line.trim_end().to_owned();
            }
            None => lines.insert(tables, format!("{key} = \"{written}\"\n")),
        }
    }
    let text = lines.join("\n") + "\n";
    let formula = Formula::from_text(&text)?;
    for proposal in proposals {
        let (figure, written) = (
            proposal.figure,
            proposal
                .proposed()
                .map(|value| proposal.figure.written(value)),
        );
        let stated = figure.stated(&formula).map(|value| figure.written(value));
        if written.is_some() && written != stated {
            return Err(Problem::new(format!(
                "{} of this file cannot be replaced",
                figure.as_key()
            ))
            .hint("change it by hand in the file of the formula"));
        }
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAF: &str = "# A loaf.\nname = \"loaf\"\nhydration = \"70%\"\npieces = 4\npiece = \"800g\"\nbake_loss = \"12%\"   # of the old oven\n\n[grain]\nlowest = \"4%\"\nwanted = \"8%\"\nhighest = \"10%\"\n\n[[flour]]\nname = \"bread flour\"\nshare = \"92%\"\n";

    fn proposal(figure: Figure, values: &[f64]) -> Proposal {
        Proposal::of(figure, &Formula::from_text(LOAF).unwrap(), values, 0)
    }

    /// By hand: mean 0.14, s² = 4e-4 ÷ 4, standard 0.01 ÷ √5 = 0.00447; t of 4 degrees of freedom is 2.776.
    #[test]
    fn a_mean_has_the_range_of_its_bakes() {
        let found = proposal(Figure::BakeLoss, &[0.14, 0.15, 0.13, 0.15, 0.13])
            .found
            .unwrap();
        assert!((found.value - 0.14).abs() < 1e-12);
        assert!(
            (found.expanded() - 2.776 * 0.004_472).abs() < 1e-5,
            "{}",
            found.expanded()
        );
    }

    #[test]
    fn what_is_stated_is_left_where_bakes_do_not_contradict_it() {
        let of = |values: &[f64]| proposal(Figure::BakeLoss, values).proposed();
        assert_eq!(of(&[0.14, 0.141, 0.139, 0.14]), None, "too few");
        assert_eq!(
            of(&[0.10, 0.14, 0.12, 0.13, 0.14]),
            None,
            "within the range"
        );
        assert_eq!(
            of(&[0.123, 0.123, 0.123, 0.123, 0.123]),
            None,
            "not worth a version"
        );
        assert_eq!(of(&[0.14, 0.14, 0.14, 0.14, 0.14]), Some(0.14));
        assert_eq!(
            proposal(Figure::MixingRise, &[6.0; 5]).proposed(),
            Some(6.0),
            "nothing is stated"
        );
    }

    #[test]
    fn losses_follow_from_pieces_and_weights() {
        let bake = CountedBake {
            planned: 10,
            came_out: 9,
            handling_loss: 0.02,
            left: Some(0.87),
        };
        assert!((bake.bake_loss().unwrap() - 0.13).abs() < 1e-12);
        // Dough for ten with 2 % on top: 9 pieces are 0.9 × 0.98 of it.
        assert!((bake.handling_loss().unwrap() - 0.118).abs() < 1e-12);
    }

    #[test]
    fn only_what_is_accepted_changes_in_the_file() {
        let proposals = [
            proposal(Figure::BakeLoss, &[0.14; 6]),
            proposal(Figure::HandlingLoss, &[0.001; 6]),
            proposal(Figure::MixingRise, &[6.25; 6]),
        ];
        let text = accepted(LOAF, &proposals).unwrap();
        let formula = Formula::from_text(&text).unwrap();
        assert!((formula.bake_loss - 0.14).abs() < 1e-9);
        assert_eq!(formula.mixing_rise, Some(6.2));
        assert!(
            text.contains("bake_loss = \"14.0%\"  # of the old oven\n"),
            "{text}"
        );
        let old: Vec<&str> = LOAF.lines().collect();
        let kept = old
            .iter()
            .filter(|line| text.lines().any(|new| new == **line))
            .count();
        assert_eq!(kept, old.len() - 1);
        assert_eq!(accepted(LOAF, &[]).unwrap(), LOAF);
    }
}
