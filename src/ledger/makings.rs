//! How lots were made of others, and what was weighed then.

use super::in_force::{FIRST, IN_FORCE};
use super::{EntryKind, LotRecord, View, columns};
use crate::grain::{Step, Treatment};
use crate::quantity::{Instant, Length, Milligrams, Problem, Temperature};
use rusqlite::{OptionalExtension, Row, params};

/// The most that counts may find more than came, over a lot's life: what kitchen scales may differ by.
/// Judgement. A bound there must be, or what was thrown away could be counted back in.
const MOST_FOUND: f64 = 0.02;

/// How a lot came to be, the parting off of grain left out: a part is the same grain.
#[derive(Debug, Clone)]
pub enum Making {
    /// It came in.
    Arrival,
    /// It was made of this lot by a treatment.
    Treatment(LotRecord, Box<TreatmentRecord>),
    /// So much of each of these was put together.
    Join(Vec<(LotRecord, Milligrams)>),
}

impl Making {
    /// Whether lots that came to be like this are like others of their source and form in moisture.
    pub const fn is_usual_way(&self) -> bool {
        match self {
            Self::Arrival => true,
            Self::Treatment(_, record) => record.treatment.step.is_usual_way(),
            Self::Join(_) => false,
        }
    }
}

/// A treatment that the book holds.
#[derive(Debug, Clone)]
pub struct TreatmentRecord {
    /// What was weighed.
    pub treatment: Treatment,
    /// The lot that was made.
    pub product: LotRecord,
    /// How many minutes it took and how warm the grain or the air around it was, where that was said.
    pub lasted: Option<(u32, Temperature)>,
}

/// A stock count that the book holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CountRecord {
    /// What was found.
    pub found: Milligrams,
    /// By how much that is less than the book said; negative where it is more.
    pub less: Milligrams,
}

/// The entry that made a lot of another, or one of them.
#[derive(Clone)]
pub(super) struct MadeBy {
    pub entry: i64,
    pub kind: EntryKind,
    pub at: Instant,
    pub place_id: i64,
    pub of: i64,
    pub wet: Milligrams,
}

/// What was found of the grain of a lot after another was made of it.
#[derive(Default)]
struct FoundAfter {
    /// The last temperature, or finding of spoiled grain, that the book held when the making was written down: then the book
    /// took it for a finding of what was made too.
    held_then: Option<Instant>,
    /// When it was found spoiled, or some was thrown away for a reason that names spoilage: until the making it was the same
    /// grain, and nobody knows since when it was spoiled.
    spoiled: Vec<Instant>,
}

/// What [`read_treatment`] reads, of a treatment and its entry.
pub(super) const TREATED: &str = "step, wet_mg, out_mg, water_mg, left_mg, dry_loss_mg";

/// A treatment from the first columns of a row.
pub(super) fn read_treatment(row: &Row<'_>) -> rusqlite::Result<Treatment> {
    let step: String = row.get(0)?;
    let mass = |column: usize| row.get(column).map(Milligrams::new);
    Ok(Treatment {
        step: step
            .parse()
            .map_err(|problem: Problem| columns::damaged(problem))?,
        wet_in: mass(1)?,
        wet_out: mass(2)?,
        water: mass(3)?,
        left: mass(4)?,
        dry_loss: mass(5)?,
    })
}

impl View<'_> {
    /// How thick a part lies, where that was stated when it was parted off.
    pub(super) fn stated_depth(&self, made: &MadeBy) -> rusqlite::Result<Option<Length>> {
        let stated: Option<i64> = self
            .connection
            .prepare_cached("SELECT depth_um FROM lot_depth WHERE entry_id = ?1")?
            .query_row(params![made.entry], |row| row.get(0))
            .optional()?;
        Ok(stated.map(Length::from_micrometres))
    }

    /// The entries that made a lot of others, as they are in force; where all of them were struck, as they were written
    /// first. None for one that came in.
    pub(super) fn made_by(&self, lot_id: i64) -> anyhow::Result<Vec<MadeBy>> {
        let found = self
            .connection
            .prepare_cached(&format!(
                "SELECT id, kind, at, place_id, lot_id, wet_mg FROM entry
                 WHERE new_lot_id = ?1 AND ({IN_FORCE} OR (amends_entry_id IS NULL
                     AND NOT EXISTS (SELECT 1 FROM entry WHERE entry.new_lot_id = ?1 AND {IN_FORCE})))
                 ORDER BY {FIRST}"
            ))?
            .query_map(params![lot_id], |row| {
                Ok(MadeBy {
                    entry: row.get(0)?,
                    kind: row.get(1)?,
                    at: columns::instant(row.get(2)?),
                    place_id: row.get(3)?,
                    of: row.get(4)?,
                    wet: Milligrams::new(row.get(5)?),
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// How a lot was made of others, each with when those were found spoiled after it. Where the book held a later finding of the
    /// grain by then, also as if it had been made right after that: the grain has both histories then, of which the worse counts.
    pub(super) fn made_as_known(&self, lot_id: i64) -> anyhow::Result<Vec<(MadeBy, Vec<Instant>)>> {
        let mut known = Vec::new();
        for made in self.made_by(lot_id)? {
            let found = self.found_after(&made)?;
            let then = found.held_then.map(|at| {
                let mut spoiled = found.spoiled.clone();
                spoiled.retain(|found| *found > at);
                (MadeBy { at, ..made.clone() }, spoiled)
            });
            known.push((made, found.spoiled));
            known.extend(then);
        }
        Ok(known)
    }

    /// What was found of the grain of a lot after this was made of it. The book held what is in entries from before this was
    /// written down, or from before a correction of it and of no later moment than it had. An entry whose time is corrected to
    /// an earlier one leaves nothing behind.
    fn found_after(&self, made: &MadeBy) -> anyhow::Result<FoundAfter> {
        let mut statement = self.connection.prepare_cached(&format!(
            "WITH RECURSIVE version(id, amends, at) AS (
                 SELECT id, amends_entry_id, at FROM entry WHERE id = ?1
                 UNION ALL SELECT was.id, was.amends_entry_id, was.at
                 FROM version JOIN entry AS was ON was.id = version.amends)
             SELECT entry.kind, entry.at, entry.words,
                    {FIRST} < written.first OR ({FIRST} < ?1 AND entry.at <= written.latest)
             FROM entry, (SELECT min(id) AS first, max(at) AS latest FROM version) AS written
             WHERE entry.lot_id = ?2 AND entry.kind IN ('reading', 'spoiled', 'discard') AND entry.at > ?3 AND {IN_FORCE}"
        ))?;
        let mut rows = statement.query(params![made.entry, made.of, columns::seconds(made.at)])?;
        let mut found = FoundAfter::default();
        while let Some(row) = rows.next()? {
            let kind: EntryKind = row.get(0)?;
            let at = columns::instant(row.get(1)?);
            let words: Option<String> = row.get(2)?;
            if kind.finds_spoilage(words.as_deref()) {
                found.spoiled.push(at);
            }
            if kind != EntryKind::Discard && row.get(3)? {
                found.held_then = found.held_then.max(Some(at));
            }
        }
        Ok(found)
    }

    /// Whether a lot was made of others.
    fn is_made(&self, lot: &LotRecord) -> rusqlite::Result<bool> {
        self.connection
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM entry WHERE new_lot_id = ?1)")?
            .query_row(params![lot.id], |row| row.get(0))
    }

    /// How the grain of a lot came to be, and the first lot that held it: the lot itself unless it was parted
    /// off.
    pub fn making(&self, lot: &LotRecord) -> anyhow::Result<(LotRecord, Making)> {
        let mut current = lot.clone();
        loop {
            let made = self.made_by(current.id)?;
            let Some(first) = made.first() else {
                return Ok((current, Making::Arrival));
            };
            match first.kind {
                EntryKind::Part => current = self.lot_by_id(first.of)?,
                EntryKind::Treat => {
                    let record = self.treatment(first.entry)?;
                    let of = self.lot_by_id(first.of)?;
                    return Ok((current, Making::Treatment(of, Box::new(record))));
                }
                _ => {
                    let parts = made
                        .iter()
                        .map(|made| Ok((self.lot_by_id(made.of)?, made.wet)))
                        .collect::<rusqlite::Result<_>>()?;
                    return Ok((current, Making::Join(parts)));
                }
            }
        }
    }

    /// The lots that came in from outside and whose grain is in this one.
    pub fn origins(&self, lot: &LotRecord) -> anyhow::Result<Vec<LotRecord>> {
        // Most lots came in as they are, and nothing has to be climbed.
        if !self.is_made(lot)? {
            return Ok(vec![lot.clone()]);
        }
        let ids: Vec<i64> = self
            .connection
            .prepare_cached(
                "WITH RECURSIVE up(id) AS (
                     SELECT ?1 UNION SELECT entry.lot_id FROM up JOIN entry ON entry.new_lot_id = up.id)
                 SELECT id FROM up WHERE NOT EXISTS (SELECT 1 FROM entry WHERE new_lot_id = up.id) ORDER BY id",
            )?
            .query_map(params![lot.id], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        ids.into_iter().map(|id| Ok(self.lot_by_id(id)?)).collect()
    }

    /// The names of the sources whose grain is in a lot, its own first.
    pub fn sources_in(&self, lot: &LotRecord) -> anyhow::Result<Vec<String>> {
        let mut names = vec![lot.source.clone()];
        for origin in self.origins(lot)? {
            if !names.contains(&origin.source) {
                names.push(origin.source);
            }
        }
        Ok(names)
    }

    /// Whether a lot was made of another one, through however many steps, all of them entries after `since`.
    pub fn is_made_of(&self, lot: &LotRecord, of: &LotRecord, since: i64) -> anyhow::Result<bool> {
        Ok(self
            .connection
            .prepare_cached(
                "WITH RECURSIVE up(id) AS (
                     SELECT lot_id FROM entry WHERE new_lot_id = ?1 AND entry.id > ?3 AND amends_entry_id IS NULL
                     UNION SELECT entry.lot_id FROM up
                     JOIN entry ON entry.new_lot_id = up.id AND entry.id > ?3 AND amends_entry_id IS NULL)
                 SELECT EXISTS (SELECT 1 FROM up WHERE id = ?2)",
            )?
            .query_row(params![lot.id, of.id, since], |row| row.get(0))?)
    }

    /// What was done in a treatment.
    pub(super) fn treatment_step(&self, entry: i64) -> rusqlite::Result<Step> {
        let step: String = self
            .connection
            .prepare_cached("SELECT step FROM treatment WHERE entry_id = ?1")?
            .query_row(params![entry], |row| row.get(0))?;
        step.parse()
            .map_err(|problem: Problem| columns::damaged(problem))
    }

    /// What a treatment entry holds.
    pub(super) fn treatment(&self, entry: i64) -> anyhow::Result<TreatmentRecord> {
        let (treatment, lasted, product): (Treatment, Option<(u32, Temperature)>, i64) = self
            .connection
            .prepare_cached(&format!(
                "SELECT {TREATED}, minutes, treatment.temperature_mc, treatment.temperature_scale, new_lot_id
                 FROM treatment JOIN entry ON entry.id = treatment.entry_id WHERE entry_id = ?1"
            ))?
            .query_row(params![entry], |row| {
                let temperature = row
                    .get::<_, Option<i64>>(7)?
                    .zip(row.get::<_, Option<String>>(8)?)
                    .map(|(milli, scale)| columns::temperature(milli, Some(&scale)));
                Ok((
                    read_treatment(row)?,
                    row.get::<_, Option<u32>>(6)?.zip(temperature),
                    row.get(9)?,
                ))
            })?;
        Ok(TreatmentRecord {
            treatment,
            product: self.lot_by_id(product)?,
            lasted,
        })
    }

    /// The lot that holds what was joined of this one: the one into which it was joined last, or where that was joined whole
    /// the next one.
    pub fn joined_into(&self, lot: &LotRecord) -> anyhow::Result<Option<LotRecord>> {
        let Some(mut joined) = self.last_join_of(lot)? else {
            return Ok(None);
        };
        while self.left(&joined)?.is_none()
            && let Some(next) = self.last_join_of(&joined)?
        {
            joined = next;
        }
        Ok(Some(joined))
    }

    /// The lot into which grain of this one was joined last.
    fn last_join_of(&self, lot: &LotRecord) -> anyhow::Result<Option<LotRecord>> {
        let into: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT new_lot_id FROM entry WHERE lot_id = ?1 AND kind = 'join' AND {IN_FORCE}
                 ORDER BY id DESC LIMIT 1"
            ))?
            .query_row(params![lot.id], |row| row.get(0))
            .optional()?;
        Ok(into.map(|id| self.lot_by_id(id)).transpose()?)
    }

    /// What a count entry holds.
    pub(super) fn stock_count(&self, entry: i64) -> rusqlite::Result<CountRecord> {
        self.connection
            .prepare_cached("SELECT found_mg, less_mg FROM stock_count WHERE entry_id = ?1")?
            .query_row(params![entry], |row| {
                Ok(CountRecord {
                    found: Milligrams::new(row.get(0)?),
                    less: Milligrams::new(row.get(1)?),
                })
            })
    }

    /// What came into a lot when it came to be, and by how much counts found it to be more or less since:
    /// negative is more.
    fn counted(&self, lot: &LotRecord) -> anyhow::Result<(Milligrams, Milligrams)> {
        let came: i64 = self
            .connection
            .prepare_cached(&format!(
                "SELECT coalesce(sum(coalesce(treatment.out_mg, wet_mg)), 0) FROM entry
                 LEFT JOIN treatment ON treatment.entry_id = entry.id
                 WHERE ((lot_id = ?1 AND kind = 'pickup') OR new_lot_id = ?1) AND {IN_FORCE}"
            ))?
            .query_row(params![lot.id], |row| row.get(0))?;
        let less: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT sum(min(less_mg, 0)) FROM entry JOIN stock_count ON stock_count.entry_id = entry.id
                 WHERE lot_id = ?1 AND kind = 'count'
                   AND {IN_FORCE}"
            ))?
            .query_row(params![lot.id], |row| row.get(0))
            .optional()?
            .flatten();
        Ok((Milligrams::new(came), Milligrams::new(less.unwrap_or(0))))
    }

    /// How much more than came the counts of a lot may find over its life, where one that finds `found` of what is left
    /// of it in the book goes beyond that; `instead_of` is by how much less a count found that it takes the place of.
    pub fn most_found(
        &self,
        lot: &LotRecord,
        (left, found): (Milligrams, Milligrams),
        instead_of: Milligrams,
    ) -> anyhow::Result<Option<Milligrams>> {
        let less = left.get() - found.get();
        let (came, counted) = self.counted(lot)?;
        let more = -(less.min(0) + counted.get() - instead_of.get().min(0));
        let most = (came.get() as f64 * MOST_FOUND) as i64;
        Ok((less < 0 && more > most).then_some(Milligrams::new(most)))
    }
}
