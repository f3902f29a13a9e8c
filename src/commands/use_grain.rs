//! `use`: draws grain from lots for a bake.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::UseGrain;
use crate::error::usage;
use crate::quantity::{Milligrams, Problem};
use crate::render;
use crate::render::lot::Detail;

/// Take grain off the shelf for a dough
///
/// Grain that is past or unknown at that time is refused, unless the book learned that only later: then it is booked and
/// marked NOT TO BE USED. No option changes that. Several lots: if one is refused, none is taken.
#[derive(clap::Args)]
#[command(
    override_usage = "draff use <LOT> --wet <MASS> --for <TEXT>\n       draff use <LOT> <MASS> [<LOT> <MASS>]… --for <TEXT>",
    after_help = "Example: draff use ALD-261120-1T 2kg ALD-261118-15 1kg --for \"pan loaf\""
)]
pub struct Arguments {
    /// The lot's code; for several lots: code, weight, code, weight
    #[arg(value_name = "LOT", required = true)]
    lots: Vec<String>,

    /// How much wet grain, of one lot
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// What it goes into. The code of a bake that is done adds the grain to that bake, from when its dough was mixed
    #[arg(long = "for", value_name = "TEXT", value_parser = typed::words)]
    bake: String,

    /// When it went into the dough [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let draws = draws(&arguments.lots, arguments.wet).map_err(usage)?;
    let mut desk = errand.desk()?;
    let answer = desk.use_grain(&UseGrain {
        draws: &draws,
        bake: &arguments.bake,
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
    })?;
    if let [lot] = &answer.answer[..] {
        let lot = lot.clone();
        errand.show_lot(&answer.map(|_| lot), Detail::Limit)?;
        return Ok(Outcome::Done);
    }
    let (units, zone) = (errand.units(), desk.zone());
    let detail = errand.detail(Detail::Limit);
    errand.show(
        &answer,
        |lots| render::json::Pickups::new(lots, zone),
        |lots| render::lot::blocks(lots, detail, units, zone),
    )?;
    Ok(Outcome::Done)
}

/// Each lot with how much of it: `LOT` with `--wet`, or `LOT MASS` as often as there are lots.
fn draws(typed: &[String], wet: Option<Milligrams>) -> Result<Vec<(String, Milligrams)>, Problem> {
    match (typed, wet) {
        ([lot], Some(wet)) => return Ok(vec![(lot.clone(), wet)]),
        (_, Some(_)) => {
            return Err(Problem::new("--wet is for one lot")
                .hint("of several lots give each its mass: draff use LOT 2kg LOT 1kg --for TEXT"));
        }
        (_, None) => {}
    }
    typed
        .chunks(2)
        .map(|pair| match pair {
            [lot, mass] => Ok((lot.clone(), mass.parse()?)),
            _ => Err(Problem::new(format!(
                "how much of lot `{}` is used is not said",
                pair.concat()
            ))
            .hint("type its mass after it, with the unit: draff use LOT 2kg --for TEXT")),
        })
        .collect()
}
