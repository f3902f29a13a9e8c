//! `rules`: prints a rule set, so that an inspector can read every limit and its source.

use super::Outcome;
use crate::context::Errand;
use crate::desk::Answer;
use crate::error::usage;
use crate::keeping::RuleSet;
use crate::render::json::formula::Made;

/// Print a rule set: every limit with its source
#[derive(clap::Args)]
#[command(after_help = "Example: draff rules strict")]
pub struct Arguments {
    /// A built-in set: strict, us-food-code, au-2h-4h, uk-chilled [default: the book's own]
    #[arg(value_name = "NAME")]
    name: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let text = match arguments.name {
        Some(name) => RuleSet::built_in_text(&name).map_err(usage)?.to_owned(),
        None => errand.open_book()?.view().about().rules_text.clone(),
    };
    let rules = Answer::new(text, Vec::new());
    errand.show(&rules, |toml| Made { toml: toml.clone() }, Clone::clone)?;
    Ok(Outcome::Done)
}
