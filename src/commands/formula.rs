//! `formula`: doughs in baker's percentages, kept in the book with every version.

use super::{Outcome, formula_from_masses, typed};
use crate::context::Errand;
use crate::desk::Answer;
use crate::dough::formula::Formula;
use crate::ledger::FormulaRecord;
use crate::render;
use crate::render::json::formula::{Formulas, Made, Proposals, WithText};
use std::path::{Path, PathBuf};

/// Keep doughs in baker's percentages
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff formula add pan-loaf.toml\n  draff formula show \"pan loaf\""
)]
pub struct Arguments {
    #[command(subcommand)]
    subcommand: Option<Subcommand>,
}

#[derive(clap::Subcommand)]
enum Subcommand {
    /// Add a formula from a TOML file, or a new version of one
    #[command(after_help = "Example: draff formula add pan-loaf.toml")]
    Add {
        /// The file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// List the formulas
    #[command(after_help = "Example: draff formula list")]
    List,
    /// Show a formula in percentages
    #[command(after_help = "Example: draff formula show \"pan loaf\" --version 1")]
    Show {
        /// Its name
        #[arg(value_name = "FORMULA")]
        name: String,
        /// Which version [default: the newest]
        #[arg(long, value_name = "NUMBER")]
        version: Option<u32>,
    },
    /// Print the file that a formula was added from
    #[command(after_help = "Example: draff formula export \"pan loaf\" > pan-loaf.toml")]
    Export {
        /// Its name
        #[arg(value_name = "FORMULA")]
        name: String,
        /// Which version [default: the newest]
        #[arg(long, value_name = "NUMBER")]
        version: Option<u32>,
    },
    /// Show what bakes say of the losses and the mixing heat that a formula states
    #[command(after_help = "Example: draff formula propose \"pan loaf\"")]
    Propose {
        /// Its name
        #[arg(value_name = "FORMULA")]
        name: String,
        /// Print its file with what is proposed: read it, then add it as a new version
        #[arg(long)]
        toml: bool,
    },
    /// Print a formula file worked out from masses: save it, read it, add it
    FromMasses(Box<formula_from_masses::Arguments>),
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let answer = match arguments.subcommand.unwrap_or(Subcommand::List) {
        Subcommand::List => return list(errand),
        Subcommand::Add { file } => add(&file, errand)?,
        Subcommand::Show { name, version } => errand.desk()?.formula(&name, version)?,
        // A file is what these two are asked for.
        Subcommand::Export { name, version } => {
            let formula = errand.desk()?.formula(&name, version)?;
            let zone = errand.zone().clone();
            errand.show(
                &formula,
                |record| WithText::new(record, &zone),
                |record| record.text.clone(),
            )?;
            return Ok(Outcome::Done);
        }
        Subcommand::Propose { name, toml } => {
            let answer = errand.desk()?.proposals(&name)?;
            if toml {
                let file = Answer::new(answer.answer.text, Vec::new());
                errand.show(&file, |toml| Made { toml: toml.clone() }, Clone::clone)?;
            } else {
                let zone = errand.zone().clone();
                errand.show(
                    &answer,
                    |answer| Proposals::new(answer, &zone),
                    render::formula::proposals,
                )?;
            }
            return Ok(Outcome::Done);
        }
        Subcommand::FromMasses(masses) => {
            let text = formula_from_masses::text(*masses, errand.units())?;
            let toml = Answer::new(text, Vec::new());
            errand.show(&toml, |toml| Made { toml: toml.clone() }, Clone::clone)?;
            return Ok(Outcome::Done);
        }
    };
    let zone = errand.zone().clone();
    let formula = answer.answer.formula()?;
    let units = errand.units();
    errand.show(
        &answer,
        |record| WithText::new(record, &zone),
        |record| render::formula::text(&formula, record.version, units),
    )?;
    Ok(Outcome::Done)
}

fn list(errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let desk = errand.desk()?;
    let (now, zone) = (desk.now(), desk.zone());
    errand.show(
        &desk.formulas()?,
        |formulas| Formulas::new(formulas, zone),
        |formulas| render::formula::list(formulas, now, zone),
    )?;
    Ok(Outcome::Done)
}

fn add(file: &Path, errand: &mut Errand<'_>) -> anyhow::Result<Answer<FormulaRecord>> {
    let text = typed::text_file(file)?;
    Formula::from_text(&text).map_err(|problem| problem.within(file.display().to_string()))?;
    errand.desk_or_new()?.add_formula(&text)
}
