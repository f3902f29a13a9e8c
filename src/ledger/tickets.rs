//! What the newest ticket of a lot says. These are no entries: paper on a tub is no part of what happened to the grain, nor of
//! what is proved by the chain.

use super::{Book, LotRecord, View, columns};
use crate::keeping::TicketSays;
use crate::quantity::Instant;
use rusqlite::{OptionalExtension, TransactionBehavior, params};

/// A ticket that was printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TicketRecord {
    /// When.
    pub printed_at: Instant,
    /// What it says.
    pub says: TicketSays,
}

impl View<'_> {
    /// The newest ticket of a lot.
    pub fn ticket(&self, lot: &LotRecord) -> anyhow::Result<Option<TicketRecord>> {
        Ok(self
            .connection
            .prepare_cached("SELECT printed_at, keep_until, usable FROM ticket WHERE lot_id = ?1")?
            .query_row([lot.id], |row| {
                Ok(TicketRecord {
                    printed_at: columns::instant(row.get(0)?),
                    says: TicketSays {
                        keep_until: row.get::<_, Option<i64>>(1)?.map(columns::instant),
                        usable: row.get(2)?,
                    },
                })
            })
            .optional()?)
    }
}

impl Book {
    /// Notes what the newest tickets of some lots say, all or none.
    pub(crate) fn note_tickets(
        &mut self,
        tickets: &[(LotRecord, TicketSays)],
        now: Instant,
    ) -> anyhow::Result<()> {
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        for (lot, says) in tickets {
            transaction.execute(
                "INSERT INTO ticket (lot_id, printed_at, keep_until, usable) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (lot_id) DO UPDATE SET printed_at = ?2, keep_until = ?3, usable = ?4",
                params![
                    lot.id,
                    columns::seconds(now),
                    says.keep_until.map(columns::seconds),
                    says.usable
                ],
            )?;
        }
        Ok(transaction.commit()?)
    }
}
