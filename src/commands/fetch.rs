//! `fetch`: how much wet grain to take at the next pickup.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::FetchOf;
use crate::error::usage;
use crate::quantity::fraction::Percent;
use crate::quantity::{bounds, when};
use crate::render;
use crate::render::lot::Detail;

/// Work out how much wet grain to take next time
///
/// What the bakes want, what is on hand and how long it keeps, how moist the next lot may be and which
/// optional bakes happen: the amount that comes out best on average over samples of all that.
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff fetch --from \"Alder Lane\" --at \"sat 12:00\"\n\nA seed gives the same samples each time; another seed shows how much the answer hangs on them."
)]
pub struct Arguments {
    /// The brewery, or your own brewhouse [default: where the last lot came from]
    #[arg(long, value_name = "SOURCE", value_parser = typed::name)]
    from: Option<String>,

    /// When it is fetched [default: tomorrow at noon]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// When mashing is over [default: when it is fetched]
    #[arg(long, value_name = "WHEN")]
    mash_out: Option<String>,

    /// Days to look at, today counted
    #[arg(long, value_name = "NUMBER", default_value_t = 14, value_parser = clap::value_parser!(u32).range(1..=60))]
    days: u32,

    /// The chance of each optional bake to happen
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, default_value = "50%", allow_hyphen_values = true)]
    chance: Percent,

    /// How many samples
    #[arg(long, value_name = "NUMBER", default_value_t = 200, value_parser = clap::value_parser!(u32).range(20..=5000))]
    samples: u32,

    /// Random seed of the samples
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let chance = arguments
        .chance
        .within(&bounds::CHANCE)
        .map_err(|problem| usage(problem.within("--chance")))?;
    let desk = errand.desk()?;
    let zone = desk.zone();
    let coming = |option: &'static str, typed: &Option<String>| {
        typed
            .as_deref()
            .map(|typed| when::coming(typed, desk.now(), zone))
            .transpose()
            .map_err(|problem| usage(problem.within(option)))
    };
    let answer = desk.fetch(
        FetchOf {
            from: arguments.from.as_deref(),
            at: coming("--at", &arguments.at)?,
            mash_out: coming("--mash-out", &arguments.mash_out)?,
            days: arguments.days,
            chance,
            samples: arguments.samples,
            seed: arguments.seed,
        },
        &mut errand.watch(),
    )?;
    let (units, detail) = (errand.units(), errand.detail(Detail::Limit));
    errand.show(
        &answer,
        |fetch| render::json::fetch::Fetch::new(fetch, zone),
        |fetch| render::fetch::text(fetch, detail, units, zone),
    )?;
    Ok(Outcome::Done)
}
