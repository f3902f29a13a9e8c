//! `source`: lists the sources, shows one, calls one otherwise, or says that two are one.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::render;

/// List or show sources, rename one, or join two names of a brewery
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff source show \"Alder Lane\"\n  draff source merge \"Tarn Fel\" --into \"Tarn Fell\"\n\nCodes of lots stay as they are. `draff strike ENTRY` undoes it."
)]
pub struct Arguments {
    #[command(subcommand)]
    subcommand: Option<Subcommand>,
}

#[derive(clap::Subcommand)]
enum Subcommand {
    /// List the sources and the letters in their codes
    #[command(after_help = "Example: draff source list")]
    List,
    /// Show a source: its newest lots, their moisture and limits, what the next lot is taken to be
    #[command(after_help = "Example: draff source show \"Alder Lane\"")]
    Show {
        /// How it is called
        #[arg(value_name = "NAME", value_parser = typed::name)]
        source: String,
    },
    /// Call a source otherwise
    #[command(
        after_help = "Example: draff source rename \"Alder Lane\" --to \"Alder Lane Brewing\""
    )]
    Rename {
        /// How it is called now
        #[arg(value_name = "NAME", value_parser = typed::name)]
        source: String,

        /// How it is called from now on
        #[arg(long, value_name = "NAME", value_parser = typed::name)]
        to: String,

        /// This really is another source than the one whose name is almost that, or was that
        #[arg(long)]
        new_source: bool,
    },
    /// Treat two sources as one; both go by the name of the second
    #[command(after_help = "Example: draff source merge \"Tarn Fel\" --into \"Tarn Fell\"")]
    Merge {
        /// The source with the wrong name
        #[arg(value_name = "NAME", value_parser = typed::name)]
        source: String,

        /// The one with the right name
        #[arg(long, value_name = "NAME", value_parser = typed::name)]
        into: String,
    },
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = match arguments.subcommand.unwrap_or(Subcommand::List) {
        Subcommand::Show { source } => {
            let answer = desk.source(&source)?;
            let (units, now, zone) = (errand.units(), desk.now(), desk.zone().clone());
            errand.show(
                &answer,
                |source| render::json::source::Source::new(source, &zone),
                |source| render::source::one(source, units, now, &zone),
            )?;
            return Ok(Outcome::Done);
        }
        Subcommand::List => desk.sources()?,
        Subcommand::Rename {
            source,
            to,
            new_source,
        } => desk.rename_source(&source, &to, new_source)?,
        Subcommand::Merge { source, into } => desk.merge_source(&source, &into)?,
    };
    errand.show(
        &answer,
        |sources| render::json::listing::Sources::new(sources),
        |sources| render::source::text(sources),
    )?;
    Ok(Outcome::Done)
}
