//! `export-all`: every table of the book as CSV, and what the tables are.

use super::Outcome;
use crate::context::Errand;
use crate::ledger::View;
use crate::ledger::files::{
    self, folder_of, make_private, make_private_folder, sync_folder, unwritable,
};
use crate::ledger::tables::{Cell, Table, Unread};
use crate::quantity::Problem;
use crate::render;
use crate::render::json::tables::{Carried, Described, Description};
use crate::rows::bounded::NAMED;
use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

/// The name of the file that says what the others are.
pub(super) const DESCRIPTION: &str = "description.json";
/// The name of the file that says what of a damaged book could not be read.
pub(super) const DAMAGE: &str = "damage.csv";

/// Write every table of the book as CSV, into a new folder
///
/// `import-all` makes a book of it again in which nothing is missing. Tables that are not the book's own are left out and named.
/// Of a damaged book it writes all that can be read, lists the rest in `damage.csv` and exits with 3. `import-all` refuses such a folder.
#[derive(clap::Args)]
#[command(after_help = "Example: draff export-all book-as-csv")]
pub struct Arguments {
    /// The folder to make; one that is there must be empty
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let folder = &arguments.folder;
    let book = errand.open_book_as_found()?;
    let view = book.view();
    refuse_taken(folder)?;
    let still = view.hold_still()?;
    let draft = Draft::beside(folder)?;
    let (tables, unread, others) = view.own_tables()?;
    let mut damage = DamageList::at(draft.0.join(DAMAGE));
    for unread in &unread {
        damage.add(unread)?;
    }
    let (mut described, mut entries) = (Vec::new(), 0);
    for table in tables {
        let file = file_name(&table.name);
        let path = draft.0.join(&file);
        let made = make_private(&path).map_err(|error| unwritable(&path, &error))?;
        let (rows, sha256, out) = write(view, &table, BufWriter::new(made), |unread| {
            damage.add(&unread)
        })?;
        if table.name == "entry" {
            entries = i64::try_from(rows)?;
        }
        let done = out.into_inner().map_err(io::IntoInnerError::into_error);
        done.and_then(|file| file.sync_all())
            .map_err(|error| unwritable(&path, &error))?;
        described.push(Described::new(&table, file, rows, sha256));
    }
    let (number, named) = damage.end()?;
    let description = Description::new(view.schema_version()?, described, number == 0);
    put(
        &draft.0.join(DESCRIPTION),
        &render::json::text(&description)?,
    )?;
    drop(still);
    draft.place(folder)?;
    errand.note_done(format!("the tables are in `{}`", folder.display()));
    let text = if errand.options.json {
        let path = &view.about().path;
        render::json::text(&Carried::new(folder, path, entries, &description))?
    } else {
        render::copies::exported(folder, entries, &description)
    };
    errand.print(&text)?;
    for line in others.iter().chain(&named) {
        errand.warn(&format!("left out: {line}"));
    }
    if number == 0 {
        return Ok(Outcome::Done);
    }
    errand.warn(&render::copies::damaged(
        &folder.join(DAMAGE),
        number,
        number - named.len(),
    ));
    Ok(Outcome::Found)
}

/// What cannot be read, listed in a file of its own as it is found.
struct DamageList {
    path: PathBuf,
    /// Made with the first line.
    file: Option<csv::Writer<File>>,
    number: usize,
    /// The first ones, in words.
    named: Vec<String>,
}

impl DamageList {
    const fn at(path: PathBuf) -> Self {
        Self {
            path,
            file: None,
            number: 0,
            named: Vec::new(),
        }
    }

    fn add(&mut self, unread: &Unread) -> anyhow::Result<()> {
        self.number += 1;
        if self.named.len() < NAMED {
            self.named.push(unread.to_string());
        }
        let file = match &mut self.file {
            Some(file) => file,
            None => {
                let made =
                    make_private(&self.path).map_err(|error| unwritable(&self.path, &error))?;
                let mut file = csv::Writer::from_writer(made);
                render::tables::damage_header(&mut file)?;
                self.file.insert(file)
            }
        };
        render::tables::damage(file, unread)
    }

    /// How many there are, and the first of them in words.
    fn end(self) -> anyhow::Result<(usize, Vec<String>)> {
        if let Some(file) = self.file {
            let done = file.into_inner().map_err(csv::IntoInnerError::into_error);
            done.and_then(|file| file.sync_all())
                .map_err(|error| unwritable(&self.path, &error))?;
        }
        Ok((self.number, self.named))
    }
}

/// `entry.csv`
pub(super) fn file_name(table: &str) -> String {
    format!("{table}.csv")
}

/// Writes what can be read of a table and gives the number of its rows and the SHA-256 of what was written.
pub(super) fn write<W: Write>(
    view: View<'_>,
    table: &Table,
    out: W,
    leave_out: impl FnMut(Unread) -> anyhow::Result<()>,
) -> anyhow::Result<(u64, String, W)> {
    let hashed = Hashed {
        out,
        digest: Sha256::new(),
    };
    let mut writer = csv::Writer::from_writer(hashed);
    render::tables::header(&mut writer, table)?;
    let mut rows = 0;
    let take = |cells: &[Cell]| {
        rows += 1;
        render::tables::row(&mut writer, cells)
    };
    view.each_readable_row(table, take, leave_out)?;
    let hashed = writer
        .into_inner()
        .map_err(csv::IntoInnerError::into_error)?;
    Ok((rows, digits(&hashed.digest.finalize()), hashed.out))
}

/// The SHA-256 of all that can be read.
pub(super) fn digest_of(from: &mut impl io::Read) -> io::Result<String> {
    let mut hashed = Hashed {
        out: io::sink(),
        digest: Sha256::new(),
    };
    io::copy(from, &mut hashed)?;
    Ok(digits(&hashed.digest.finalize()))
}

fn digits(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Passes on what is written, and digests it on the way.
struct Hashed<W> {
    out: W,
    digest: Sha256,
}

impl<W: Write> Write for Hashed<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.out.write(bytes)?;
        self.digest.update(&bytes[..written]);
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// Refuses what is no empty folder.
fn refuse_taken(folder: &Path) -> Result<(), Problem> {
    if files::is_free_for_folder(folder) {
        return Ok(());
    }
    Err(Problem::new(format!(
        "there is something at `{}` already",
        folder.display()
    ))
    .hint("it was not touched; name a folder that is not there yet"))
}

fn put(path: &Path, text: &str) -> Result<(), Problem> {
    let write = |mut file: File| {
        file.write_all(text.as_bytes())?;
        file.sync_all()
    };
    make_private(path)
        .and_then(write)
        .map_err(|error| unwritable(path, &error))
}

/// A folder under a name of its own, taken away again unless it gets its place.
struct Draft(PathBuf);

impl Draft {
    fn beside(folder: &Path) -> Result<Self, Problem> {
        let Some(name) = folder.file_name() else {
            return Err(
                Problem::new(format!("`{}` names no new folder", folder.display()))
                    .hint("name a folder that is not there yet"),
            );
        };
        files::refuse_folder_beside_book(folder)?;
        let draft = files::beside(&folder.with_file_name(name));
        make_private_folder(folder_of(&draft))?;
        make_private_folder(&draft)?;
        if let Ok(now) = fs::metadata(&draft) {
            files::clear_left(folder, &now);
        }
        Ok(Self(draft))
    }

    fn place(self, folder: &Path) -> Result<(), Problem> {
        sync_folder(&self.0.join(DESCRIPTION))
            .and_then(|()| fs::rename(&self.0, folder))
            .and_then(|()| sync_folder(folder))
            .map_err(|error| unwritable(folder, &error))
    }
}

impl Drop for Draft {
    /// What has its place has no folder of this name any more.
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}
