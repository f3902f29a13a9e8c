//! Entries of one act that stand and fall together.

use super::in_force::IN_FORCE;
use super::strike::Struck;
use super::{Act, EntryKind};
use rusqlite::{OptionalExtension, params};

/// What a strike of a join struck: all that was joined, as it was written first.
const PARTS: &str = "was.kind = 'join' AND was.amends_entry_id IS NULL AND was.new_lot_id = ?2";

impl Act<'_> {
    /// Notes that entries of this act stand and fall with one of them.
    pub(crate) fn go_with(&self, entries: &[i64], leader: i64) -> rusqlite::Result<()> {
        for entry in entries {
            self.transaction.execute(
                "INSERT INTO goes_with (entry_id, leader_id) VALUES (?1, ?2)",
                params![entry, leader],
            )?;
        }
        Ok(())
    }

    /// The entries that stand and fall with this one and are in force.
    pub(super) fn in_force_with(&self, leader: i64) -> rusqlite::Result<Vec<i64>> {
        self.transaction
            .prepare(&format!(
                "SELECT entry.id FROM goes_with JOIN entry ON entry.id = goes_with.entry_id
                 WHERE leader_id = ?1 AND {IN_FORCE} ORDER BY entry.id"
            ))?
            .query_map(params![leader], |row| row.get(0))?
            .collect()
    }

    /// The entries that were corrected with this one and are in force. Every part of a join stands for all of it, so there it
    /// is one of them and not what they go with.
    pub(super) fn corrected_with(&self, entry: i64, of: &Struck) -> rusqlite::Result<Vec<i64>> {
        let leader = match of.kind {
            EntryKind::Join => self.leader(entry)?.unwrap_or(entry),
            _ => entry,
        };
        let mut all = self.in_force_with(leader)?;
        all.push(leader);
        all.retain(|with| *with != entry);
        Ok(all)
    }

    /// The entries that stand and fall with this one.
    pub(super) fn all_with(&self, leader: i64) -> rusqlite::Result<Vec<i64>> {
        self.transaction
            .prepare("SELECT entry_id FROM goes_with WHERE leader_id = ?1 ORDER BY entry_id")?
            .query_map(params![leader], |row| row.get(0))?
            .collect()
    }

    /// The entry with which this one stands and falls, or what stands in the place of that one by now.
    pub(super) fn leader_in_force(&self, entry: i64) -> rusqlite::Result<Option<i64>> {
        let mut leader = self.leader(entry)?;
        while let Some(corrected) = leader
            && let Some((by, false)) = self.view().taken_out_by(corrected)?
        {
            leader = Some(by);
        }
        Ok(leader)
    }

    /// The entry with which this one stands and falls.
    pub(super) fn leader(&self, entry: i64) -> rusqlite::Result<Option<i64>> {
        self.transaction
            .query_row(
                "SELECT leader_id FROM goes_with WHERE entry_id = ?1",
                params![entry],
                |row| row.get(0),
            )
            .optional()
    }

    /// The last strike of the act that wrote this one, where this one struck only a part of what the act did: the grain of a
    /// bake, one lot of a join, what was corrected with a pickup.
    pub(super) fn last_strike_of_its_act(
        &self,
        strike: i64,
        struck: &Struck,
    ) -> rusqlite::Result<Option<i64>> {
        if let Some(leader) = self.leader(strike)? {
            return Ok(Some(leader));
        }
        let (rest, of) = match struck.kind {
            EntryKind::Use => (
                "was.kind = 'baked' AND was.amends_entry_id IS NULL AND was.bake_id = ?2",
                struck.bake,
            ),
            EntryKind::Join if struck.amends.is_none() => (PARTS, struck.new_lot),
            _ => return Ok(None),
        };
        self.transaction.query_row(
            &format!(
                "SELECT max(entry.id) FROM entry JOIN entry AS was ON was.id = entry.struck_entry_id
                 WHERE entry.id > ?1 AND {rest}
                   AND entry.recorded_at = (SELECT recorded_at FROM entry WHERE id = ?1)"
            ),
            params![strike, of],
            |row| row.get(0),
        )
    }

    /// The strikes that one act wrote, each with what it struck; this one is the last.
    pub(super) fn strikes_of_one_act(
        &self,
        strike: i64,
        struck: &Struck,
    ) -> anyhow::Result<Vec<(i64, i64)>> {
        // Draws of a bake and parts of a join are struck with it and by no other act, just before it.
        let (with_it, of) = match struck.kind {
            EntryKind::Baked if struck.amends.is_none() => {
                ("was.kind = 'use' AND was.bake_id = ?2", struck.bake)
            }
            EntryKind::Join if struck.amends.is_none() => (PARTS, struck.new_lot),
            _ => {
                let mut all = self.in_force_with(strike)?;
                all.push(strike);
                let of = |strike| Ok((strike, self.struck(strike)?.strikes.unwrap_or(0)));
                return all.into_iter().map(of).collect();
            }
        };
        let is_of_it = format!(
            "EXISTS (SELECT 1 FROM entry AS was WHERE was.id = entry.struck_entry_id AND {with_it})"
        );
        Ok(self
            .transaction
            .prepare(&format!(
                "SELECT id, struck_entry_id FROM entry
                 WHERE id = ?1 OR (id < ?1 AND {is_of_it} AND {IN_FORCE}
                   AND recorded_at = (SELECT recorded_at FROM entry WHERE id = ?1)
                   AND id > (SELECT coalesce(max(id), 0) FROM entry WHERE id < ?1 AND NOT {is_of_it}))
                 ORDER BY id"
            ))?
            .query_map(params![strike, of], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?)
    }
}
