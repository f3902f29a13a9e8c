//! A new book made from the rows of all tables of another.

use super::files::{Draft, folder_of, make_private_folder};
use super::migrate::{self, Migration};
use super::tables::{self, Cell, Table, quoted};
use super::{Book, View, connection, failure, replace};
use crate::quantity::{Instant, Problem};
use rusqlite::{Connection, Error, ErrorCode, params_from_iter};
use std::path::Path;

/// A book that rows are put into. It has its name once it was proved whole.
pub struct Loading {
    draft: Draft,
    connection: Connection,
    /// What made the triggers: they watch over acts, and nothing of that happens anew here.
    triggers: Vec<String>,
}

/// A book that holds all rows, still without its name.
pub struct Loaded {
    draft: Draft,
    book: Book,
}

impl Loading {
    /// Empty tables of a schema version, for a book that is to lie at `target`.
    pub fn begin(target: &Path, version: i32) -> anyhow::Result<Self> {
        let steps = migrate::all();
        migrate::refuse_newer(version, &steps)?;
        if version < 1 {
            return Err(Problem::new(format!("there is no schema version {version}")).into());
        }
        Self::of_steps(target, version, &steps)
    }

    fn of_steps(target: &Path, version: i32, steps: &[Migration]) -> anyhow::Result<Self> {
        make_private_folder(folder_of(target))?;
        let draft = Draft::private(target)?;
        let connection = connection::begin_new(draft.path())?;
        connection.pragma_update(None, "cache_size", -65_536)?;
        connection.execute_batch("BEGIN IMMEDIATE")?;
        for step in steps.iter().filter(|step| step.version <= version) {
            connection.execute_batch(step.sql)?;
        }
        migrate::mark(&connection, version)?;
        let triggers: Vec<(String, String)> = connection
            .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        for (name, _) in &triggers {
            connection.execute_batch(&format!("DROP TRIGGER {}", quoted(name)))?;
        }
        let loading = Self {
            draft,
            connection,
            triggers: triggers.into_iter().map(|(_, sql)| sql).collect(),
        };
        // Rows that a step itself has put there come again from the other book.
        for table in loading.tables()? {
            loading
                .connection
                .execute(&format!("DELETE FROM {}", quoted(&table.name)), [])?;
        }
        Ok(loading)
    }

    /// All tables by name.
    pub fn tables(&self) -> anyhow::Result<Vec<Table>> {
        tables::all(&self.connection)
    }

    /// Puts rows into a table, each with the words for where it comes from.
    pub fn load(
        &self,
        table: &Table,
        rows: impl Iterator<Item = Result<(String, Vec<Cell>), Problem>>,
    ) -> anyhow::Result<()> {
        let names: Vec<String> = table
            .columns
            .iter()
            .map(|column| quoted(&column.name))
            .collect();
        let mut statement = self.connection.prepare(&format!(
            "INSERT INTO {} ({}) VALUES (?1{})",
            quoted(&table.name),
            names.join(", "),
            ", ?".repeat(names.len().saturating_sub(1))
        ))?;
        for row in rows {
            let (place, cells) = row?;
            statement
                .execute(params_from_iter(&cells))
                .map_err(|error| refused(error, &place))?;
        }
        Ok(())
    }

    /// All rows are there.
    pub fn finish(self) -> anyhow::Result<Loaded> {
        for sql in &self.triggers {
            self.connection.execute_batch(sql)?;
        }
        self.connection.execute_batch("COMMIT")?;
        self.connection.pragma_update(None, "foreign_keys", true)?;
        let book = Book::read(self.connection, self.draft.path())?;
        Ok(Loaded {
            draft: self.draft,
            book,
        })
    }
}

impl Loaded {
    /// Questions to the book as it was loaded.
    pub fn view(&self) -> View<'_> {
        self.book.view()
    }

    /// Upgrades the book where it is older, proves it whole and gives it its name.
    pub fn accept(self, target: &Path, now: Instant) -> anyhow::Result<Book> {
        let Self { draft, book } = self;
        // The connection is closed before its pages are taken.
        let audit = book.brought_up(now).and_then(|book| {
            book.fill_identity()?;
            let audit = book.audit()?;
            book.begin_line(now)?;
            Ok(audit)
        });
        let damage = match &audit {
            Ok(audit) => audit.damage.first().cloned(),
            Err(error) => failure::damage(error),
        };
        if let Some(found) = damage {
            return Err(
                Problem::new(format!("what was read is no whole book: {found}"))
                    .hint("no book was made; `check` on the book that was exported says more")
                    .into(),
            );
        }
        audit?;
        replace::fill_free(draft.path(), target)?;
        Book::open(target, now)
    }
}

/// What the book says against a row, with the place that it comes from.
fn refused(error: Error, place: &str) -> anyhow::Error {
    match &error {
        Error::SqliteFailure(failure, Some(words))
            if failure.code == ErrorCode::ConstraintViolation
                || failure.code == ErrorCode::TypeMismatch =>
        {
            Problem::new(format!("{place}: a book does not take this row: {words}"))
                .hint("no book was made; export the tables again")
                .into()
        }
        _ => error.into(),
    }
}

#[cfg(test)]
mod tests;
