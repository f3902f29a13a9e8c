//! The book as it was when a long question began, read a piece at a time.

use super::View;
use super::in_force::{IN_FORCE, OUT_OF_FORCE};
use crate::quantity::Problem;
use rusqlite::Connection;

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
}

impl<'a> AsOf<'a> {
    /// The number of the newest entry.
    pub const fn newest(&self) -> i64 {
        self.newest
    }

    /// Reads a piece in one short transaction, which has ended when the piece is handed out. Everything that
    /// `ask` finds is as of the newest entry; of what is kept beside the entries only the list of tested lots and what
    /// is out of force are, not the facts of lots and the names of sources.
    ///
    /// # Errors
    ///
    /// Besides those of `ask`: another book was put into the file meanwhile.
    pub fn read<T>(&self, ask: impl FnOnce(View<'a>) -> anyhow::Result<T>) -> anyhow::Result<T> {
        let connection = self.view.connection;
        // Rolled back in the end, and the views that lie over the tables with it.
        let _transaction = connection.unchecked_transaction()?;
        if schema_count(connection)? != self.schema_count {
            return Err(
                Problem::new("the book was replaced by another while it was read")
                    .hint("the answer breaks off here; ask again")
                    .into(),
            );
        }
        // Nothing was written since: there is nothing to leave out.
        if self.view.last_entry()? == self.newest {
            return ask(self.view);
        }
        // A private copy of an older book takes no views otherwise.
        let reads_only: bool =
            connection.pragma_query_value(None, "query_only", |row| row.get(0))?;
        connection.pragma_update(None, "query_only", false)?;
        connection.execute_batch(&self.views())?;
        connection.pragma_update(None, "query_only", reads_only)?;
        ask(View {
            remembered: None,
            ..self.view
        })
    }

    /// Views of this connection that lie over the book's own tables. A plus keeps the bound from being taken for
    /// a way to find rows. What was tested is found by the kept list, and besides among the lots that somebody has
    /// written about since, whose tests may be struck by now.
    fn views(&self) -> String {
        format!(
            "CREATE TEMP VIEW entry AS SELECT * FROM main.entry WHERE +id <= {newest};
             {OUT_OF_FORCE}
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
                     AND {was_tested};",
            newest = self.newest,
            was_tested = was_tested()
        )
    }
}

/// That a lot, `kept` in the statement, has come and was tested.
fn was_tested() -> String {
    format!(
        "EXISTS (SELECT 1 FROM entry WHERE lot_id = kept.lot_id AND kind = 'moisture' AND {IN_FORCE})
             AND EXISTS (SELECT 1 FROM entry WHERE {IN_FORCE}
                 AND ((lot_id = kept.lot_id AND kind = 'pickup') OR new_lot_id = kept.lot_id))"
    )
}

/// SQLite's count of changes to the schema; it moves on when another book is put into the file.
pub(super) fn schema_count(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(Some("main"), "schema_version", |row| row.get(0))
}
