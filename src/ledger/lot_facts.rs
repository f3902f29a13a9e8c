//! The facts of a lot as they are known by now: as first given, or as the last pickup in force states them, which is an
//! amending one or names one of several sources that are one. What was made of a lot follows it.

use super::in_force::IN_FORCE;
use super::lots::LotRecord;
use super::{Act, EntryKind, View, columns};
use crate::grain::{Form, Grist, Kind};
use crate::quantity::{Instant, Milligrams, Problem};
use rusqlite::{OptionalExtension, Row, params};

/// What a pickup says of the grain itself.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Facts {
    pub source_id: i64,
    pub mash_out: Option<Instant>,
    pub kind: Kind,
    pub form: Form,
    pub grist: Option<String>,
}

const COLUMNS: &str = "source_id, mash_out_at, kind, form, grist";

fn read(row: &Row<'_>) -> rusqlite::Result<Facts> {
    let damaged = |problem: Problem| columns::damaged(problem);
    Ok(Facts {
        source_id: row.get(0)?,
        mash_out: row.get::<_, Option<i64>>(1)?.map(columns::instant),
        kind: row.get::<_, String>(2)?.parse().map_err(damaged)?,
        form: row.get::<_, String>(3)?.parse().map_err(damaged)?,
        grist: row.get(4)?,
    })
}

/// What lots that are put together are as one: as old as the oldest, or of unknown age, and of all their grists.
pub(super) fn joined(parts: &[(Facts, i64, Milligrams)]) -> Option<Facts> {
    let (oldest, ..) = parts
        .iter()
        .min_by_key(|(facts, id, _)| (facts.mash_out.unwrap_or(Instant::MIN_UTC), *id))?;
    let known = parts.iter().all(|(facts, ..)| facts.mash_out.is_some());
    // A grist that is not known of one lot is not known of the mixture.
    let brews: Option<Vec<(f64, Grist)>> = parts
        .iter()
        .map(|(facts, _, wet)| Some((wet.grams(), facts.grist.as_ref()?.parse().ok()?)))
        .collect();
    Some(Facts {
        mash_out: oldest.mash_out.filter(|_| known),
        grist: brews
            .and_then(|brews| Grist::mixed(&brews))
            .map(|grist| grist.to_string()),
        ..oldest.clone()
    })
}

fn is_rounded_like(due: Option<&str>, kept: Option<&str>) -> bool {
    let grist = |text: Option<&str>| text.and_then(|text| text.parse::<Grist>().ok());
    grist(due)
        .zip(grist(kept))
        .is_some_and(|(due, kept)| due.is_rounded_like(&kept))
}

impl View<'_> {
    /// The facts of a lot as first given.
    fn first_facts(&self, lot_id: i64) -> rusqlite::Result<Facts> {
        self.connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM lot WHERE id = ?1"))?
            .query_row(params![lot_id], read)
    }

    /// The facts of a lot as they are kept.
    pub(super) fn facts_now(&self, lot_id: i64) -> rusqlite::Result<Facts> {
        let kept = self
            .connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM lot_now WHERE lot_id = ?1"))?
            .query_row(params![lot_id], read)
            .optional()?;
        kept.map_or_else(|| self.first_facts(lot_id), Ok)
    }

    /// The facts that a pickup states.
    fn stated_facts(&self, entry: i64) -> rusqlite::Result<Option<Facts>> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM lot_fact WHERE entry_id = ?1"
            ))?
            .query_row(params![entry], read)
            .optional()
    }

    /// The facts of a lot as they follow from the entries, those of the lots it was made of taken as kept.
    pub(super) fn facts_due(&self, lot_id: i64) -> anyhow::Result<Facts> {
        let first = self.first_facts(lot_id)?;
        let made = self.made_by(lot_id)?;
        let Some(one) = made.first() else {
            let stated: Option<i64> = self
                .connection
                .prepare_cached(&format!(
                    "SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'pickup' AND {IN_FORCE}"
                ))?
                .query_row(params![lot_id], |row| row.get(0))
                .optional()?;
            let stated = stated.map(|entry| self.stated_facts(entry)).transpose()?;
            return Ok(stated.flatten().unwrap_or(first));
        };
        if one.kind == EntryKind::Join {
            let parts = made
                .iter()
                .map(|made| Ok((self.facts_now(made.of)?, made.of, made.wet)))
                .collect::<rusqlite::Result<Vec<_>>>()?;
            let mut due = joined(&parts).unwrap_or(first);
            // Shares were cut once and not rounded: what was written then stays.
            let kept = self.facts_now(lot_id)?.grist;
            if is_rounded_like(due.grist.as_deref(), kept.as_deref()) {
                due.grist = kept;
            }
            return Ok(due);
        }
        let of = self.facts_now(one.of)?;
        let form = match one.kind {
            EntryKind::Treat => self.treatment_step(one.entry)?.form(of.form)?,
            _ => of.form,
        };
        Ok(Facts { form, ..of })
    }

    /// The facts that a pickup of a lot states.
    pub(super) fn facts_of_pickup(&self, entry: i64, lot_id: i64) -> rusqlite::Result<Facts> {
        self.stated_facts(entry)?
            .map_or_else(|| self.first_facts(lot_id), Ok)
    }

    /// A lot as one pickup states it, which may be amended or struck by now.
    pub(super) fn lot_as_of(&self, entry: i64, lot: &LotRecord) -> anyhow::Result<LotRecord> {
        let facts = self.facts_of_pickup(entry, lot.id)?;
        Ok(LotRecord {
            source: self.source_name(facts.source_id)?,
            mash_out: facts.mash_out,
            kind: facts.kind,
            form: facts.form,
            grist: facts.grist,
            ..lot.clone()
        })
    }

    /// How many lots and sources are kept as something that does not follow from the entries.
    pub(super) fn wrong_facts(&self) -> anyhow::Result<usize> {
        // Without an amendment there is nothing to follow from it.
        let any: bool = self.connection.query_row(
            "SELECT EXISTS (SELECT 1 FROM lot_fact) OR EXISTS (SELECT 1 FROM lot_now)",
            [],
            |row| row.get(0),
        )?;
        let mut wrong = self.wrong_sources()?;
        if any {
            let lots: Vec<i64> = self
                .connection
                .prepare("SELECT id FROM lot ORDER BY id")?
                .query_map([], |row| row.get(0))?
                .collect::<Result<_, _>>()?;
            for lot in lots {
                wrong += usize::from(self.facts_due(lot)? != self.facts_now(lot)?);
            }
        }
        Ok(wrong)
    }
}

impl Act<'_> {
    /// States the facts of a lot in its pickup.
    pub(super) fn state_facts(&self, entry: i64, facts: &Facts) -> rusqlite::Result<()> {
        self.transaction.execute(
            "INSERT INTO lot_fact (entry_id, source_id, mash_out_at, kind, form, grist)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                entry,
                facts.source_id,
                facts.mash_out.map(columns::seconds),
                facts.kind.as_str(),
                facts.form.as_str(),
                facts.grist
            ],
        )?;
        Ok(())
    }

    /// Keeps again the facts of a lot and of all that was made of it.
    pub(super) fn keep_facts(&self, lot_id: i64) -> anyhow::Result<()> {
        let view = self.view();
        let facts = view.facts_due(lot_id)?;
        if facts != view.facts_now(lot_id)? {
            self.transaction
                .execute("DELETE FROM lot_now WHERE lot_id = ?1", params![lot_id])?;
            if facts != view.first_facts(lot_id)? {
                self.transaction.execute(
                    "INSERT INTO lot_now (lot_id, source_id, mash_out_at, kind, form, grist)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                    params![
                        lot_id,
                        facts.source_id,
                        facts.mash_out.map(columns::seconds),
                        facts.kind.as_str(),
                        facts.form.as_str(),
                        facts.grist
                    ],
                )?;
            }
        }
        self.keep_tested(lot_id)?;
        let made_of_it: Vec<i64> = self
            .transaction
            .prepare_cached("SELECT DISTINCT new_lot_id FROM entry WHERE lot_id = ?1 AND new_lot_id IS NOT NULL ORDER BY new_lot_id")?
            .query_map(params![lot_id], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        // A lot is made of earlier ones only, so this ends.
        for made in made_of_it {
            self.keep_facts(made)?;
        }
        Ok(())
    }
}
