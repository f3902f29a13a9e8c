//! The book as it was: when a long question began, which is read a piece at a time, or when a dough was weighed out.

use super::in_force::{IN_FORCE, OUT_OF_FORCE};
use super::{LotRecord, View};
use crate::quantity::Problem;
use rusqlite::{Connection, params};

/// The book as of its newest entry when this was made. Later entries, and strikes among them, are left out
/// whatever others write between two reads.
#[derive(Clone, Copy)]
pub struct AsOf<'a> {
    view: View<'a>,
    newest: i64,
    schema_count: i64,
}

impl<'a> View<'a> {
    /// The book as of its newest entry.
    pub fn as_of_newest(self) -> anyhow::Result<AsOf<'a>> {
        let _still = self.hold_still()?;
        Ok(AsOf {
            newest: self.last_entry()?,
            schema_count: schema_count(self.connection)?,
            view: self,
        })
    }

    /// Asks the book as it stood after the entry with this number. Of what is kept beside the entries, what is out of
    /// force and the lots that were tested or had come are as of then; the facts of lots, the names of sources and how
    /// much is left of a lot are not.
    pub fn as_it_stood<T>(
        self,
        newest: i64,
        ask: impl FnOnce(Self) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        // Nothing was written since: there is nothing to leave out.
        if self.last_entry()? == newest {
            return ask(self);
        }
        self.through(&views(newest), ask)
    }

    /// Whether a lot had come or was made, and is as old and of the form that the entries say: of a book as it stood, what is
    /// kept beside the entries says so by now.
    pub fn had_come_as_known(&self, lot: &LotRecord) -> anyhow::Result<bool> {
        let had_come: bool = self
            .connection
            .prepare_cached(&format!(
                "SELECT {had_come} FROM (SELECT ?1 AS lot_id) AS kept",
                had_come = had_come()
            ))?
            .query_row(params![lot.id], |row| row.get(0))?;
        if !had_come {
            return Ok(false);
        }
        for origin in self.origins(lot)? {
            let due = self.facts_due(origin.id)?;
            if (due.mash_out, due.form) != (origin.mash_out, origin.form) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Asks the book as if the entries from this number on did not count. What those before it say counts unless something
    /// takes them out by now. What is kept beside the entries is as it is: lots, their facts and what is left of them.
    pub fn without_since<T>(
        self,
        entry: i64,
        ask: impl FnOnce(Self) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        self.through(&left_out(&format!("id >= {entry}")), ask)
    }

    /// The same as if the entries of these numbers did not count: few, since a list of thousands makes each question slow.
    pub fn without<T>(
        self,
        entries: &[i64],
        ask: impl FnOnce(Self) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        let numbers: Vec<String> = entries.iter().map(ToString::to_string).collect();
        let numbers = numbers.join(", ");
        self.through(&left_out(&format!("id IN ({numbers})")), ask)
    }

    /// Asks the book through views that lie over its own tables.
    fn through<T>(
        self,
        views: &str,
        ask: impl FnOnce(Self) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        let connection = self.connection;
        // A private copy of an older book takes no views otherwise.
        let reads_only: bool =
            connection.pragma_query_value(None, "query_only", |row| row.get(0))?;
        connection.pragma_update(None, "query_only", false)?;
        connection.execute_batch(&format!("SAVEPOINT as_it_is; {NO_VIEWS} {views}"))?;
        connection.pragma_update(None, "query_only", reads_only)?;
        let asked = ask(View {
            remembered: None,
            ..self
        });
        // Takes the views away that lie over the tables.
        connection.execute_batch("ROLLBACK TO as_it_is; RELEASE as_it_is;")?;
        asked
    }
}

impl<'a> AsOf<'a> {
    /// The number of the newest entry.
    pub const fn newest(&self) -> i64 {
        self.newest
    }

    /// Reads a piece in one short transaction, which has ended when the piece is handed out. Everything that
    /// `ask` finds is as of the newest entry, see [`View::as_it_stood`].
    ///
    /// # Errors
    ///
    /// Besides those of `ask`: another book was put into the file meanwhile.
    pub fn read<T>(&self, ask: impl FnOnce(View<'a>) -> anyhow::Result<T>) -> anyhow::Result<T> {
        let connection = self.view.connection;
        let _transaction = connection.unchecked_transaction()?;
        if schema_count(connection)? != self.schema_count {
            return Err(
                Problem::new("the book was replaced by another while it was read")
                    .hint("the answer breaks off here; ask again")
                    .into(),
            );
        }
        self.view.as_it_stood(self.newest, ask)
    }
}

/// A question that is asked of the book as it stood may ask what stood before that: its own views take the place of those.
const NO_VIEWS: &str = "DROP VIEW IF EXISTS temp.entry; DROP VIEW IF EXISTS temp.out_of_force;
    DROP VIEW IF EXISTS temp.stock; DROP VIEW IF EXISTS temp.tested;";

/// A view that takes these entries out of force too.
fn left_out(these: &str) -> String {
    format!(
        "CREATE TEMP VIEW out_of_force AS SELECT entry_id, by_entry_id FROM main.out_of_force
         UNION ALL SELECT id, id FROM main.entry WHERE {these};"
    )
}

/// Views of one connection that lie over the book's own tables and leave out what came after an entry. A plus keeps the
/// bound from being taken for a way to find rows. What was tested is found by the kept list, and besides among the lots
/// that somebody has written about since, whose tests may be struck by now.
fn views(newest: i64) -> String {
    let (had_come, was_tested) = (had_come(), was_tested());
    format!(
        "CREATE TEMP VIEW entry AS SELECT * FROM main.entry WHERE +id <= {newest};
         {OUT_OF_FORCE}
         CREATE TEMP VIEW stock AS
             SELECT * FROM main.stock AS kept WHERE {had_come};
         CREATE TEMP VIEW tested AS
             SELECT source_id, kind, form, brewed_on, lot_id FROM main.tested AS kept WHERE {was_tested}
             UNION ALL
             SELECT coalesce(facts.source_id, lot.source_id), coalesce(facts.kind, lot.kind),
                 coalesce(facts.form, lot.form), brewed_on, kept.lot_id
             FROM (SELECT lot_id FROM main.entry WHERE id > {newest} AND lot_id NOT NULL
                   UNION SELECT new_lot_id FROM main.entry WHERE new_lot_id NOT NULL
                       AND id IN (SELECT struck_entry_id FROM main.entry WHERE id > {newest})) AS kept
             JOIN lot ON lot.id = kept.lot_id LEFT JOIN lot_now AS facts ON facts.lot_id = lot.id
             WHERE NOT EXISTS (SELECT 1 FROM main.tested AS known WHERE known.lot_id = kept.lot_id
                       AND known.source_id = coalesce(facts.source_id, lot.source_id)
                       AND known.kind = coalesce(facts.kind, lot.kind)
                       AND known.form = coalesce(facts.form, lot.form) AND known.brewed_on = lot.brewed_on)
                 AND {was_tested};"
    )
}

/// That a lot, `kept` in the statement, had come.
fn had_come() -> String {
    format!(
        "EXISTS (SELECT 1 FROM entry WHERE {IN_FORCE}
             AND ((lot_id = kept.lot_id AND kind = 'pickup') OR new_lot_id = kept.lot_id))"
    )
}

/// That a lot, `kept` in the statement, had come and was tested.
fn was_tested() -> String {
    format!(
        "{had_come} AND EXISTS (SELECT 1 FROM entry WHERE lot_id = kept.lot_id AND kind = 'moisture' AND {IN_FORCE})",
        had_come = had_come()
    )
}

/// SQLite's count of changes to the schema; it moves on when another book is put into the file.
pub(super) fn schema_count(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(Some("main"), "schema_version", |row| row.get(0))
}
