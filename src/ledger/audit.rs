//! Proof that a book is whole: SQLite's own checks, the schema, the fold of all entries.

use super::bakes::open;
use super::in_force::IN_FORCE;
use super::{About, Book, Digest, EntryKind, View, chain, failure, schema};
use crate::dough::formula::Formula;

/// What an audit found. Empty means whole.
#[derive(Debug, Clone, Default)]
pub struct Audit {
    /// How many entries were folded.
    pub entries: i64,
    /// How many lots are on hand.
    pub on_hand: usize,
    /// The digest of the newest link of the chain, where that is whole.
    pub newest: Option<Digest>,
    /// What is wrong, one line each.
    pub damage: Vec<String>,
}

impl Audit {
    /// The audit of a book that cannot even be opened.
    pub fn of_damage(found: String) -> Self {
        Self {
            damage: vec![found],
            ..Self::default()
        }
    }
}

impl Book {
    /// Checks everything there is to check. Reads only. What cannot even be read is damage too.
    pub fn audit(&self) -> anyhow::Result<Audit> {
        let view = self.view();
        let mut audit = Audit::default();
        audit.note(|audit| view.check_file(audit))?;
        // On a damaged file, or with tables that are not ours, every further sum would be noise.
        if audit.damage.is_empty() {
            audit.note(|audit| view.check_schema(audit))?;
        }
        if audit.damage.is_empty() {
            audit.note(|audit| view.check_references(audit))?;
        }
        if !audit.damage.is_empty() {
            return Ok(audit);
        }
        audit.note(|_| About::read(view.connection, &view.about().path).map(drop))?;
        audit.note(|audit| {
            let wrong = view.wrongly_in_force()?;
            if wrong != 0 {
                audit.damage.push(format!(
                    "what is struck or amended differs from what is kept as out of force in {wrong} entries"
                ));
            }
            let wrong = view.wrong_facts()?;
            if wrong != 0 {
                audit.damage.push(format!(
                    "the facts kept of {wrong} lots and sources differ from the entries about them"
                ));
            }
            Ok(())
        })?;
        audit.note(|audit| view.check_stock(audit))?;
        audit.note(|audit| view.check_balance(audit))?;
        audit.note(|audit| view.check_tested(audit))?;
        audit.note(|audit| view.check_bakes(audit))?;
        audit.note(|audit| view.check_numbers(audit))?;
        audit.note(|audit| view.check_identity(audit))?;
        audit.note(|audit| view.check_texts(audit))?;
        audit.note(|audit| view.check_chain(audit))?;
        audit.note(|audit| {
            let damaged = view.damaged_readings()?;
            if damaged != 0 {
                audit.damage.push(format!(
                    "{damaged} entries of readings do not hold the readings that they speak of"
                ));
            }
            Ok(())
        })?;
        Ok(audit)
    }
}

impl Audit {
    /// Does one check. What it trips over is damage, but that another program holds the book.
    fn note(&mut self, check: impl FnOnce(&mut Self) -> anyhow::Result<()>) -> anyhow::Result<()> {
        match check(self) {
            Err(error) if failure::is_busy(&error) => Err(error),
            Err(error) => {
                let words = failure::damage(&error).unwrap_or_else(|| format!("{error:#}"));
                self.damage.push(words);
                Ok(())
            }
            Ok(()) => Ok(()),
        }
    }
}

impl View<'_> {
    fn check_file(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let mut statement = self.connection.prepare("PRAGMA integrity_check")?;
        let mut rows = statement.query([])?;
        loop {
            match rows.next() {
                Ok(Some(row)) => {
                    let line: String = row.get(0)?;
                    if line != "ok" {
                        audit.damage.push(format!("file: {line}"));
                    }
                }
                Ok(None) => break,
                Err(error) => {
                    audit.damage.push(format!("file: {error}"));
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    /// Every row that points to another points to one that is there.
    fn check_references(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let mut statement = self
            .connection
            .prepare("SELECT \"table\", rowid, parent FROM pragma_foreign_key_check")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (table, id, parent): (String, Option<i64>, String) =
                (row.get(0)?, row.get(1)?, row.get(2)?);
            audit.damage.push(format!(
                "{table} {} points to no {parent}",
                id.map_or(String::new(), |id| id.to_string())
            ));
        }
        Ok(())
    }

    /// Compares the tables and triggers with what the migrations make of an empty file.
    fn check_schema(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let told = schema::differences(self.connection, self.schema_version()?)?;
        audit.damage.extend(told);
        Ok(())
    }

    /// Folds all entries and compares with what is kept as stock.
    fn check_stock(&self, audit: &mut Audit) -> anyhow::Result<()> {
        audit.entries = self
            .connection
            .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?;
        let fold = self.fold_entries(None)?;
        let mut kept: std::collections::BTreeMap<i64, (i64, i64)> = self
            .connection
            .prepare("SELECT lot_id, wet_mg, place_id FROM stock")?
            .query_map([], |row| Ok((row.get(0)?, (row.get(1)?, row.get(2)?))))?
            .collect::<Result<_, _>>()?;
        audit.on_hand = kept.len();
        for (lot, held) in fold.held() {
            let code = || {
                self.lot_by_id(*lot)
                    .map_or_else(|_| format!("number {lot}"), |lot| lot.code.to_string())
            };
            if held.wet < 0 {
                audit.damage.push(format!(
                    "lot {}: {} mg more went out than came in",
                    code(),
                    -held.wet
                ));
            }
            let expected = (held.wet > 0).then_some((held.wet, held.place));
            let found = kept.remove(lot);
            if found != expected {
                audit.damage.push(format!(
                    "lot {}: its entries come to {}, kept as on hand is {}",
                    code(),
                    stock_words(expected),
                    stock_words(found)
                ));
            }
        }
        for (lot, found) in kept {
            audit.damage.push(format!(
                "lot number {lot}: no entry, but kept as on hand is {}",
                stock_words(Some(found))
            ));
        }
        Ok(())
    }

    /// Adds up what came in and where it went, over the whole book: wet grain in + water added in treatments =
    /// used + given + thrown away + lost in treatments + found missing + on hand. A treatment counts by what it lost
    /// less what it added.
    fn check_balance(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let without: i64 = self.connection.query_row(
            "SELECT (SELECT count(*) FROM entry WHERE kind = 'treat' AND id NOT IN (SELECT entry_id FROM treatment))
                  + (SELECT count(*) FROM entry WHERE kind = 'count' AND id NOT IN (SELECT entry_id FROM stock_count))",
            [],
            |row| row.get(0),
        )?;
        if without != 0 {
            audit.damage.push(format!(
                "{without} treatments and counts do not say what was weighed"
            ));
        }
        let rest: i64 = self.connection.query_row(
            &format!(
                "SELECT coalesce(sum(CASE kind
                     WHEN 'pickup' THEN wet_mg
                     WHEN 'use' THEN -wet_mg
                     WHEN 'discard' THEN -wet_mg
                     WHEN 'give' THEN -wet_mg
                     WHEN 'treat' THEN (SELECT out_mg FROM treatment WHERE entry_id = entry.id) - wet_mg
                     WHEN 'count' THEN -(SELECT less_mg FROM stock_count WHERE entry_id = entry.id)
                     ELSE 0 END), 0) - (SELECT coalesce(sum(wet_mg), 0) FROM stock)
                 FROM entry WHERE kind IN ('pickup', 'use', 'discard', 'give', 'treat', 'count') AND {IN_FORCE}"
            ),
            [],
            |row| row.get(0),
        )?;
        if rest != 0 {
            audit.damage.push(format!(
                "the balance does not close: what came in and what became of it differ by {rest} mg"
            ));
        }
        Ok(())
    }

    /// Compares the list of tested lots with the tests in force.
    fn check_tested(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let wrong: i64 = self.connection.query_row(
            &format!(
                "WITH void AS (
                 SELECT coalesce(new_lot_id, lot_id) AS lot_id FROM entry
                 WHERE kind IN {kinds} GROUP BY 1 HAVING NOT max({IN_FORCE})),
             in_force AS (
                 SELECT DISTINCT coalesce(facts.source_id, lot.source_id), coalesce(facts.kind, lot.kind),
                     coalesce(facts.form, lot.form), lot.brewed_on, lot.id
                 FROM entry JOIN lot ON lot.id = entry.lot_id LEFT JOIN lot_now AS facts ON facts.lot_id = lot.id
                 WHERE entry.kind = 'moisture' AND {IN_FORCE}
                   AND lot.id NOT IN (SELECT lot_id FROM void))
             SELECT (SELECT count(*) FROM (SELECT * FROM in_force EXCEPT SELECT * FROM tested))
                  + (SELECT count(*) FROM (SELECT * FROM tested EXCEPT SELECT * FROM in_force))",
                kinds = EntryKind::list(|kind| kind == EntryKind::Pickup || kind.makes_lot())
            ),
            [],
            |row| row.get(0),
        )?;
        if wrong != 0 {
            audit.damage.push(format!(
                "the list of tested lots differs from the moisture tests in {wrong} lots"
            ));
        }
        Ok(())
    }
}

impl View<'_> {
    /// Compares the list of open bakes with the entries about them.
    fn check_bakes(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let open = open();
        let wrong: i64 = self.connection.query_row(
            &format!(
                "WITH due AS ({open}), kept AS (SELECT bake_id, entry_id FROM open_bake)
                 SELECT (SELECT count(*) FROM (SELECT * FROM due EXCEPT SELECT * FROM kept))
                      + (SELECT count(*) FROM (SELECT * FROM kept EXCEPT SELECT * FROM due))"
            ),
            [],
            |row| row.get(0),
        )?;
        if wrong != 0 {
            audit.damage.push(format!(
                "the list of bakes to come differs from the entries about bakes in {wrong} places"
            ));
        }
        Ok(())
    }
}

impl View<'_> {
    /// Every entry has the number after the one before it: a hole is an entry that was taken out.
    fn check_numbers(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let (number, last): (i64, i64) = self.connection.query_row(
            "SELECT count(*), coalesce(max(id), 0) FROM entry",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        if number != last {
            audit.damage.push(format!(
                "entry numbers: {number} entries are there, the last has number {last}"
            ));
        }
        Ok(())
    }

    /// The ids of the book are no part of the chain: phones and open pages know it by them.
    fn check_identity(&self, audit: &mut Audit) -> anyhow::Result<()> {
        let rows: i64 =
            self.connection
                .query_row("SELECT count(*) FROM book_identity", [], |row| row.get(0))?;
        if rows == 0 {
            audit
                .damage
                .push("table book_identity: its row is missing".to_owned());
        }
        Ok(())
    }

    /// Follows the chain over all entries and versions of formulas.
    fn check_chain(&self, audit: &mut Audit) -> anyhow::Result<()> {
        audit.damage.extend(chain::strays(self.connection)?);
        match chain::verify(self.connection)? {
            Ok(newest) => audit.newest = newest,
            Err(found) => audit.damage.push(found),
        }
        Ok(())
    }

    /// Reads every row as other commands do, and every text that they have to understand.
    fn check_texts(&self, audit: &mut Audit) -> anyhow::Result<()> {
        for table in self.tables()? {
            if let Err(error) = self.each_row(&table, |_| Ok(())) {
                let told = failure::damage(&error)
                    .unwrap_or_else(|| format!("table {}: {error:#}", table.name));
                audit.damage.push(told);
            }
        }
        for (id, name, version) in self.formula_versions()? {
            let read = self
                .formula_by_id(id)
                .map_err(anyhow::Error::from)
                .and_then(|found| Ok(Formula::from_text(&found.text).map(drop)?));
            if let Err(error) = read {
                let told = failure::damaged_part(&error)
                    .unwrap_or_else(|| format!("formula `{name}`, version {version}: {error:#}"));
                audit.damage.push(told);
            }
        }
        Ok(())
    }
}

fn stock_words(held: Option<(i64, i64)>) -> String {
    held.map_or_else(
        || "nothing".to_owned(),
        |(wet, place)| format!("{wet} mg in place {place}"),
    )
}
