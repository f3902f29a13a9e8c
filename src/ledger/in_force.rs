//! Which entries count. Decided here and nowhere else.
//!
//! A strike takes an entry out, unless the strike is struck itself. An amending entry takes the place of the one it
//! amends, unless it was struck; where it is amended in turn, the first one stays out. What follows from that is
//! kept in `out_of_force`, so that one look-up tells it.

use super::{Act, EntryKind, View};
use rusqlite::{OptionalExtension, params};
use std::collections::{BTreeMap, HashMap};

/// The condition that an entry counts. The entry is called `entry` in the statement.
pub(super) const IN_FORCE: &str =
    "NOT EXISTS (SELECT 1 FROM out_of_force AS gone WHERE gone.entry_id = entry.id)";

/// The condition that the clock by which an entry was written did not run ahead, as far as the book knows: what was struck or
/// corrected at an earlier moment than it says was written by one that did, also where its correction is what was. What was
/// taken out for another reason was still written when it says. The entry is called `earlier` in the statement.
pub(super) const KEEPS_ITS_TIME: &str = "NOT EXISTS (
    WITH RECURSIVE taker(id) AS (
        SELECT by_entry_id FROM out_of_force WHERE entry_id = earlier.id
        UNION SELECT gone.by_entry_id FROM taker JOIN out_of_force AS gone ON gone.entry_id = taker.id)
    SELECT 1 FROM taker JOIN entry AS by ON by.id = taker.id WHERE by.recorded_at < earlier.recorded_at)";

/// The number of the entry that was written first, of one and those that it takes the place of: among entries of one
/// moment a correction stands where that one stood. The entry is called `entry` in the statement.
pub(super) const FIRST: &str = "(CASE WHEN entry.amends_entry_id IS NULL THEN entry.id ELSE (
    WITH RECURSIVE older(id, amends) AS (
        SELECT entry.id, entry.amends_entry_id
        UNION ALL SELECT was.id, was.amends_entry_id FROM older JOIN entry AS was ON was.id = older.amends)
    SELECT min(id) FROM older) END)";

/// A view with what table `out_of_force` keeps, worked out from the entries, for a connection that hides later ones. A strike of a strike is not
/// struck itself, so this is deep enough.
pub(super) const OUT_OF_FORCE: &str = "CREATE TEMP VIEW out_of_force AS
    SELECT by.struck_entry_id AS entry_id, by.id AS by_entry_id FROM entry AS by
    WHERE by.struck_entry_id IS NOT NULL AND NOT EXISTS (
        SELECT 1 FROM entry AS again WHERE again.struck_entry_id = by.id)
    UNION ALL
    SELECT by.amends_entry_id, by.id FROM entry AS by
    WHERE by.amends_entry_id IS NOT NULL AND NOT EXISTS (
        SELECT 1 FROM entry AS strike WHERE strike.struck_entry_id = by.id AND NOT EXISTS (
            SELECT 1 FROM entry AS again WHERE again.struck_entry_id = strike.id));";

/// The same for an entry whose number is `number` in the statement.
pub(super) fn in_force(number: &str) -> String {
    IN_FORCE.replace("entry.id", number)
}

/// An entry that names another, to strike it or to take its place.
#[derive(Debug, Clone, Copy)]
struct Naming {
    entry: i64,
    strikes: bool,
    named: i64,
}

/// What is out of force, each with what takes it out: the fold of all entries that name others, newest first, since
/// one is named by later ones only.
fn fold(mut all: Vec<Naming>) -> BTreeMap<i64, i64> {
    all.sort_by_key(|one| std::cmp::Reverse(one.entry));
    let mut struck: HashMap<i64, i64> = HashMap::new();
    let mut amended: HashMap<i64, i64> = HashMap::new();
    for one in all {
        if struck.contains_key(&one.entry) {
            continue;
        }
        let taken_out = if one.strikes {
            &mut struck
        } else {
            &mut amended
        };
        taken_out.entry(one.named).or_insert(one.entry);
    }
    amended.into_iter().chain(struck).collect()
}

impl View<'_> {
    /// What takes an entry out of force, and whether that is a strike; nothing while it counts.
    pub(super) fn taken_out_by(&self, entry: i64) -> rusqlite::Result<Option<(i64, bool)>> {
        self.connection
            .prepare_cached(
                "SELECT by.id, by.kind FROM out_of_force JOIN entry AS by ON by.id = by_entry_id
                 WHERE out_of_force.entry_id = ?1",
            )?
            .query_row(params![entry], |row| {
                let kind: EntryKind = row.get(1)?;
                Ok((row.get(0)?, kind == EntryKind::Strike))
            })
            .optional()
    }

    /// The entry that counts in the place of a corrected one, the last of its corrections; nothing where none does.
    pub(crate) fn in_place_of(&self, entry: i64) -> rusqlite::Result<Option<i64>> {
        let mut last = None;
        while let Some((by, false)) = self.taken_out_by(last.unwrap_or(entry))? {
            last = Some(by);
        }
        Ok(last)
    }

    /// How many entries are kept as out of force or in force that are not.
    pub(super) fn wrongly_in_force(&self) -> rusqlite::Result<usize> {
        let named = self
            .connection
            .prepare(
                "SELECT id, struck_entry_id IS NOT NULL, coalesce(struck_entry_id, amends_entry_id) FROM entry
                 WHERE struck_entry_id IS NOT NULL OR amends_entry_id IS NOT NULL",
            )?
            .query_map([], |row| {
                Ok(Naming {
                    entry: row.get(0)?,
                    strikes: row.get(1)?,
                    named: row.get(2)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        let kept: BTreeMap<i64, i64> = self
            .connection
            .prepare("SELECT entry_id, by_entry_id FROM out_of_force")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        let due = fold(named);
        let missing = due.iter().filter(|(of, by)| kept.get(of) != Some(by));
        let too_many = kept.keys().filter(|of| !due.contains_key(of));
        Ok(missing.count() + too_many.count())
    }
}

impl Act<'_> {
    /// Keeps anew whether an entry counts, and what follows from that for the one that it names.
    pub(super) fn settle(&self, entry: i64) -> rusqlite::Result<()> {
        let mut next = Some(entry);
        while let Some(entry) = next {
            let by: Option<i64> = self
                .transaction
                .prepare_cached(
                    "SELECT id FROM entry AS by WHERE (struck_entry_id = ?1 OR amends_entry_id = ?1)
                       AND NOT EXISTS (
                           SELECT 1 FROM out_of_force AS gone JOIN entry AS strike ON strike.id = gone.by_entry_id
                           WHERE gone.entry_id = by.id AND strike.struck_entry_id IS NOT NULL)
                     ORDER BY struck_entry_id IS NULL, id DESC LIMIT 1",
                )?
                .query_row(params![entry], |row| row.get(0))
                .optional()?;
            self.transaction
                .prepare_cached("DELETE FROM out_of_force WHERE entry_id = ?1")?
                .execute(params![entry])?;
            if let Some(by) = by {
                self.transaction
                    .prepare_cached(
                        "INSERT INTO out_of_force (entry_id, by_entry_id) VALUES (?1, ?2)",
                    )?
                    .execute(params![entry, by])?;
            }
            next = self
                .transaction
                .prepare_cached(
                    "SELECT coalesce(struck_entry_id, amends_entry_id) FROM entry WHERE id = ?1",
                )?
                .query_row(params![entry], |row| row.get(0))?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn out(all: &[(i64, bool, i64)]) -> Vec<(i64, i64)> {
        let all = all.iter().map(|(entry, strikes, named)| Naming {
            entry: *entry,
            strikes: *strikes,
            named: *named,
        });
        fold(all.collect()).into_iter().collect()
    }

    #[test]
    fn a_struck_strike_brings_its_entry_back_and_another_strike_takes_it_out_again() {
        assert_eq!(out(&[(5, true, 1)]), [(1, 5)]);
        assert_eq!(out(&[(5, true, 1), (6, true, 5)]), [(5, 6)]);
        assert_eq!(
            out(&[(5, true, 1), (6, true, 5), (7, true, 1)]),
            [(1, 7), (5, 6)]
        );
        assert_eq!(
            out(&[(5, true, 1), (6, true, 5), (7, true, 6)]),
            [(1, 5), (6, 7)]
        );
    }

    #[test]
    fn an_amended_entry_stays_out_while_its_amendment_is_amended_and_comes_back_with_a_strike() {
        assert_eq!(out(&[(5, false, 1), (6, false, 5)]), [(1, 5), (5, 6)]);
        assert_eq!(
            out(&[(5, false, 1), (6, false, 5), (7, true, 6)]),
            [(1, 5), (6, 7)]
        );
        assert_eq!(out(&[(5, false, 1), (6, true, 5)]), [(5, 6)]);
    }
}
