//! `moisture`: records a moisture test, or shows the estimate in force and where it comes from.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::RecordTest;
use crate::error::usage;
use crate::grain::{Laboratory, Method, MoistureTest, PanReadings, Weighing};
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, WetBasis, bounds};
use crate::render;
use crate::render::lot::Detail;

/// Record a moisture test, or show what is known of the moisture
///
/// Weigh the empty pan, the pan with wet grain, and the pan once the grain is dry. Type all three in
/// one line, and the sample counts as a test at once: you say that it is dry. Was it weighed more
/// than once while it dried? Type every dried weight in its order: the last one counts if it agrees
/// with the one before and with the lightest. A sample that got heavier is not dry: weigh it again.
///
/// Or book the sample when it goes into the oven, with pan and wet weight alone. Such a sample does not
/// count until two dried weights in a row agree.
///
/// draff knows a dish by its pan and wet weight. Type these two again with each new dried weight, also
/// of a sample that you thought was dry. The last 3 days count: the same pan and wet weight is the same
/// dish, and while one dries, a dried weight of another one is refused. Add --new-dish if it is
/// another dish.
#[derive(clap::Args)]
#[command(
    override_usage = "draff moisture <LOT> [<PAN> <WET> [<DRY>]… [<UNIT>]]\n       draff moisture <LOT> --weighing <PAN,WET,DRY>…\n                      [--stage2 <PAN,WET,DRY>]…\n       draff moisture <LOT> --lab <PERCENT>",
    after_help = "Examples:\n  draff moisture ALD-261120-1T 12.0 112.0 35.4 g\n  draff moisture ALD-261120-1T --weighing 12.0g,112.0g,35.4g --weighing 11.8g,111.8g,35.1g --method oven"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// The weights of one sample one after the other: pan, pan + wet grain, pan + dried grain, and the unit once at the end. Several samples each take a --weighing
    #[arg(value_name = "WEIGHT", conflicts_with_all = ["weighing", "lab"])]
    sample: Vec<String>,

    /// One sample: pan, pan + wet grain, pan + dried grain, weighed again while it dries if you like
    #[arg(long, value_name = "PAN,WET[,DRY…]", value_parser = typed::value::<PanReadings>, allow_hyphen_values = true)]
    weighing: Vec<PanReadings>,

    /// Second drying of a sample dried in two stages: pan, pan with some of the pre-dried grain, pan with the same when fully dry. The first --stage2 goes with the first --weighing, the second with the second
    #[arg(long, value_name = "PAN,WET,DRY", value_parser = typed::value::<Weighing>, requires = "weighing", conflicts_with = "lab", allow_hyphen_values = true)]
    stage2: Vec<Weighing>,

    /// What the scale shows as its smallest step
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, default_value = "0.1g", allow_hyphen_values = true)]
    readability: Milligrams,

    /// How the samples were dried: oven, microwave, air-fryer [default: oven], or lab with --lab
    #[arg(long, value_name = "METHOD", value_parser = typed::value::<Method>)]
    method: Option<Method>,

    /// A laboratory's result, wet basis
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, conflicts_with = "weighing", allow_hyphen_values = true)]
    lab: Option<Percent>,

    /// How sure the laboratory is of it: the standard deviation in points. Leave it out unless the laboratory states it [default: 0.54%, that between laboratories]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "lab", conflicts_with = "weighing", allow_hyphen_values = true)]
    lab_sd: Option<Percent>,

    /// Say what the figure comes from, what makes it uncertain, and what one more test would be worth
    #[arg(long, conflicts_with_all = ["sample", "weighing", "lab", "method", "new_dish", "at"])]
    why: bool,

    /// It is another dish than those before: it is weighed while another one dries, or weighs the same as an earlier one
    #[arg(long, conflicts_with = "lab")]
    new_dish: bool,

    /// When the sample was taken [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(mut arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    if !arguments.sample.is_empty() {
        arguments.weighing = vec![one_after_the_other(&arguments.sample).map_err(usage)?];
    }
    let mut desk = errand.desk()?;
    let answer = match (test(&arguments).map_err(usage)?, &arguments.at) {
        (Some(test), at) => desk.record_test(&RecordTest {
            lot: &arguments.lot,
            test: &test,
            method: arguments.method,
            at: at
                .as_deref()
                .map(|at| errand.moment(at, "--at", desk.zone()))
                .transpose()?,
            is_new_dish: arguments.new_dish,
        })?,
        (None, None) if arguments.why => desk.moisture_with_why(&arguments.lot)?,
        (None, None) => desk.moisture(&arguments.lot)?,
        (None, Some(at)) => {
            return Err(usage(
                Problem::new(format!("--at `{at}` is given without a test"))
                    .hint("add --weighing PAN,WET,DRY or --lab PERCENT"),
            ));
        }
    };
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    let detail = errand.detail(Detail::Limit);
    errand.show_numbered(
        &answer,
        |moisture| render::json::MoistureOfLot::from(moisture),
        |moisture| render::moisture::text(moisture, detail, units, now, zone),
    )?;
    Ok(Outcome::Done)
}

/// A sample of weights one after the other, `12.0 112.0 35.4 g` or `12.0g 112.0g 35.4g`.
fn one_after_the_other(typed: &[String]) -> Result<PanReadings, Problem> {
    let has_no_digit = |word: &&String| !word.contains(|c: char| c.is_ascii_digit());
    let (weights, unit) = match typed.split_last() {
        Some((unit, weights)) if has_no_digit(&unit) => (weights, unit.as_str()),
        _ => (typed, ""),
    };
    if let Some(word) = weights.iter().find(has_no_digit) {
        return Err(Problem::new(format!(
            "`{word}` stands between the weights: weights without --weighing are one sample, with the unit once at the end"
        ))
        .hint(SEVERAL_SAMPLES));
    }
    let weights: Vec<String> = weights
        .iter()
        .map(|weight| format!("{weight}{unit}"))
        .collect();
    let sample = weights.join(",").parse::<PanReadings>();
    sample.map_err(|problem: Problem| match weights.len() {
        // Pan and wet of one sample, and of another.
        4.. => problem.hint(SEVERAL_SAMPLES),
        _ => problem,
    })
}

/// What to type for more than one sample.
const SEVERAL_SAMPLES: &str = "type several samples each with --weighing: --weighing 12.0g,112.0g,35.4g --weighing 11.8g,111.8g,35.1g";

/// The test that the command line describes, if any.
fn test(arguments: &Arguments) -> Result<Option<MoistureTest>, Problem> {
    if let Some(lab) = arguments.lab {
        if arguments.method.is_some_and(|method| method != Method::Lab) {
            return Err(Problem::new(
                "--lab is a laboratory's result: --method can only be lab",
            ));
        }
        let standard_uncertainty = match arguments.lab_sd {
            Some(sd) => sd.within(&bounds::MOISTURE_SD)?,
            None => crate::grain::moisture_test::BETWEEN_SAMPLE_SD,
        };
        return Ok(Some(MoistureTest {
            method: Method::Lab,
            readability: arguments.readability,
            samples: Vec::new(),
            open: Vec::new(),
            laboratory: Some(Laboratory {
                wet_basis: WetBasis::new(lab.within(&bounds::MOISTURE)?)?,
                standard_uncertainty,
            }),
        }));
    }
    if arguments.weighing.is_empty() {
        let given = match (arguments.method, arguments.new_dish) {
            (None, false) => return Ok(None),
            (Some(_), _) => "--method",
            (None, true) => "--new-dish",
        };
        let problem = Problem::new(format!("{given} is given without a test"));
        return Err(problem.hint("add --weighing PAN,WET,DRY"));
    }
    let method = arguments.method.unwrap_or(Method::Oven);
    let test = MoistureTest::of_pans(method, arguments.readability, &arguments.weighing);
    Ok(Some(test.with_second_stages(&arguments.stage2)?))
}
