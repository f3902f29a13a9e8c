//! `plan`: which lot into which bake, what to freeze or dry and by when.

use super::{Outcome, export};
use crate::context::Errand;
use crate::desk::PlanOf;
use crate::render;
use crate::render::lot::Detail;

/// Plan which lot goes into which bake, what to freeze or dry, when
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  draff plan --days 7\n  draff plan --accept")]
pub struct Arguments {
    /// Days to plan for, today counted. The plan goes on to later bakes that hold promised grain
    #[arg(long, value_name = "NUMBER", default_value_t = 14, value_parser = clap::value_parser!(u32).range(1..=60))]
    days: u32,

    /// Play safe: count each lot as wet as it may be, so that no bake runs short if it is
    #[arg(long)]
    careful: bool,

    /// Promise this grain to these bakes. Later plans leave it where it is, unless a bake that must be baked would lack grain
    #[arg(long)]
    accept: bool,

    /// Plan anew as if no grain had been promised
    #[arg(long)]
    reopen: bool,

    /// Show how much is wasted, frozen or missing with this plan, compared with simply using the oldest grain first
    #[arg(long, conflicts_with = "html")]
    why: bool,

    /// As a page to print, with a picture of the lots over the days, into a file or to the terminal with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,
}

impl Arguments {
    fn request(&self) -> PlanOf {
        PlanOf {
            days: self.days,
            careful: self.careful,
            reopen: self.reopen,
        }
    }
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [arguments.html.as_deref()])?;
    let mut desk = errand.desk()?;
    let mut answer = desk.plan(arguments.request(), &mut errand.watch())?;
    if arguments.accept {
        desk.accept_plan(&mut answer.answer)?;
    }
    let (units, about) = (errand.units(), desk.about());
    let shown = (arguments.why, errand.detail(Detail::Limit));
    if let Some(path) = &arguments.html {
        let page = render::plan_html::page(&answer.answer, &about.zone, units);
        export::put(errand, path, &about.path, &page, "wrote the plan to")?;
        if !errand.options.json {
            if path != "-" {
                errand.print_entries()?;
            }
            return Ok(Outcome::Done);
        }
    }
    errand.show(
        &answer,
        |plan| render::json::plan::Plan::new(plan, &about.zone),
        |plan| render::plan::text(plan, shown, units, &about.zone),
    )?;
    Ok(Outcome::Done)
}
