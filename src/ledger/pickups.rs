//! Booking in lots, one or a whole file of them.

use super::lot_facts::Facts;
use super::new_entry::{self, NewEntry};
use super::sources::Source;
use super::{Act, LotRecord, bulk_insert, columns};
use crate::grain::{Form, Kind, LotCode};
use crate::quantity::{Instant, Milligrams, Temperature};
use anyhow::Context;
use chrono::NaiveDate;
use rusqlite::params;
use rusqlite::types::ToSqlOutput;

/// A lot that is fetched.
#[derive(Debug, Clone)]
pub struct NewPickup<'a> {
    /// The name of its source.
    pub source: &'a str,
    /// Whether that is a new one, however near its name is to another.
    pub is_new_source: bool,
    /// The brew day.
    pub brewed_on: NaiveDate,
    /// When mashing was over, where known.
    pub mash_out: Option<Instant>,
    /// What it weighed.
    pub wet: Milligrams,
    /// When it was fetched.
    pub collected: Instant,
    /// How warm it was then.
    pub temperature: Option<Temperature>,
    /// When it was said to be cold, and whose word that is.
    pub cooled: Option<(Instant, &'a str)>,
    /// Mashed or steeped.
    pub kind: Kind,
    /// What was mashed.
    pub grist: Option<String>,
    /// Its form.
    pub form: Form,
    /// The name of the place it is put in.
    pub place: &'a str,
    /// A note.
    pub note: Option<String>,
}

impl Act<'_> {
    /// Books in a lot.
    pub(crate) fn pickup(&mut self, new: &NewPickup<'_>) -> anyhow::Result<LotRecord> {
        let mut lots = self.pickups(std::slice::from_ref(new))?;
        lots.pop().context("the lot was not booked in")
    }

    /// Books in lots, in the order given.
    pub(crate) fn pickups(&mut self, all: &[NewPickup<'_>]) -> anyhow::Result<Vec<LotRecord>> {
        let (last_lot, last_entry): (i64, i64) = self
            .transaction
            .prepare_cached(
                "SELECT (SELECT coalesce(max(id), 0) FROM lot), (SELECT coalesce(max(id), 0) FROM entry)",
            )?
            .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let lots = (last_lot + 1..)
            .zip(all)
            .map(|(id, new)| self.new_lot(id, new))
            .collect::<anyhow::Result<Vec<_>>>()?;
        self.write_lots(&lots)?;
        self.write_arrivals(&lots, all)?;
        self.transaction
            .prepare_cached(
                "INSERT INTO stock (lot_id, wet_mg, place_id)
                 SELECT lot_id, wet_mg, place_id FROM entry WHERE id > ?1 AND kind = 'pickup'",
            )?
            .execute(params![last_entry])?;
        for (lot, new) in lots.iter().zip(all) {
            let named = self.source(new.source, new.is_new_source)?.named;
            if named != lot.source_id {
                self.state_source(lot, named)?;
            }
        }
        Ok(lots)
    }

    /// Keeps which of the sources that are one was named: the lot goes with it where they are told apart again.
    fn state_source(&self, lot: &LotRecord, source_id: i64) -> anyhow::Result<()> {
        let view = self.view();
        let entry = view.arrival_of(lot)?.context("the lot did not come in")?;
        let facts = Facts {
            source_id,
            ..view.facts_now(lot.id)?
        };
        self.state_facts(entry, &facts)?;
        self.keep_facts(lot.id)
    }

    fn new_lot(&mut self, id: i64, new: &NewPickup<'_>) -> anyhow::Result<LotRecord> {
        let source = self.source(new.source, new.is_new_source)?;
        let number = self.next_number(&source, new.brewed_on)?;
        Ok(LotRecord {
            id,
            source_id: source.id,
            code: LotCode::new(&source.letters, new.brewed_on, number)?,
            source: source.name,
            mash_out: new.mash_out,
            kind: new.kind,
            form: new.form,
            grist: new.grist.clone(),
        })
    }

    fn write_lots(&self, lots: &[LotRecord]) -> rusqlite::Result<()> {
        let values: Vec<[ToSqlOutput<'_>; 8]> = lots
            .iter()
            .map(|lot| {
                [
                    lot.id.into(),
                    lot.source_id.into(),
                    lot.code.brewed_on().to_string().into(),
                    lot.code.number().into(),
                    columns::optional(lot.mash_out.map(columns::seconds)),
                    lot.kind.as_str().into(),
                    lot.form.as_str().into(),
                    columns::optional(lot.grist.as_deref()),
                ]
            })
            .collect();
        bulk_insert::insert(
            &self.transaction,
            "INSERT INTO lot (id, source_id, brewed_on, number, mash_out_at, kind, form, grist)",
            &values,
        )
    }

    /// Writes each lot's pickup, and the word that it was cold and its reading where there are any.
    fn write_arrivals(&mut self, lots: &[LotRecord], all: &[NewPickup<'_>]) -> anyhow::Result<()> {
        let places = all
            .iter()
            .map(|new| self.place_id(new.place, new.collected))
            .collect::<anyhow::Result<Vec<_>>>()?;
        let mut entries = Vec::with_capacity(2 * lots.len());
        for ((lot, new), place) in lots.iter().zip(all).zip(places) {
            let arrival = NewEntry::Pickup {
                wet: new.wet,
                place,
                note: new.note.as_deref(),
            };
            let word = new
                .cooled
                .map(|(cooled, said_by)| (cooled, NewEntry::Cooled { said_by }));
            let reading = new
                .temperature
                .map(|read| (new.collected, NewEntry::Reading(read)));
            let all = [Some((new.collected, arrival)), word, reading];
            for (at, entry) in all.into_iter().flatten() {
                self.refuse_future(at)?;
                entries.push(entry.row(Some(lot.id), at, &self.signature));
            }
        }
        new_entry::insert(&self.transaction, &entries)?;
        Ok(())
    }

    fn place_id(&mut self, name: &str, at: Instant) -> anyhow::Result<i64> {
        if let Some(known) = self.places.get(name)
            && known.closed_to(at).is_none()
        {
            return Ok(known.id);
        }
        let place = self.view().open_place(name, at)?;
        let id = place.id;
        self.places.insert(name.to_owned(), place);
        Ok(id)
    }

    pub(super) fn next_number(
        &mut self,
        source: &Source,
        brewed_on: NaiveDate,
    ) -> anyhow::Result<u32> {
        let key = (source.id, brewed_on);
        let last = match self.numbers.get(&key) {
            Some(last) => *last,
            None => self
                .transaction
                .prepare_cached(
                    "SELECT max(number) FROM lot WHERE source_id = ?1 AND brewed_on = ?2",
                )?
                .query_row(params![source.id, brewed_on.to_string()], |row| {
                    row.get::<_, Option<u32>>(0)
                })?
                .unwrap_or(0),
        };
        self.numbers.insert(key, last + 1);
        Ok(last + 1)
    }
}
