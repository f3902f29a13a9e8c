//! `treat`: presses, blends, mills, dries, drains or soaks grain, by the weights before and after.

use super::gather::{self, Gatherer};
use super::{Outcome, join, treat_plan, typed};
use crate::context::Errand;
use crate::error::usage;
use crate::grain::{Step, Treatment};
use crate::keeping::PlaceKind;
use crate::ledger::{Act, LotRecord, NewTreatment};
use crate::quantity::fraction::Percent;
use crate::quantity::{Instant, Milligrams, Problem, Temperature};
use crate::render::{numbers, numbers::Units};

/// Press, blend, mill, dry, drain or soak grain, or plan how to dry or press it
///
/// What comes out is a lot of its own with the same history. Its moisture follows from the weights: dry grain
/// stays but for losses that are stated. Drying time above the cold limit counts as warm until the grain is
/// shown dry.
#[derive(clap::Args)]
#[command(
    override_usage = "draff treat <LOT> --step <STEP> --wet-out <MASS> [OPTIONS]\n       draff treat [LOT] --plan <dry|press> --to <PERCENT> [OPTIONS]",
    after_help = "Examples:\n  draff treat ALD-261120-1T --step press --wet-in 10kg --wet-out 6.4kg\n  draff treat ALD-261120-1T --step dry --wet-out 1.3kg --minutes 180 --temp 65C --place dry-store\n  draff treat ALD-261120-1T --plan dry --to 8%"
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

    /// Dry grain that went off with the water
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

    /// Where the product lies [default: where the lot is]
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
        let asked = treat_plan::Asked {
            step,
            to,
            lot: arguments.lot,
            moisture: arguments.moisture,
            wet_in: arguments.wet_in,
            temp: arguments.temp,
            minutes: arguments.minutes,
        };
        return treat_plan::run(asked, errand);
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
    let units = Units::of(errand.options.us);
    let at = ("--at", arguments.at.as_deref());
    let mut said = String::new();
    let outcome = gather::act_on_lot(errand, code, at, |act, lot, at| {
        let treatment = Treatment {
            step,
            wet_in: match arguments.wet_in {
                Some(wet) => wet,
                None => act.view().left_or_refuse(&lot)?,
            },
            wet_out,
            water: arguments.water_added.unwrap_or_default(),
            left: arguments.left_behind.unwrap_or_default(),
            dry_loss: arguments.dry_loss.unwrap_or_default(),
        };
        let (product, words) = treat(
            act,
            lot,
            at,
            treatment,
            |act, lot| {
                let to = gather::place_or_own(act.view(), lot, arguments.place.as_deref())?;
                refuse_unthawed(act, lot, step, lasted.is_some(), at)?;
                act.treat(
                    lot,
                    at,
                    &NewTreatment {
                        treatment,
                        lasted,
                        to: &to,
                        note: arguments.note.as_deref(),
                    },
                )
            },
            units,
        )?;
        said = words;
        let Some(into) = &arguments.into else {
            return Ok(product);
        };
        let lots = [act.view().lot(into)?, product];
        let to = (arguments.place.as_deref(), "--place");
        let joined = join::together(act, &lots, at, to, arguments.note.as_deref(), units)?.lot;
        said.push_str(&format!(
            "\nput to {}: together {}",
            lots[0].code, joined.code
        ));
        Ok(joined)
    })?;
    errand.say(&said);
    Ok(outcome)
}

/// Books the treatment if its weights are possible, and says what it did.
fn treat(
    act: &mut Act<'_>,
    lot: LotRecord,
    at: Instant,
    treatment: Treatment,
    book: impl FnOnce(&mut Act<'_>, &LotRecord) -> anyhow::Result<LotRecord>,
    units: Units,
) -> anyhow::Result<(LotRecord, String)> {
    act.refuse_future(at)?;
    treatment.step.form(lot.form)?;
    let before = Gatherer::new(act.view())?.estimate(lot.clone())?;
    treatment.refuse_impossible(&before)?;
    let product = book(act, &lot)?;
    let after = treatment.moisture(&before.moisture);
    let mut said = format!(
        "{} {} of {} to {} of {}: moisture {} to {}",
        treatment.step.done(),
        units.weighed(treatment.wet_in),
        lot.code,
        units.weighed(treatment.wet_out),
        product.code,
        numbers::moisture(&before.moisture),
        numbers::moisture(&after)
    );
    if product.form.is_dry() && !lot.form.is_dry() {
        said.push_str(&format!(
            "\nit counts as wet and warm until it is shown dry: take a sample now and measure it: draff probe {code} --aw NUMBER, or draff moisture {code} --weighing PAN,WET,DRY",
            code = product.code
        ));
    }
    Ok((product, said))
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

/// Grain in a freezer takes hours to thaw, and those count.
fn refuse_unthawed(
    act: &Act<'_>,
    lot: &LotRecord,
    step: Step,
    is_timed: bool,
    at: Instant,
) -> anyhow::Result<()> {
    let view = act.view();
    let Some((_, place, _)) = view.held(lot, &view.places()?)? else {
        return Ok(());
    };
    let frozen = view.place(&place)?.setting_at(at).kind == PlaceKind::Freezer;
    if frozen && !is_timed && step != Step::Mill {
        return Err(Problem::new(format!(
            "lot `{}` lies in {place}: how long it took to thaw, and how warm, counts",
            lot.code
        ))
        .hint("add --minutes NUMBER --temp TEMPERATURE, or book its way out first: draff move")
        .into());
    }
    Ok(())
}
