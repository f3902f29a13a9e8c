//! `formula`: doughs in baker's percentages, kept in the book with every version.

use super::ground::Ground;
use super::{Outcome, formula_from_masses};
use crate::context::Errand;
use crate::dough::formula::Formula;
use crate::ledger::FormulaRecord;
use crate::quantity::{Problem, Zone};
use crate::render;
use crate::render::json::formula::{Formulas, Made, WithText};
use clap::Subcommand;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Keep doughs in baker's percentages: add, list, show, export, from masses
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
    /// Print a formula file worked out from masses: save it, read it, add it
    FromMasses(formula_from_masses::Arguments),
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let json = errand.options.json;
    let text = match arguments.act.unwrap_or(Act::List) {
        Act::Add { file } => add(&file, errand)?,
        Act::List => {
            let book = errand.open_book()?;
            let view = book.view();
            let zone = &view.about().zone;
            let now = errand.now(zone)?;
            if json {
                render::json::text(&Formulas::new(&view.formulas()?, zone))?
            } else {
                render::formula::list(&view.formulas()?, now, zone)
            }
        }
        Act::Show { name, version } => {
            let book = errand.open_book()?;
            let view = book.view();
            shown(view.formula(&name, version)?, &view.about().zone, json)?
        }
        Act::Export { name, version } => {
            let book = errand.open_book()?;
            let view = book.view();
            let record = view.formula(&name, version)?;
            if json {
                render::json::text(&WithText::new(record, &view.about().zone))?
            } else {
                record.text
            }
        }
        Act::FromMasses(masses) => {
            let toml = formula_from_masses::text(masses)?;
            if json {
                render::json::text(&Made { toml: &toml })?
            } else {
                toml
            }
        }
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

fn add(file: &Path, errand: &mut Errand<'_>) -> anyhow::Result<String> {
    let text = std::fs::read_to_string(file).map_err(|error| {
        let why = match error.kind() {
            ErrorKind::InvalidData => "it is no UTF-8 text".to_owned(),
            _ => error.to_string(),
        };
        Problem::new(format!(
            "the file `{}` cannot be read: {why}",
            file.display()
        ))
    })?;
    let formula =
        Formula::from_text(&text).map_err(|problem| problem.within(file.display().to_string()))?;
    let json = errand.options.json;
    let ground = Ground::of(errand)?;
    let signature = ground.signature.clone();
    let mut book = ground.book(errand)?;
    let version = errand.act(&mut book, &signature, |act| {
        act.add_formula(&formula.name, &text)
    })?;
    let view = book.view();
    let record = view.formula(&formula.name, Some(version))?;
    shown(record, &view.about().zone, json)
}

fn shown(record: FormulaRecord, zone: &Zone, json: bool) -> anyhow::Result<String> {
    if json {
        return render::json::text(&WithText::new(record, zone));
    }
    let formula = Formula::from_text(&record.text)?;
    Ok(render::formula::text(&formula, record.version))
}
