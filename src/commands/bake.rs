//! `bake`: planned and done bakes.

use super::bake_setting::{self, Asked};
use super::gather::Gatherer;
use super::{Outcome, bake_advise, bake_calendar, bake_done, promised, typed};
use crate::context::Errand;
use crate::ledger::{BakeRecord, View, Which};
use crate::quantity::{Instant, Problem};
use crate::render::{self, numbers::Units};
use crate::report::bake::BakeAnswer;
use crate::report::promise::PromisedGrain;
use clap::Subcommand;

/// Plan bakes and write down what they came to
#[derive(clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Subcommand)]
enum Act {
    /// Plan a bake of a formula
    Add(bake_setting::Add),
    /// List the bakes to come
    List {
        /// Those that are done or dropped too
        #[arg(long)]
        all: bool,
    },
    /// Show one bake: its times, its grain, what it came to
    Show {
        /// Its code
        #[arg(value_name = "BAKE")]
        bake: String,
    },
    /// Change what a bake is to be; what is left out stays as it is
    Change(bake_setting::Change),
    /// Say that a bake is not baked after all
    Drop {
        /// Its code
        #[arg(value_name = "BAKE")]
        bake: String,
        /// Why
        #[arg(long, value_name = "TEXT", value_parser = typed::words)]
        reason: Option<String>,
    },
    /// Say which bake to add or make larger so that less grain is left over
    Advise(bake_advise::Arguments),
    /// Write down what a bake came to, and draw its grain
    Done(bake_done::Arguments),
    /// Write the steps of bakes to come as a calendar file (iCalendar, RFC 5545)
    Calendar(bake_calendar::Arguments),
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    match arguments.act.unwrap_or(Act::List { all: false }) {
        Act::Add(add) => {
            let asked = add.asked.clone();
            act(errand, &asked, |act, now, warn| {
                let setting = bake_setting::of_new(&add, act.view(), now, warn)?;
                act.add_bake(&setting)
            })
        }
        Act::Change(change) => {
            let asked = change.asked.clone();
            act(errand, &asked, |act, now, warn| {
                let bake = act.view().bake(&change.bake)?;
                let setting = bake_setting::changed(&change, &bake, act.view(), now, warn)?;
                act.change_bake(&bake, &setting)
            })
        }
        Act::Drop { bake, reason } => act(errand, &Asked::default(), |act, _, _| {
            let record = act.view().bake(&bake)?;
            act.drop_bake(&record, reason.as_deref())?;
            act.view().bake(&bake)
        }),
        Act::Advise(advise) => bake_advise::run(&advise, errand),
        Act::Done(done) => bake_done::run(done, errand),
        Act::Calendar(calendar) => bake_calendar::run(calendar, errand),
        Act::Show { bake } => {
            let book = errand.open_book()?;
            let view = book.view();
            let bake = view.bake(&bake)?;
            print(errand, view, bake)
        }
        Act::List { all } => list(all, errand),
    }
}

/// Does one act on a bake and prints the bake as it stands afterwards.
fn act(
    errand: &mut Errand<'_>,
    asked: &Asked,
    work: impl FnOnce(
        &mut crate::ledger::Act<'_>,
        Instant,
        &mut Vec<String>,
    ) -> anyhow::Result<BakeRecord>,
) -> anyhow::Result<Outcome> {
    asked.check()?;
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let signature = errand.signature(&zone)?;
    let mut warnings = Vec::new();
    let bake = errand.act(&mut book, &signature, |act| {
        work(act, signature.now, &mut warnings)
    })?;
    for warning in warnings {
        errand.warn(&warning);
    }
    print(errand, book.view(), bake)
}

/// Prints one bake.
pub fn print(errand: &mut Errand<'_>, view: View<'_>, bake: BakeRecord) -> anyhow::Result<Outcome> {
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let promised = promised::now(view, now)?;
    let answer = answer(view, &mut Gatherer::new(view)?, &promised, bake)?;
    let text = if errand.options.json {
        render::json::text(&render::json::bake::Bake::new(&answer, now, zone))?
    } else {
        let units = Units::of(errand.options.us);
        render::bake::block(&answer, &view.house()?, units, now, zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// A bake with its lots as they are when it is mixed, and with what is promised to it.
fn answer(
    view: View<'_>,
    gatherer: &mut Gatherer<'_>,
    promised: &[PromisedGrain],
    bake: BakeRecord,
) -> anyhow::Result<BakeAnswer> {
    let about = view.about();
    let mut answer = BakeAnswer::of(bake)?;
    let code = answer.bake.code;
    let of_bake = promised.iter().filter(|one| one.bake == code);
    answer.promised = of_bake.cloned().collect();
    for lot in &answer.bake.setting.lots {
        let facts = gatherer.facts(lot.clone())?;
        let mix_at = answer.needs.timetable.mix_at;
        answer
            .lots
            .push(facts.answer(&about.rules, &about.zone, mix_at)?);
    }
    Ok(answer)
}

fn list(all: bool, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let _still = view.hold_still()?;
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let mut gatherer = Gatherer::new(view)?;
    let promised = promised::now(view, now)?;
    let which = if all { Which::All } else { Which::Open };
    let mut answers = view
        .bakes(which)?
        .into_iter()
        .map(|bake| answer(view, &mut gatherer, &promised, bake))
        .collect::<anyhow::Result<Vec<_>>>()?;
    answers.sort_by_key(|answer| (answer.needs.timetable.mix_at, answer.bake.code));
    let text = if errand.options.json {
        render::json::text(&render::json::bake::Bakes::new(&answers, now, zone))?
    } else {
        render::bake::list(&answers, Units::of(errand.options.us), now, zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// Refuses a lot that is named twice.
pub fn refuse_twice<'a>(codes: impl IntoIterator<Item = &'a str>) -> Result<(), Problem> {
    let mut seen: Vec<String> = Vec::new();
    for code in codes {
        let code = code.trim().to_ascii_uppercase();
        if seen.contains(&code) {
            return Err(Problem::new(format!("lot `{code}` is named twice"))
                .hint("name each lot once, with all that is to be taken of it"));
        }
        seen.push(code);
    }
    Ok(())
}
