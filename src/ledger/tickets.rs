//! What the newest ticket of a lot says. These are no entries: paper on a tub is no part of what happened to the grain, nor of
//! what is proved by the chain.

use super::in_force::IN_FORCE;
use super::trace::list;
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

    /// What a label of a lot that was printed then names otherwise by now: its `source`, `form` or `grist`.
    pub fn changed_on_label(
        &self,
        lot: &LotRecord,
        printed_at: Instant,
    ) -> anyhow::Result<Vec<&'static str>> {
        let pickups = list(self.ancestors(&std::iter::once(lot).collect())?.as_slice());
        // Nearly always nothing was struck or corrected of them or of the names of sources, and the book as it stood takes
        // longer to read.
        let may_differ: bool = self
            .connection
            .prepare_cached(
                "SELECT EXISTS (SELECT 1 FROM json_each(?2) JOIN entry ON entry.lot_id = value
                     WHERE recorded_at > ?1 AND (struck_entry_id IS NOT NULL
                       OR (entry.kind = 'pickup' AND amends_entry_id IS NOT NULL)))
                 OR EXISTS (SELECT 1 FROM source_change JOIN entry ON entry.id = source_change.entry_id
                     LEFT JOIN entry AS strike ON strike.struck_entry_id = entry.id
                     LEFT JOIN entry AS again ON again.struck_entry_id = strike.id
                     WHERE max(entry.recorded_at, coalesce(strike.recorded_at, 0), coalesce(again.recorded_at, 0)) > ?1)",
            )?
            .query_row(params![columns::seconds(printed_at), pickups], |row| {
                row.get(0)
            })?;
        if !may_differ {
            return Ok(Vec::new());
        }
        let newest = self.last_entry_by(printed_at)?;
        let now = self.on_label(lot)?;
        let then = self.as_it_stood(newest, |then| then.on_label(lot))?;
        let named = ["source", "form", "grist"].into_iter();
        let differs = named.zip(then.iter().zip(&now));
        Ok(differs
            .filter(|(_, (then, now))| then != now)
            .map(|(name, _)| name)
            .collect())
    }

    /// Sources, forms and grists of all pickups whose grain is in a lot, from the entries alone.
    fn on_label(&self, lot: &LotRecord) -> anyhow::Result<[Vec<String>; 3]> {
        let renamed = self.sources_due()?;
        let (mut sources, mut forms, mut grists) = (Vec::new(), Vec::new(), Vec::new());
        for id in self.ancestors(&std::iter::once(lot).collect())?.as_slice() {
            let pickup: Option<i64> = self
                .connection
                .prepare_cached(&format!(
                    "SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'pickup' AND {IN_FORCE}"
                ))?
                .query_row([id], |row| row.get(0))
                .optional()?;
            let Some(pickup) = pickup else { continue };
            let facts = self.facts_of_pickup(pickup, *id)?;
            sources.push(match renamed.get(&facts.source_id) {
                Some((_, name)) => name.clone(),
                None => self.first_name(facts.source_id)?,
            });
            forms.push(facts.form.to_string());
            grists.push(facts.grist.unwrap_or_default());
        }
        Ok([sources, forms, grists])
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
