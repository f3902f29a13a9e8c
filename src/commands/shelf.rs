//! `shelf`: what is on hand, oldest danger first.

use super::{Outcome, export};
use crate::context::Errand;
use crate::keeping::Verdict;
use crate::render;
use crate::render::lot::Detail;
use crate::render::report::table::Reader;
use clap::ValueEnum;

/// List the lots on hand: weight, keep-until, what goes first
///
/// good: use it. use-first: use it before the others. past: throw it away. unknown: do not use it, unless what is
/// missing is found out.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff shelf\n  draff shelf --fail-on past\n  draff shelf --html board.html"
)]
pub struct Arguments {
    /// For scripts: exit with 3 if a lot is past or unknown (`past`), or use-first too (`use-first`)
    #[arg(long, value_name = "VERDICT")]
    fail_on: Option<FailOn>,

    /// Write a board for a screen by the fridge to a file, or to the terminal with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,
}

#[derive(Clone, Copy, ValueEnum)]
enum FailOn {
    Past,
    UseFirst,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [arguments.html.as_deref()])?;
    let desk = errand.desk()?;
    let answer = desk.shelf()?;
    let (units, about) = (errand.units(), desk.about());
    let detail = errand.detail(Detail::Limit);
    if let Some(path) = &arguments.html {
        let reader = Reader {
            units,
            now: answer.answer.as_of,
            zone: &about.zone,
            is_on_page: false,
        };
        let (shelf, notices) = (&answer.answer, &answer.notices);
        let page = render::shelf_html::page(shelf, &about.name, reader, notices, &answer.cautions);
        export::put(errand, path, &about.path, &page, "wrote the board to")?;
    }
    if arguments.html.is_some() && !errand.options.json {
        errand.tell(&answer.notices);
    } else {
        errand.show(
            &answer,
            |shelf| render::json::shelf::Shelf::new(shelf, &about.zone),
            |shelf| render::shelf::text(shelf, detail, units, &about.zone, &about.rules.name),
        )?;
    }
    // Grain that cannot be shown safe is no less a finding than grain that is past.
    let limit = arguments.fail_on.map(|limit| match limit {
        FailOn::Past => Verdict::Unknown,
        FailOn::UseFirst => Verdict::UseFirst,
    });
    Ok(match limit {
        Some(limit) if answer.answer.at_least(limit) > 0 => Outcome::Found,
        _ => Outcome::Done,
    })
}
