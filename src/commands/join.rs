//! `join`: puts lots together. What comes of it is as old, and as bad, as the worst of them.

use super::hold_back::refuse_for_a_bake;
use super::{Outcome, gather, promised, typed};
use crate::context::Errand;
use crate::ledger::{Act, Joined, LotRecord};
use crate::quantity::{Instant, Problem};
use crate::render::numbers::Units;

/// Put lots together into one, which keeps the earliest date of them
///
/// All that is left of each goes in. Every rule is kept for each of them as if all of the grain had its
/// history. Grain that is past or unknown is refused: it would spoil the rest.
#[derive(clap::Args)]
#[command(after_help = "Example: draff join ALD-261120-1T ALD-261120-2R --to fridge")]
pub struct Arguments {
    /// The lots' codes, two or more
    #[arg(value_name = "LOT", required = true, num_args = 1..=50)]
    lots: Vec<String>,

    /// The place the lot lies in [default: where all of them are]
    #[arg(long, value_name = "PLACE")]
    to: Option<String>,

    /// When they were put together [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let units = Units::of(errand.options.us);
    let at = errand.past_or_now(arguments.at.as_deref(), "--at", &zone)?;
    let signature = errand.signature(&zone)?;
    let joined = promised::act(errand, &mut book, &signature, |act| {
        act.refuse_future(at)?;
        let lots = arguments
            .lots
            .iter()
            .map(|code| act.view().lot(code))
            .collect::<anyhow::Result<Vec<_>>>()?;
        together(
            act,
            &lots,
            at,
            (arguments.to.as_deref(), "--to"),
            arguments.note.as_deref(),
            units,
        )
    })?;
    let answer = gather::answer(book.view(), joined.lot, signature.now)?;
    gather::print_lot(errand, book.view(), &answer)?;
    let parts: Vec<String> = joined
        .parts
        .iter()
        .map(|(lot, wet)| format!("{} of {}", units.weighed(*wet), lot.code))
        .collect();
    errand.say(&format!("joined {}", parts.join(" and ")));
    Ok(Outcome::Done)
}

/// Puts lots together that may still be used. Where the joined lot lies is named, with the option that names
/// it, or all of them lie there.
pub fn together(
    act: &mut Act<'_>,
    lots: &[LotRecord],
    at: Instant,
    (to, option): (Option<&str>, &str),
    note: Option<&str>,
    units: Units,
) -> anyhow::Result<Joined> {
    let places = act.view().places()?;
    let mut lies_in: Vec<String> = Vec::new();
    for lot in lots {
        // Neither when they were put together nor by what is known now.
        for moment in [at, act.now()] {
            let answer = gather::answer(act.view(), lot.clone(), moment)?;
            refuse_for_a_bake(&answer, units, &act.view().about().zone)?;
        }
        lies_in.extend(act.view().held(lot, &places)?.map(|(_, name, _)| name));
    }
    lies_in.dedup();
    let to = match (to, lies_in.as_slice()) {
        (Some(to), _) => act.view().place(to)?,
        (None, [only]) => act.view().place(only)?,
        (None, several) => {
            return Err(Problem::new(format!(
                "the lots lie in {}: where the joined lot lies is not said",
                several.join(", ")
            ))
            .hint(format!("add {option} PLACE"))
            .into());
        }
    };
    act.join(lots, at, &to, note)
}
