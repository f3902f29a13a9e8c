//! `treat`: presses, blends, mills, dries, drains or soaks grain, by the weights before and after.

use super::{Outcome, treat_plan, typed};
use crate::context::Errand;
use crate::desk::Treat;
use crate::error::usage;
use crate::grain::Step;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Temperature};
use crate::render::lot::Detail;

/// Press, blend, mill, dry, drain or soak grain, or work it out first
///
/// What comes out is a lot of its own with the same history. Its moisture follows from the weights: dry grain
/// stays but for losses that are stated. Drying time above the cold limit counts as warm until the grain is
/// shown dry.
#[derive(clap::Args)]
#[command(
    override_usage = "draff treat <LOT> --step <STEP> --wet-out <MASS> [OPTIONS]\n       draff treat [LOT] --plan <dry|press> --to <PERCENT> [OPTIONS]",
    after_help = "Examples:\n  draff treat ALD-261120-1T --step press --wet-in 10kg --wet-out 6.4kg\n  draff treat ALD-261120-1T --step dry --wet-in 5kg --wet-out 1.3kg --minutes 180 --temp 65C --place dry-store\n  draff treat ALD-261120-1T --plan dry --to 8%"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: Option<String>,

    /// What was done: press, blend, mill, dry, thaw-drain, soak
    #[arg(long, value_name = "STEP", value_parser = typed::value::<Step>, conflicts_with_all = ["plan", "to", "moisture"])]
    step: Option<Step>,

    /// How much wet grain goes in [default: all that is left]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet_in: Option<Milligrams>,

    /// What came out and is kept
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, conflicts_with = "plan")]
    wet_out: Option<Milligrams>,

    /// Water that was added while blending or soaking
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, conflicts_with = "plan")]
    water_added: Option<Milligrams>,

    /// Of what came out, what stayed in the machine or was spilt
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, conflicts_with = "plan")]
    left_behind: Option<Milligrams>,

    /// Dry grain lost in the pressed-out water
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, conflicts_with = "plan")]
    dry_loss: Option<Milligrams>,

    /// How many minutes it took
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=20_160))]
    minutes: Option<u32>,

    /// How warm it was: the air in the dryer, the room, the bath
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    temp: Option<Temperature>,

    /// Another lot that the product is put to; both become one lot, as with join
    #[arg(long, value_name = "LOT", conflicts_with = "plan")]
    into: Option<String>,

    /// Where the product lies [default: where the lot is; grain dried now: the dry store]
    #[arg(long, value_name = "PLACE", conflicts_with = "plan")]
    place: Option<String>,

    /// When it was done and weighed [default: now]
    #[arg(long, value_name = "WHEN", conflicts_with = "plan")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words, conflicts_with = "plan")]
    note: Option<String>,

    /// Plan a step instead of booking one: dry, press
    #[arg(long, value_name = "STEP", value_parser = typed::value::<Step>, requires = "to")]
    plan: Option<Step>,

    /// With --plan: the moisture to come to
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "plan", allow_hyphen_values = true)]
    to: Option<Percent>,

    /// With --plan and no lot: moisture of the grain
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "plan", conflicts_with = "lot", allow_hyphen_values = true)]
    moisture: Option<Percent>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    if let (Some(step), Some(to)) = (arguments.plan, arguments.to) {
        let wanted = treat_plan::Wanted {
            step,
            to,
            lot: arguments.lot,
            moisture: arguments.moisture,
            wet_in: arguments.wet_in,
            temp: arguments.temp,
            minutes: arguments.minutes,
        };
        return treat_plan::run(wanted, errand);
    }
    let missing = |what: &str| {
        usage(
            Problem::new(format!("{what} is missing"))
                .hint("draff treat LOT --step STEP --wet-out MASS, or --plan dry --to 8%"),
        )
    };
    let code = arguments.lot.as_deref().ok_or_else(|| missing("the lot"))?;
    let step = arguments.step.ok_or_else(|| missing("--step"))?;
    let wet_out = arguments.wet_out.ok_or_else(|| missing("--wet-out"))?;
    let lasted = lasted(step, arguments.minutes, arguments.temp)?;
    let mut desk = errand.desk()?;
    let answer = desk.treat(&Treat {
        lot: code,
        step,
        wet_in: arguments.wet_in,
        wet_out,
        water_added: arguments.water_added.unwrap_or_default(),
        left_behind: arguments.left_behind.unwrap_or_default(),
        dry_loss: arguments.dry_loss.unwrap_or_default(),
        lasted,
        into: arguments.into.as_deref(),
        place: arguments.place.as_deref(),
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
        note: arguments.note.as_deref(),
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}

/// How long it took and how warm it was. Drying has to say so: that time counts.
fn lasted(
    step: Step,
    minutes: Option<u32>,
    temp: Option<Temperature>,
) -> anyhow::Result<Option<(u32, Temperature)>> {
    match (minutes, temp) {
        (Some(minutes), Some(temp)) => Ok(Some((minutes, temp))),
        (None, None) if step != Step::Dry => Ok(None),
        (None, None) => Err(usage(
            Problem::new("how long the drying took and how warm it was is not said: that time counts as warm")
                .hint("add --minutes NUMBER --temp TEMPERATURE"),
        )),
        _ => Err(usage(
            Problem::new("--minutes and --temp are given together or not at all")
                .hint("as in --minutes 30 --temp 20C"),
        )),
    }
}
