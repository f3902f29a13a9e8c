//! `bake advise`: which bake to add, or which to make larger, so that less grain is left over.

use super::Outcome;
use crate::context::Errand;
use crate::render;
use crate::render::lot::Detail;

/// Options of `bake advise`.
#[derive(clap::Args)]
pub struct Arguments {
    /// Days to look at, today counted
    #[arg(long, value_name = "NUMBER", default_value_t = 14, value_parser = clap::value_parser!(u32).range(1..=60))]
    days: u32,
}

pub fn run(arguments: &Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let desk = errand.desk()?;
    let answer = desk.advise(arguments.days, &mut errand.watch())?;
    let (units, zone) = (errand.units(), desk.zone());
    let detail = errand.detail(Detail::Limit);
    errand.show(
        &answer,
        |advice| render::json::advise::Advise::new(advice, zone),
        |advice| render::advise::text(advice, detail, units, zone),
    )?;
    Ok(Outcome::Done)
}
