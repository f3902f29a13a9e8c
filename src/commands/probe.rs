//! `probe`: what somebody measured, was told or found of a lot.

use super::{Outcome, gather, typed};
use crate::context::Errand;
use crate::quantity::{Temperature, WaterActivity};

/// Record what was measured or found: the grain's temperature, its water activity, that it is spoiled
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("found").required(true).args(["temperature", "aw", "spoiled", "cooled"]),
    override_usage = "draff probe <LOT> <TEMPERATURE> [--at <WHEN>]\n       draff probe <LOT> --cooled <WHEN> [--said-by <NAME>]\n       draff probe <LOT> --aw <NUMBER> [--at <WHEN>]\n       draff probe <LOT> --spoiled <TEXT> [--at <WHEN>]",
    after_help = "Examples:\n  draff probe ALD-261120-1T 4.2C\n  draff probe ALD-261120-1T --cooled \"yesterday 15:00\" --said-by \"the brewer\"\n  draff probe ALD-261120-1T --spoiled \"sour smell\""
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

    /// Somebody's word: all of it was at or below the cold limit by then, and was kept so
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
    let said_by = arguments
        .said_by
        .or_else(|| errand.options.by.clone())
        .unwrap_or_else(|| "the baker".to_owned());
    let at = match &arguments.cooled {
        Some(cooled) => ("--cooled", Some(cooled.as_str())),
        None => ("--at", arguments.at.as_deref()),
    };
    gather::act_on_lot(errand, &arguments.lot, at, |act, lot, at| {
        match (arguments.temperature, arguments.aw, &arguments.spoiled) {
            (Some(temperature), ..) => act.reading(&lot, at, temperature)?,
            (None, Some(activity), _) => act.activity(&lot, at, activity)?,
            (None, None, Some(found)) => act.spoiled(&lot, at, found)?,
            (None, None, None) => act.cooled(&lot, at, &said_by)?,
        };
        Ok(lot)
    })
}
