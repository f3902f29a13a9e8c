//! `bake`: planned and done bakes.

use super::{Outcome, bake_advise, bake_calendar, bake_done, bake_setting, typed};
use crate::context::Errand;
use crate::render;

/// Plan bakes and write down how they came out
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff bake add \"pan loaf\" --at \"sat 07:30\" ready --pieces 12\n  draff bake done B-1S --pieces 12 --water 940g --came-out well\n  draff bake calendar --ics bakes.ics\n\nBehind the clock time of a bake, type mix, in-oven or ready (out of the oven and cooled): what happens at that time."
)]
pub struct Arguments {
    #[command(subcommand)]
    subcommand: Option<Subcommand>,
}

#[derive(clap::Subcommand)]
enum Subcommand {
    /// Write a bake of a formula into the book
    #[command(
        after_help = "Example: draff bake add \"pan loaf\" --at \"sun 07:30\" ready --pieces 24 --optional"
    )]
    Add(bake_setting::Add),
    /// List the bakes to come
    #[command(after_help = "Example: draff bake list --all")]
    List {
        /// Those that are done or dropped too
        #[arg(long)]
        all: bool,
    },
    /// Show one bake: its times, its grain, what it came to
    #[command(after_help = "Example: draff bake show B-1S")]
    Show {
        /// The bake's code, such as B-1S; `draff bake list` shows the bakes to come
        #[arg(value_name = "BAKE")]
        bake: String,
    },
    /// Change what a bake is to be; what is left out stays as it is
    #[command(after_help = "Example: draff bake change B-1S --pieces 24")]
    Change(bake_setting::Change),
    /// Say that a bake is not baked after all
    #[command(after_help = "Example: draff bake drop B-1S --reason \"oven broken\"")]
    Drop {
        /// The bake's code, such as B-1S; `draff bake list` shows the bakes to come
        #[arg(value_name = "BAKE")]
        bake: String,
        /// Why
        #[arg(long, value_name = "TEXT", value_parser = typed::words)]
        reason: Option<String>,
    },
    /// Suggest bakes to add or enlarge so less grain is left over
    #[command(after_help = "Example: draff bake advise --days 7")]
    Advise(bake_advise::Arguments),
    /// Write down what a bake came to and take its grain off the shelf, in place of `use`
    #[command(
        after_help = "Example: draff bake done B-1S --pieces 12 --water 940g --came-out well"
    )]
    Done(bake_done::Arguments),
    /// Write the steps of bakes to come as a calendar file (iCalendar, RFC 5545)
    #[command(after_help = "Example: draff bake calendar --ics bakes.ics")]
    Calendar(bake_calendar::Arguments),
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let subcommand = arguments
        .subcommand
        .unwrap_or(Subcommand::List { all: false });
    let answer = match subcommand {
        Subcommand::Advise(advise) => return bake_advise::run(&advise, errand),
        Subcommand::Calendar(calendar) => return bake_calendar::run(calendar, errand),
        Subcommand::List { all } => return list(all, errand),
        Subcommand::Add(add) => add.run(errand)?,
        Subcommand::Change(change) => change.run(errand)?,
        Subcommand::Done(done) => done.run(errand)?,
        Subcommand::Drop { bake, reason } => errand.desk()?.drop_bake(&bake, reason.as_deref())?,
        Subcommand::Show { bake } => errand.desk()?.bake(&bake)?,
    };
    let (units, zone) = (errand.units(), errand.zone().clone());
    let now = errand.now(&zone)?;
    errand.show(
        &answer,
        |bake| render::json::bake::Bake::new(bake, now, &zone),
        |bake| render::bake::block(bake, units, now, &zone),
    )?;
    Ok(Outcome::Done)
}

fn list(all: bool, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let desk = errand.desk()?;
    let answer = desk.bakes(all)?;
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    errand.show(
        &answer,
        |bakes| render::json::bake::Bakes::new(bakes, now, zone),
        |bakes| render::bake::list(bakes, units, now, zone),
    )?;
    Ok(Outcome::Done)
}
