//! `today`: all that is due, in order of time.

use super::Outcome;
use crate::context::Errand;
use crate::desk::USUAL_DAYS;
use crate::render;
use crate::render::lot::Detail;

/// List what is due: temperatures, freezing, doughs, samples
#[derive(clap::Args)]
#[command(after_help = "Example: draff today --days 3")]
pub struct Arguments {
    /// How many days to show, today counted
    #[arg(long, value_name = "NUMBER", default_value_t = USUAL_DAYS, value_parser = clap::value_parser!(u32).range(1..=14))]
    days: u32,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let desk = errand.desk()?;
    let answer = desk.today(arguments.days)?;
    let (units, zone) = (errand.units(), desk.zone());
    let detail = errand.detail(Detail::Limit);
    errand.show(
        &answer,
        |today| render::json::today::Today::new(today, zone),
        |today| render::today::text(today, detail, units, zone),
    )?;
    Ok(Outcome::Done)
}
