//! `probe`: what somebody measured, was told or found of a lot.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::{Found, Probe};
use crate::quantity::{Temperature, WaterActivity};
use crate::render::lot::Detail;

/// Record a temperature, a water activity, or that grain is spoiled
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("found").required(true).args(["temperature", "aw", "spoiled", "cooled"]),
    override_usage = "draff probe <LOT> <TEMPERATURE> [--at <WHEN>]\n       draff probe <LOT> --cooled <WHEN> [--said-by <NAME>]\n       draff probe <LOT> --aw <NUMBER> [--at <WHEN>]\n       draff probe <LOT> --spoiled <TEXT> [--at <WHEN>]",
    after_help = "Examples:\n  draff probe ALD-261120-1T 4.2C\n  draff probe ALD-261120-1T --cooled \"today 09:30\" --said-by \"the brewer\"\n  draff probe ALD-261120-1T --spoiled \"sour smell\""
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// Temperature in the middle of the grain
    #[arg(value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    temperature: Option<Temperature>,

    /// Measured water activity of dried grain
    #[arg(long, value_name = "NUMBER", value_parser = typed::value::<WaterActivity>, allow_hyphen_values = true)]
    aw: Option<WaterActivity>,

    /// Mould, a sour smell, gas: what was found
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    spoiled: Option<String>,

    /// On somebody's word: when all of it was at 5 °C or colder (the cold limit of your rules), and it was kept so
    #[arg(long, value_name = "WHEN")]
    cooled: Option<String>,

    /// Whose word that is [default: the name after --by]
    #[arg(long, value_name = "NAME", value_parser = typed::name, requires = "cooled", conflicts_with_all = ["temperature", "aw", "spoiled"])]
    said_by: Option<String>,

    /// When it was measured or found [default: now]
    #[arg(long, value_name = "WHEN", conflicts_with = "cooled")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let reported_by = arguments
        .said_by
        .or_else(|| errand.options.by.clone())
        .unwrap_or_else(|| "the baker".to_owned());
    let found = match (arguments.temperature, arguments.aw, &arguments.spoiled) {
        (Some(temperature), ..) => Found::Temperature(temperature),
        (None, Some(activity), _) => Found::Activity(activity),
        (None, None, Some(found)) => Found::Spoiled(found),
        (None, None, None) => Found::Cooled(&reported_by),
    };
    let (option, at) = match &arguments.cooled {
        Some(cooled) => ("--cooled", Some(cooled)),
        None => ("--at", arguments.at.as_ref()),
    };
    let answer = desk.probe(&Probe {
        lot: &arguments.lot,
        found,
        at: errand.moment_or_now(at.map(String::as_str), option, desk.zone())?,
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}
