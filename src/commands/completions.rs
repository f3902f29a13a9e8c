//! `completions` and `man`: what a shell and `man` know of the command line.

use super::{Outcome, help};
use crate::context::Errand;
use crate::ledger::files;
use crate::quantity::Problem;
use clap_complete::Shell;
use std::path::PathBuf;

/// Print what a shell needs to complete commands and options
#[derive(clap::Args)]
#[command(after_help = "Example: draff completions bash")]
pub struct Arguments {
    /// The shell
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut text = Vec::new();
    clap_complete::generate(
        arguments.shell,
        &mut help::command_line(),
        "draff",
        &mut text,
    );
    errand.print(&String::from_utf8(text)?)?;
    Ok(Outcome::Done)
}

/// Write the pages of the manual into a folder
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff man pages\n\n`man -l pages/draff.1` shows the first of them."
)]
pub struct ManArguments {
    /// The folder; it is made where it is not there
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

pub fn man(arguments: ManArguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let folder = &arguments.folder;
    files::make_folder(folder)?;
    if std::fs::read_dir(folder)?.next().is_some() {
        return Err(
            Problem::new(format!("the folder `{}` is not empty", folder.display()))
                .hint("nothing was written; name a new folder")
                .into(),
        );
    }
    clap_mangen::generate_to(help::command_line(), folder)?;
    errand.say(&format!(
        "wrote the pages of the manual to {}",
        folder.display()
    ));
    Ok(Outcome::Done)
}
