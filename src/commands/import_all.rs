//! `import-all`: a new book from what `export-all` wrote, with a proof that nothing was lost.

use super::export_all::{DAMAGE, DESCRIPTION, digest_of, file_name, write};
use super::{Outcome, new_book, typed};
use crate::context::Errand;
use crate::ledger::load::{Loaded, Loading};
use crate::ledger::tables::Table;
use crate::quantity::Problem;
use crate::render;
use crate::render::json::tables::{Carried, Described, Description};
use std::fs::File;
use std::io::{self, BufReader};
use std::path::{Path, PathBuf};

/// Make a new book from a folder that `export-all` wrote
#[derive(clap::Args)]
#[command(after_help = "Example: draff import-all book-as-csv --book new.draff")]
pub struct Arguments {
    /// The folder; it is only read
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let folder = &arguments.folder;
    let path = errand.book_path()?;
    new_book::refuse_taken(&path)?;
    // The zone of the book is not known before it is there.
    let (zone, _) = (errand.surroundings.zone)();
    let now = errand.now(&zone)?;
    let description = description(folder)?;
    refuse_incomplete(folder, &description)?;
    let loading = Loading::begin(&path, description.schema_version)?;
    let tables = matched(&loading.tables()?, &description)?;
    for (table, described) in &tables {
        load(&loading, folder, table, described)?;
    }
    let loaded = loading.finish()?;
    prove(&loaded, &description)?;
    let book = loaded.accept(&path, now)?;
    errand.note_done(format!("the book was made at `{}`", path.display()));
    let entries = book.view().entry_count()?;
    let text = if errand.options.json {
        render::json::text(&Carried::new(folder, &path, entries, &description))?
    } else {
        render::copies::imported(&path, entries, &description)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

fn description(folder: &Path) -> anyhow::Result<Description> {
    let path = folder.join(DESCRIPTION);
    let text = typed::text_file(&path)
        .map_err(|problem| problem.hint("name a folder that `draff export-all` wrote"))?;
    Description::read(&text).map_err(|error| {
        Problem::new(format!("`{}` is not understood: {error}", path.display()))
            .hint("name a folder that `draff export-all` wrote")
            .into()
    })
}

/// Refuses what was exported of a damaged book: a book must not look whole that lacks rows.
fn refuse_incomplete(folder: &Path, description: &Description) -> Result<(), Problem> {
    if description.complete {
        return Ok(());
    }
    Err(Problem::new(format!(
        "the tables in `{}` are not complete: the book that they come from is damaged",
        folder.display()
    ))
    .hint(format!(
        "`{}` names what is missing",
        folder.join(DAMAGE).display()
    ))
    .hint("no book was made; `restore` brings back a copy made while the book was whole"))
}

/// Each table of the schema with its description; the same ones must be there on both sides.
fn matched<'a>(
    tables: &[Table],
    description: &'a Description,
) -> Result<Vec<(Table, &'a Described)>, Problem> {
    let version = description.schema_version;
    for described in &description.tables {
        let times = description
            .tables
            .iter()
            .filter(|other| other.table == described.table)
            .count();
        if times > 1 || !tables.iter().any(|table| table.name == described.table) {
            return Err(Problem::new(format!(
                "a book of schema version {version} has no table `{}`, or not twice",
                described.table
            ))
            .hint("no book was made; export the tables again"));
        }
    }
    tables
        .iter()
        .map(|table| {
            let described = description
                .tables
                .iter()
                .find(|described| described.table == table.name);
            described
                .map(|described| (table.clone(), described))
                .ok_or_else(|| {
                    Problem::new(format!(
                        "table `{}` is missing, which a book of schema version {version} has",
                        table.name
                    ))
                    .hint("no book was made; export the tables again")
                })
        })
        .collect()
}

/// Reads one table. Its file is named after the table of the schema: no name in a file is ever opened.
fn load(
    loading: &Loading,
    folder: &Path,
    table: &Table,
    described: &Described,
) -> anyhow::Result<()> {
    let name = file_name(&table.name);
    let path = folder.join(&name);
    let unreadable =
        |error: io::Error| Problem::new(format!("`{}` cannot be read: {error}", path.display()));
    let digest = digest_of(&mut File::open(&path).map_err(unreadable)?).map_err(unreadable)?;
    if digest != described.sha256 {
        return Err(Problem::new(format!(
            "`{}` was changed since it was exported",
            path.display()
        ))
        .hint("no book was made; a spreadsheet that saves a file may change it: export the tables again")
        .into());
    }
    let file = BufReader::new(File::open(&path).map_err(unreadable)?);
    loading.load(table, render::tables::rows(&name, table, file)?)
}

/// Exports the new book again: every table must come to the same bytes.
fn prove(loaded: &Loaded, description: &Description) -> anyhow::Result<()> {
    for table in loaded.view().tables()? {
        // A row that cannot be read is missing in the digest.
        let (rows, digest, _) = write(loaded.view(), &table, io::sink(), |_| Ok(()))?;
        let same = description.tables.iter().any(|described| {
            described.table == table.name && described.rows == rows && described.sha256 == digest
        });
        if !same {
            return Err(Problem::new(format!(
                "table `{}` came out otherwise than it was exported",
                table.name
            ))
            .hint("no book was made; export the tables again")
            .into());
        }
    }
    Ok(())
}
