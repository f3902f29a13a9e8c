//! Reading a file in: which of its rows the book lacks.

use super::{LeftOut, NewReadings, ReadIn};
use crate::keeping::air::loggers::FileReading;
use crate::ledger::new_entry::NewEntry;
use crate::ledger::{Act, PlaceRecord, bulk_insert, columns};
use crate::quantity::Instant;
use rusqlite::params;
use rusqlite::types::ToSqlOutput;
use std::collections::HashMap;

/// A moment and thousandths of a degree Celsius.
type Reading = (Instant, i32);

/// What the book holds of the readings of a file. A file may have millions, so nothing else of the book is kept.
struct Held<'a> {
    readings: &'a [Reading],
    /// Of each reading.
    known: Vec<Known>,
    /// The last reading of each file in the book so far.
    last: HashMap<i64, Reading>,
    /// The first reading that may be of the time of the next row of the book.
    next: usize,
}

/// What the book holds of one reading.
#[derive(Debug, Clone, Copy, Default)]
struct Known {
    /// Any figure of its moment.
    moment: bool,
    /// The reading itself.
    reading: bool,
    /// A file in which it follows the reading before it.
    pair: bool,
}

impl<'a> Held<'a> {
    fn nothing_of(readings: &'a [Reading]) -> Self {
        Self {
            readings,
            known: vec![Known::default(); readings.len()],
            last: HashMap::new(),
            next: 0,
        }
    }

    /// Adds what the book holds, in time order.
    fn add(&mut self, row: &FileReading) {
        let reading = (row.at, row.temperature.milli_celsius());
        let before = self.last.insert(row.file, reading);
        let later = &self.readings[self.next..];
        self.next += later.iter().take_while(|(at, _)| *at < row.at).count();
        let Some(one) = self.readings.get(self.next).filter(|one| one.0 == row.at) else {
            return;
        };
        let known = &mut self.known[self.next];
        known.moment = true;
        if *one == reading {
            known.reading = true;
            let here = self.next.checked_sub(1).map(|place| self.readings[place]);
            known.pair |= before.is_some() && before == here;
        }
    }

    /// The readings of a file from the first pair that no file in the book holds to the last one. Known ones between them
    /// belong to it, or two of its readings would seem to follow each other that do not.
    fn lacking(&self) -> &'a [Reading] {
        if let [one] = self.known.as_slice() {
            return &self.readings[..usize::from(!one.reading)];
        }
        let is_new = |known: &Known| !known.pair;
        // Of the first reading there is no pair.
        let mut pairs = self.known.iter().skip(1);
        let Some(first) = pairs.position(is_new) else {
            return &[];
        };
        let last = self.known.iter().rposition(is_new).unwrap_or(first + 1);
        &self.readings[first..=last]
    }
}

/// The readings next to rows that were left out, and all between them.
fn beside<'a>(readings: &'a [Reading], left_out: &[LeftOut]) -> &'a [Reading] {
    let is_before = |rows: &LeftOut| rows.at < readings[0].0;
    let before = left_out.iter().any(is_before);
    let after = left_out.iter().any(|rows| !is_before(rows));
    match (before, after) {
        (false, false) => &[],
        (true, false) => &readings[..1],
        (false, true) => &readings[readings.len() - 1..],
        (true, true) => readings,
    }
}

impl Act<'_> {
    /// Reads in what a logger measured of a place. Another figure for a known moment is kept beside it, and the warmer one
    /// counts. Warm rows that were not taken are kept in mind.
    pub(crate) fn readings(
        &mut self,
        place: &PlaceRecord,
        new: &NewReadings<'_>,
        left_out: &[LeftOut],
    ) -> anyhow::Result<ReadIn> {
        let mut read_in = ReadIn {
            entry: None,
            added: 0,
            known: 0,
            differing: 0,
        };
        let (Some((first, _)), Some((last, _))) = (new.readings.first(), new.readings.last())
        else {
            return Ok(read_in);
        };
        self.refuse_future(*last)?;
        let view = self.view();
        let in_force = view.readings_in_force(place.id)?;
        let between = view.nearest(place.id, (Some(*first), Some(*last)), &in_force)?;
        let mut held = Held::nothing_of(new.readings);
        view.each_reading_between(place.id, between, &in_force, |row| held.add(&row))?;
        for known in &held.known {
            if known.reading {
                read_in.known += 1;
            } else {
                read_in.added += 1;
                read_in.differing += usize::from(known.moment);
            }
        }
        let newly_left_out;
        let (written, left_out) = match held.lacking() {
            [] => {
                // A file whose readings are all known may leave out warm rows of which nobody knew.
                newly_left_out = self.view().newly_left_out(place, left_out)?;
                (beside(new.readings, &newly_left_out), &newly_left_out[..])
            }
            written => (written, left_out),
        };
        let (Some((first_at, _)), Some((last_at, _))) = (written.first(), written.last()) else {
            return Ok(read_in);
        };
        let entry = self.write(None, *last_at, NewEntry::Readings(place.id))?;
        self.transaction.execute(
            "INSERT INTO reading_file (entry_id, temperature_scale, name, readings, first_at, last_at)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                entry,
                columns::scale_letter(new.scale),
                new.name,
                written.len() as i64,
                columns::seconds(*first_at),
                columns::seconds(*last_at)
            ],
        )?;
        for rows in left_out {
            self.transaction.execute(
                "INSERT INTO left_out (entry_id, at, readings, warmest_mc) VALUES (?1, ?2, ?3, ?4)",
                params![
                    entry,
                    columns::seconds(rows.at),
                    rows.rows,
                    rows.warmest.milli_celsius()
                ],
            )?;
        }
        for part in written.chunks(PART) {
            let values: Vec<[ToSqlOutput<'_>; 4]> = part
                .iter()
                .map(|(at, milli)| {
                    [
                        place.id.into(),
                        columns::seconds(*at).into(),
                        entry.into(),
                        i64::from(*milli).into(),
                    ]
                })
                .collect();
            bulk_insert::insert(
                &self.transaction,
                "INSERT INTO air_reading (place_id, at, entry_id, temperature_mc)",
                &values,
            )?;
        }
        read_in.entry = Some(entry);
        Ok(read_in)
    }
}

/// Readings made ready to be written at a time.
const PART: usize = 4_096;
