//! `hold-back`: how much water to pour and how much to hold back, with a lot or with no book at all.

use super::{Outcome, settings, typed};
use crate::context::Errand;
use crate::desk::{WaterOf, hold_back_of};
use crate::dough::hold_back::{FlourAmount, GrainAmount};
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, WetBasis, bounds};
use crate::render;
use crate::render::lot::Detail;

/// Work out the water of one dough: what to pour and hold back
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("grain").required(true).args(["wet", "share"]),
    group = clap::ArgGroup::new("flours").required(true).args(["flour", "total_flour"]),
    group = clap::ArgGroup::new("water of the grain").required(true).args(["lot", "moisture"]),
    override_usage = "draff hold-back (<LOT> | --moisture <PERCENT>)\n                       (--wet <MASS> | --share <PERCENT>)\n                       (--flour <MASS> | --total-flour <MASS>)\n                       --hydration <PERCENT>",
    after_help = "Example: draff hold-back --moisture 77% --moisture-sd 1% --wet 435g --flour 900g --hydration 70%"
)]
pub struct Arguments {
    /// The lot's code, as `draff shelf` shows it; without a book give --moisture instead
    #[arg(value_name = "LOT", conflicts_with = "moisture")]
    lot: Option<String>,

    /// Wet grain to use
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// Dry grain as a share of total flour; the wet grain follows from it
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    share: Option<Percent>,

    /// Flour from the bag
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    flour: Option<Milligrams>,

    /// Flour and dry grain together; the flour from the bag follows from it
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    total_flour: Option<Milligrams>,

    /// All water, also that in the grain, per 100 of flour plus dry grain
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    hydration: Percent,

    /// How wet the grain is where there is no lot: water per 100 of wet grain, such as 77%
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    moisture: Option<Percent>,

    /// How sure you are of it: the standard deviation in points. Leave it out unless you know how far your tests differ [default: 0.54%, that of one tested sample]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "moisture", conflicts_with = "lot", allow_hyphen_values = true)]
    moisture_sd: Option<Percent>,

    /// Leave it as it is, unless your formula counts dry grain as flour of 14% moisture
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, default_value = "0%", allow_hyphen_values = true)]
    flour_basis: Percent,

    /// How much more water dry grain drinks than flour: published (from published trials, narrowed by your own bakes where you noted their water), or none to leave it out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let answer = match (&arguments.lot, arguments.moisture) {
        (Some(lot), _) => {
            let desk = errand.desk()?;
            desk.hold_back(lot, dough(&arguments).map_err(usage)?)?
        }
        (None, Some(moisture)) => {
            let (moisture, from) =
                typed::moisture(moisture, arguments.moisture_sd).map_err(usage)?;
            let dough = dough(&arguments).map_err(usage)?;
            hold_back_of(dough, moisture, from, &settings::of_house(errand)?)?
        }
        (None, None) => {
            return Err(usage(Problem::new("neither a lot nor --moisture is given")));
        }
    };
    let (units, detail) = (errand.units(), errand.detail(Detail::Limit));
    errand.show(
        &answer,
        |found| {
            let known = (found.moisture.standard, found.from);
            render::json::HoldBackSum::new(&found.sum, known, &found.unfinished)
        },
        |found| render::hold_back::text(found, detail, units),
    )?;
    Ok(Outcome::Done)
}

fn dough(arguments: &Arguments) -> Result<WaterOf, Problem> {
    let grain = match (arguments.wet, arguments.share) {
        (Some(wet), _) => GrainAmount::Wet(wet.mass()),
        (None, Some(share)) => GrainAmount::Share(share.within(&bounds::GRAIN_SHARE)?),
        (None, None) => return Err(Problem::new("neither --wet nor --share is given")),
    };
    let flour = match (arguments.flour, arguments.total_flour) {
        (Some(flour), _) => FlourAmount::Bag(flour.mass()),
        (None, Some(total)) => FlourAmount::Total(total.mass()),
        (None, None) => return Err(Problem::new("neither --flour nor --total-flour is given")),
    };
    Ok(WaterOf {
        grain,
        flour,
        hydration: arguments.hydration.within(&bounds::HYDRATION)?,
        flour_basis: WetBasis::new(arguments.flour_basis.within(&bounds::FLOUR_BASIS)?)?,
        thirst: arguments.thirst,
    })
}
