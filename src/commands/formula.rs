//! `formula`: doughs in baker's percentages, kept in the book with every version.

use super::Outcome;
use super::ground::Ground;
use crate::context::Session;
use crate::dough::formula::Formula;
use crate::quantity::Problem;
use crate::render;
use clap::Subcommand;
use std::path::{Path, PathBuf};

/// Keep doughs in baker's percentages: add, list, show, export
#[derive(clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Subcommand)]
enum Act {
    /// Add a formula from a TOML file, or a new version of one
    Add {
        /// The file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// List the formulas
    List,
    /// Show a formula in percentages
    Show {
        /// Its name
        #[arg(value_name = "FORMULA")]
        name: String,
        /// Which version [default: the newest]
        #[arg(long, value_name = "NUMBER")]
        version: Option<u32>,
    },
    /// Print the file that a formula was added from
    Export {
        /// Its name
        #[arg(value_name = "FORMULA")]
        name: String,
        /// Which version [default: the newest]
        #[arg(long, value_name = "NUMBER")]
        version: Option<u32>,
    },
}

pub fn run(arguments: Arguments, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let text = match arguments.act.unwrap_or(Act::List) {
        Act::Add { file } => add(&file, session)?,
        Act::List => {
            let book = session.open_book()?;
            let zone = &book.view().about().zone.clone();
            let now = session.now(zone)?;
            render::formula::list(&book.view().formulas()?, now, zone)
        }
        Act::Show { name, version } => {
            let record = session.open_book()?.view().formula(&name, version)?;
            render::formula::text(&Formula::from_text(&record.text)?, record.version)
        }
        Act::Export { name, version } => session.open_book()?.view().formula(&name, version)?.text,
    };
    session.print(&text)?;
    Ok(Outcome::Done)
}

fn add(file: &Path, session: &mut Session<'_>) -> anyhow::Result<String> {
    let text = std::fs::read_to_string(file).map_err(|error| {
        Problem::new(format!(
            "the file `{}` cannot be read: {error}",
            file.display()
        ))
    })?;
    let formula =
        Formula::from_text(&text).map_err(|problem| problem.within(file.display().to_string()))?;
    let ground = Ground::of(session)?;
    let signature = ground.signature.clone();
    let version = ground
        .book(session)?
        .act(&signature, |act| act.add_formula(&formula.name, &text))?;
    Ok(render::formula::text(&formula, version))
}
