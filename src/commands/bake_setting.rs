//! What a bake is to be: options of `bake add` and `bake change`.

use super::typed;
use crate::context::Errand;
use crate::desk::{AddBake, Answer, BakeWishes, ChangeBake, Desk};
use crate::dough::timetable::Point;
use crate::error::usage;
use crate::quantity::fraction::Percent;
use crate::quantity::{Instant, Milligrams, Problem, bounds, when};
use crate::report::bake::BakeAnswer;
use clap::ArgAction;

/// `bake add`.
#[derive(clap::Args)]
pub struct Add {
    /// A formula of the book
    #[arg(value_name = "FORMULA")]
    formula: String,

    /// When, and what happens then: mix, in-oven or ready, such as --at "sat 07:30" ready
    #[arg(long, num_args = 2, required = true, value_names = ["WHEN", "POINT"], action = ArgAction::Set)]
    at: Vec<String>,

    #[command(flatten)]
    asked: Asked,
}

/// `bake change`.
#[derive(clap::Args)]
pub struct Change {
    /// The bake's code, such as B-1S; `draff bake list` shows the bakes to come
    #[arg(value_name = "BAKE")]
    bake: String,

    /// When, and what happens then: mix, in-oven or ready
    #[arg(long, num_args = 2, value_names = ["WHEN", "POINT"], action = ArgAction::Set)]
    at: Option<Vec<String>>,

    /// Another version of its formula
    #[arg(long, value_name = "NUMBER")]
    version: Option<u32>,

    /// Of whatever lots suit it, no longer of named ones
    #[arg(long, conflicts_with = "lot")]
    any_lot: bool,

    #[command(flatten)]
    asked: Asked,
}

/// Options of both.
#[derive(clap::Args)]
struct Asked {
    /// How many pieces [default: the formula's]
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pieces: Option<u32>,

    /// Raw weight of one piece [default: the formula's]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    piece: Option<Milligrams>,

    /// Dry grain as a share of total flour [default: what the formula wants]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    share: Option<Percent>,

    /// It is baked in any case
    #[arg(long, conflicts_with = "optional")]
    firm: bool,

    /// It is baked if there is grain for it
    #[arg(long)]
    optional: bool,

    /// A lot it is to be made of; several are used up in the order given
    #[arg(long, value_name = "LOT")]
    lot: Vec<String>,

    /// The largest number of lots in it
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=100))]
    most_lots: Option<u32>,

    /// A cereal or another allergen that must not be in its grain, such as wheat; gluten stands for every cereal with it
    #[arg(long, value_name = "CEREAL", value_parser = typed::name)]
    free_of: Option<String>,

    /// Anything else
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

impl Asked {
    fn wishes(self) -> anyhow::Result<BakeWishes> {
        let share = self
            .share
            .map(|share| share.within(&bounds::GRAIN_SHARE))
            .transpose()
            .map_err(usage)?;
        Ok(BakeWishes {
            pieces: self.pieces,
            piece: self.piece,
            share,
            firm: match (self.firm, self.optional) {
                (true, _) => Some(true),
                (false, true) => Some(false),
                (false, false) => None,
            },
            lots: self.lot,
            most_lots: self.most_lots,
            free_of: self.free_of,
            note: self.note,
        })
    }
}

impl Add {
    /// Plans the bake.
    pub fn run(self, errand: &mut Errand<'_>) -> anyhow::Result<Answer<BakeAnswer>> {
        let wishes = self.asked.wishes()?;
        let mut desk = errand.desk()?;
        desk.add_bake(&AddBake {
            formula: &self.formula,
            at: moment(&self.at, &desk)?,
            wishes: &wishes,
        })
    }
}

impl Change {
    /// Changes the bake.
    pub fn run(self, errand: &mut Errand<'_>) -> anyhow::Result<Answer<BakeAnswer>> {
        let wishes = self.asked.wishes()?;
        let mut desk = errand.desk()?;
        let at = self.at.map(|typed| moment(&typed, &desk)).transpose()?;
        desk.change_bake(&ChangeBake {
            bake: &self.bake,
            at,
            version: self.version,
            any_lot: self.any_lot,
            wishes: &wishes,
        })
    }
}

/// Reads `"sat 07:30" ready`.
fn moment(typed: &[String], desk: &Desk) -> anyhow::Result<(Instant, Point)> {
    let [at, point] = typed else {
        return Err(usage(Problem::new(
            "--at takes a time and what happens then",
        )));
    };
    let named = |problem: Problem| usage(problem.within("--at"));
    Ok((
        when::coming(at, desk.now(), desk.zone()).map_err(named)?,
        point.parse().map_err(named)?,
    ))
}
