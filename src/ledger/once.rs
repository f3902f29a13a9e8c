//! Acts with an id of their own: sent again, they write nothing twice.

use super::{Act, BookRefusal, View};
use rusqlite::{OptionalExtension, params};

/// The id of an act and the SHA-256 of what it asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Once {
    /// The id, given by whoever sends the act.
    pub act_id: String,
    /// The digest of the request.
    pub request: [u8; 32],
}

/// How short and how long an id may be.
pub const ACT_ID_LENGTH: std::ops::RangeInclusive<usize> = 8..=64;

impl Act<'_> {
    /// Refuses an act that was done before under this id.
    pub(super) fn refuse_done(&self, once: &Once) -> anyhow::Result<()> {
        let found: Option<(Vec<u8>, Option<i64>)> = self
            .transaction
            .prepare_cached("SELECT request, entry_id FROM act_once WHERE act_id = ?1")?
            .query_row([&once.act_id], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        match found {
            None => Ok(()),
            Some((request, entry)) if request == once.request => {
                Err(BookRefusal::DoneBefore { entry }.into())
            }
            Some((_, entry)) => Err(BookRefusal::ActIdTaken { entry }.into()),
        }
    }

    /// Keeps the id with the first entry that came of the act.
    pub(super) fn keep_id(&self, once: &Once, before: i64) -> anyhow::Result<()> {
        self.transaction
            .prepare_cached(
                "INSERT INTO act_once (act_id, request, entry_id)
                 VALUES (?1, ?2, (SELECT min(id) FROM entry WHERE id > ?3))",
            )?
            .execute(params![once.act_id, once.request, before])?;
        Ok(())
    }
}

impl View<'_> {
    /// The first entry that came of an act with this id; nothing where none did.
    pub fn entry_of_act(&self, act_id: &str) -> anyhow::Result<Option<i64>> {
        let found: Option<Option<i64>> = self
            .connection
            .prepare_cached("SELECT entry_id FROM act_once WHERE act_id = ?1")?
            .query_row([act_id], |row| row.get(0))
            .optional()?;
        Ok(found.flatten())
    }
}
