//! `count`: weighs what is left of a lot and books the difference.

use super::{Outcome, gather, promised, typed};
use crate::context::Errand;
use crate::quantity::Milligrams;
use crate::render::{self, numbers::Units};
use crate::report::count::CountAnswer;

/// Weigh what is left of a lot and book the difference as a correction
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("what").required(true).args(["wet", "nothing"]),
    after_help = "Example: draff count ALD-261120-1T --wet 4.2kg"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// What is left of it
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// Nothing is left of it, and nobody knows where it went
    #[arg(long)]
    nothing: bool,

    /// When it was weighed [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let at = errand.past_or_now(arguments.at.as_deref(), "--at", &zone)?;
    let signature = errand.signature(&zone)?;
    let found = arguments.wet.unwrap_or_default();
    let (lot, booked, less) = promised::act(errand, &mut book, &signature, |act| {
        let lot = act.view().lot(&arguments.lot)?;
        let (booked, less) = act.count(&lot, at, found, arguments.note.as_deref())?;
        Ok((lot, booked, less))
    })?;
    let answer = CountAnswer {
        lot: gather::answer(book.view(), lot, signature.now)?,
        booked,
        found,
        less,
    };
    let text = if errand.options.json {
        render::json::text(&render::json::Count::from(&answer))?
    } else {
        render::count::text(&answer, Units::of(errand.options.us), &zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
