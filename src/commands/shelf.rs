//! `shelf`: what is on hand, oldest danger first.

use super::gather::Gatherer;
use super::{Outcome, promised};
use crate::context::Errand;
use crate::keeping::Verdict;
use crate::render::{self, numbers::Units};
use crate::report::shelf::ShelfAnswer;
use clap::ValueEnum;

/// List the lots on hand: wet, dry grain, moisture, place, keep-until, verdict
#[derive(clap::Args)]
pub struct Arguments {
    /// Exit with 3 if a lot is past or unknown (`past`), or use-first too (`use-first`)
    #[arg(long, value_name = "VERDICT")]
    fail_on: Option<FailOn>,
}

#[derive(Clone, Copy, ValueEnum)]
enum FailOn {
    Past,
    UseFirst,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let about = view.about();
    let now = errand.now(&about.zone)?;
    let _still = view.hold_still()?;
    let facts = Gatherer::new(view)?.on_hand(now)?;
    // Where grain stands and until when it keeps is told even if a formula of a bake cannot be read.
    let promised = promised::of(view, &facts).unwrap_or_else(|error| {
        errand.warn(&format!(
            "what the accepted plan promised cannot be read: {error:#}; `draff check` says where"
        ));
        Vec::new()
    });
    let lots = facts
        .into_iter()
        .map(|facts| facts.answer(&about.rules, &about.zone, now))
        .collect::<Result<_, _>>()?;
    let answer = ShelfAnswer::new(now, lots, promised);
    let text = if errand.options.json {
        render::json::text(&render::json::Shelf::new(&answer, &about.zone))?
    } else {
        render::shelf::text(
            &answer,
            Units::of(errand.options.us),
            &about.zone,
            &about.rules.name,
        )
    };
    errand.print(&text)?;
    // Grain that cannot be shown safe is no less a finding than grain that is past.
    let limit = arguments.fail_on.map(|limit| match limit {
        FailOn::Past => Verdict::Unknown,
        FailOn::UseFirst => Verdict::UseFirst,
    });
    Ok(match limit {
        Some(limit) if answer.at_least(limit) > 0 => Outcome::Found,
        _ => Outcome::Done,
    })
}
