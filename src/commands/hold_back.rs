//! `hold-back`: how much water to pour and how much to hold back, with a lot or with no book at all.

use super::gather::Gatherer;
use super::lots_in_dough::refuse_used_up;
use super::{Outcome, typed};
use crate::context::Errand;
use crate::dough::hold_back::{self, FlourAmount, GrainAmount, Request};
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::keeping::Verdict;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Uncertain, WetBasis, Zone, bounds};
use crate::render::{self, lot, numbers::Units};
use crate::report::{Caution, LotAnswer};

/// Work out the water of one dough: what to weigh, what to pour, what to hold back
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("grain").required(true).args(["wet", "share"]),
    group = clap::ArgGroup::new("flours").required(true).args(["flour", "total_flour"]),
    group = clap::ArgGroup::new("water of the grain").required(true).args(["lot", "moisture"]),
    override_usage = "draff hold-back (<LOT> | --moisture <PERCENT>) (--wet <MASS> | --share <PERCENT>)\n                       (--flour <MASS> | --total-flour <MASS>) --hydration <PERCENT>",
    after_help = "Example: draff hold-back --moisture 77% --moisture-sd 1% --wet 435g --flour 900g --hydration 70%"
)]
pub struct Arguments {
    /// The lot's code; without a book give --moisture instead
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

    /// All dough water, that in the grain included, on total flour
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    hydration: Percent,

    /// Moisture of the grain, wet basis, where there is no lot
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    moisture: Option<Percent>,

    /// Its standard deviation, in points [default: 0.54%, that of one tested sample]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "moisture", conflicts_with = "lot", allow_hyphen_values = true)]
    moisture_sd: Option<Percent>,

    /// Moisture of the flour that dry grain is counted as: 0% is bone-dry, 14% the usual flour basis
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, default_value = "0%", allow_hyphen_values = true)]
    flour_basis: Percent,

    /// The thirst of dry grain beyond flour: published, or none to leave it out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,
}

/// A moisture and the words for where it comes from.
struct Grain {
    moisture: Uncertain,
    name: String,
    from: &'static str,
    left: Option<Milligrams>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let grain = match &arguments.lot {
        Some(lot) => of_lot(lot, errand)?,
        None => typed_moisture(&arguments).map_err(usage)?,
    };
    let request = request(&arguments, grain.moisture).map_err(usage)?;
    let units = Units::of(errand.options.us);
    let sum = hold_back::reckon(&request)
        .map_err(|refusal| render::hold_back::refusal(refusal, units))?;
    if let Some(left) = grain.left.filter(|left| sum.wet > left.mass()) {
        errand.warn(&format!("only {} of that lot is left", units.weighed(left)));
    }
    let text = if errand.options.json {
        render::json::text(&render::json::HoldBackSum::new(
            &sum,
            grain.moisture.standard,
            grain.from,
        ))?
    } else {
        render::hold_back::text(&sum, &grain.name, grain.from, units)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// The moisture of a lot from the book. A lot that may not be used gets no sum.
fn of_lot(code: &str, errand: &mut Errand<'_>) -> anyhow::Result<Grain> {
    let book = errand.open_book()?;
    let view = book.view();
    let about = view.about();
    let now = errand.now(&about.zone)?;
    let facts = Gatherer::new(view)?.facts(view.lot(code)?)?;
    let answer = facts.answer(&about.rules, &about.zone, now)?;
    refuse_for_a_bake(&answer, Units::of(errand.options.us), &about.zone)?;
    refuse_used_up(&answer)?;
    Ok(Grain {
        moisture: answer.estimate.moisture,
        name: format!("{}, {}", answer.lot.code, answer.keeping.verdict),
        from: answer.estimate.from.as_key(),
        left: Some(answer.wet),
    })
}

/// Refuses grain that is past or unknown, with what binds and what to do.
pub fn refuse_for_a_bake(answer: &LotAnswer, units: Units, zone: &Zone) -> Result<(), Problem> {
    let keeping = &answer.keeping;
    if keeping.verdict.may_be_used() {
        return Ok(());
    }
    let mut problem = Problem::new(format!(
        "lot `{}` is {}, so it may not go into a dough: {}",
        answer.lot.code, keeping.verdict, keeping.binding.limit
    ))
    .hint(format!("rule: {}", keeping.binding.source));
    if let Some(advice) = &keeping.advice {
        problem = problem.hint(lot::advice_words(
            advice,
            &answer.lot.code.to_string(),
            answer.as_of,
            units,
            zone,
        ));
    }
    if keeping.verdict == Verdict::Past {
        problem = problem.hint(format!(
            "draff discard {} --reason … takes it off the shelf",
            answer.lot.code
        ));
    }
    Err(problem.hint(Caution::BakingRescuesNothing.text()))
}

fn typed_moisture(arguments: &Arguments) -> Result<Grain, Problem> {
    let moisture = arguments
        .moisture
        .ok_or_else(|| Problem::new("neither a lot nor --moisture is given"))?;
    let (moisture, from) = typed::moisture(moisture, arguments.moisture_sd)?;
    Ok(Grain {
        moisture,
        name: "no lot".to_owned(),
        from,
        left: None,
    })
}

fn request(arguments: &Arguments, moisture: Uncertain) -> Result<Request, Problem> {
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
    Ok(Request {
        grain,
        flour,
        hydration: arguments.hydration.within(&bounds::HYDRATION)?,
        moisture,
        flour_basis: WetBasis::new(arguments.flour_basis.within(&bounds::FLOUR_BASIS)?)?,
        elsewhere: 0.0,
        thirst: arguments.thirst.of_grain(),
    })
}
