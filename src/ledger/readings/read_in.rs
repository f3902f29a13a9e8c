//! Reading a file in: which of its rows the book lacks.

use super::{LeftOut, NewReadings, ReadIn};
use crate::keeping::air::loggers::FileReading;
use crate::ledger::new_entry::NewEntry;
use crate::ledger::{Act, PlaceRecord, bulk_insert, columns};
use crate::quantity::Instant;
use rusqlite::params;
use rusqlite::types::ToSqlOutput;
use std::collections::{HashMap, HashSet};

/// A moment and thousandths of a degree Celsius.
type Reading = (Instant, i32);

/// What the book holds of the time of a file.
#[derive(Default)]
struct Held {
    figures: HashMap<Instant, Vec<i32>>,
    /// Readings that follow each other in one file.
    pairs: HashSet<(Reading, Reading)>,
}

impl Held {
    fn of(rows: &[FileReading]) -> Self {
        let mut held = Self::default();
        let mut last: HashMap<i64, Reading> = HashMap::new();
        for row in rows {
            let reading = (row.at, row.temperature.milli_celsius());
            held.figures.entry(row.at).or_default().push(reading.1);
            if let Some(before) = last.insert(row.file, reading) {
                held.pairs.insert((before, reading));
            }
        }
        held
    }

    /// The readings of a file from the first pair that no file in the book holds to the last one. Known ones between them
    /// belong to it, or two of its readings would seem to follow each other that do not.
    fn lacking<'a>(&self, readings: &'a [Reading]) -> &'a [Reading] {
        if let [(at, milli)] = readings {
            let is_known = |known: &Vec<i32>| known.contains(milli);
            let end = usize::from(!self.figures.get(at).is_some_and(is_known));
            return &readings[..end];
        }
        let is_new = |two: &[Reading]| !self.pairs.contains(&(two[0], two[1]));
        let mut pairs = readings.windows(2);
        let Some(first) = pairs.position(is_new) else {
            return &[];
        };
        let last = readings.windows(2).rposition(is_new).unwrap_or(first);
        &readings[first..last + 2]
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
        let held = Held::of(&self.view().air_readings(place, Some(*first), Some(*last))?);
        for (at, milli) in new.readings {
            match held.figures.get(at) {
                Some(known) if known.contains(milli) => read_in.known += 1,
                known => {
                    read_in.added += 1;
                    read_in.differing += usize::from(known.is_some());
                }
            }
        }
        let newly_left_out;
        let (written, left_out) = match held.lacking(new.readings) {
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
const PART: usize = 65_536;
