//! What loggers measured of the air of places: read in once, found again for the time a lot was there.

use super::entries::IN_FORCE;
use super::{Act, PlaceRecord, View, columns, rows};
use crate::keeping::{AirSpan, Shown, air};
use crate::quantity::{Instant, Scale, Temperature};
use chrono::Duration;
use rusqlite::params;
use rusqlite::types::ToSqlOutput;
use std::collections::{BTreeMap, HashMap};

/// A logger's readings of one place, in time order and each moment once.
#[derive(Debug, Clone)]
pub struct NewReadings<'a> {
    /// The scale of the file.
    pub scale: Scale,
    /// The name of the file.
    pub name: &'a str,
    /// Moments and thousandths of a degree Celsius.
    pub readings: &'a [(Instant, i32)],
}

/// What became of a file of readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadIn {
    /// The entry; nothing where all of them were known.
    pub entry: Option<i64>,
    /// How many were new.
    pub added: usize,
    /// How many the book held already.
    pub known: usize,
    /// How many of the new ones are of a moment for which the book holds another figure.
    pub differing: usize,
}

/// A file of readings as its entry holds it.
#[derive(Debug, Clone)]
pub struct ReadingFile {
    /// The name of the file.
    pub name: String,
    /// How many readings were new.
    pub readings: i64,
    /// The first one.
    pub first: Instant,
    /// The last one.
    pub last: Instant,
}

/// Entries of readings in force with the scale of each.
type InForce = HashMap<i64, Scale>;

/// The air of places as far back as anyone asked, put together once for all lots.
#[derive(Debug, Default)]
pub struct Air {
    places: HashMap<i64, OfPlace>,
}

#[derive(Debug)]
struct OfPlace {
    from: Instant,
    spans: Vec<AirSpan>,
}

impl Air {
    /// What is known of a place's air from a moment on, and of some time before it.
    pub(super) fn of(
        &mut self,
        view: View<'_>,
        place: &PlaceRecord,
        from: Instant,
    ) -> anyhow::Result<&[AirSpan]> {
        let known = self.places.get(&place.id).map(|found| found.from);
        let reaches = match known {
            Some(known) if known <= from => None,
            // Older lots come in any order: twice as far back each time, so that few are read often.
            Some(known) => Some(from - (known - from).max(Duration::days(1))),
            None => Some(from),
        };
        if let Some(from) = reaches {
            let spans = view.air(place, from)?;
            self.places.insert(place.id, OfPlace { from, spans });
        }
        Ok(self.places.get(&place.id).map_or(&[], |found| &found.spans))
    }
}

impl View<'_> {
    /// Stretches of a place's air that begin with the last reading up to `from`.
    fn air(&self, place: &PlaceRecord, from: Instant) -> anyhow::Result<Vec<AirSpan>> {
        let readings = self.air_readings(place, from, None)?;
        let mut spans = air::spans(readings, &self.about.rules);
        // What the place is stated to be anew is newer than its last reading.
        if let Some(last) = spans.last_mut()
            && matches!(last.shown, Shown::NoColder(_))
        {
            let anew = place.settings.iter().map(|setting| setting.from);
            last.until = anew.filter(|at| *at > last.from).min();
        }
        Ok(spans)
    }

    /// Readings in force of a place, in time order: the last one up to `from` and all after it up to `to`.
    pub fn air_readings(
        &self,
        place: &PlaceRecord,
        from: Instant,
        to: Option<Instant>,
    ) -> anyhow::Result<Vec<(Instant, Temperature)>> {
        let in_force = self.readings_in_force(place.id)?;
        if in_force.is_empty() {
            return Ok(Vec::new());
        }
        let begins = self.last_reading(place.id, from, &in_force)?;
        let mut statement = self.connection.prepare_cached(
            "SELECT at, entry_id, temperature_mc FROM air_reading
             WHERE place_id = ?1 AND at >= ?2 AND at <= ?3 ORDER BY at, entry_id",
        )?;
        let mut rows = statement.query(params![
            place.id,
            begins.unwrap_or_else(|| columns::seconds(from)),
            to.map_or(i64::MAX, columns::seconds)
        ])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            if let Some(scale) = in_force.get(&row.get(1)?) {
                let milli: i32 = row.get(2)?;
                found.push((
                    columns::instant(row.get(0)?),
                    Temperature::new(milli, *scale),
                ));
            }
        }
        Ok(found)
    }

    /// The moment of the last reading in force up to `from`.
    fn last_reading(
        &self,
        place_id: i64,
        from: Instant,
        in_force: &InForce,
    ) -> anyhow::Result<Option<i64>> {
        let mut statement = self.connection.prepare_cached(
            "SELECT at, entry_id FROM air_reading WHERE place_id = ?1 AND at <= ?2 ORDER BY at DESC",
        )?;
        let mut rows = statement.query(params![place_id, columns::seconds(from)])?;
        while let Some(row) = rows.next()? {
            if in_force.contains_key(&row.get(1)?) {
                return Ok(Some(row.get(0)?));
            }
        }
        Ok(None)
    }

    fn readings_in_force(&self, place_id: i64) -> anyhow::Result<InForce> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.id, file.temperature_scale FROM entry
             JOIN reading_file AS file ON file.entry_id = entry.id
             WHERE entry.place_id = ?1 AND entry.kind = 'readings' AND {IN_FORCE}"
        ))?;
        let mut rows = statement.query(params![place_id])?;
        let mut found = InForce::new();
        while let Some(row) = rows.next()? {
            let letter: String = row.get(1)?;
            found.insert(row.get(0)?, columns::temperature(0, Some(&letter)).scale());
        }
        Ok(found)
    }

    /// What one entry read in.
    pub(super) fn reading_file(&self, entry: i64) -> rusqlite::Result<ReadingFile> {
        self.connection
            .prepare_cached(
                "SELECT name, readings, first_at, last_at FROM reading_file WHERE entry_id = ?1",
            )?
            .query_row(params![entry], |row| {
                Ok(ReadingFile {
                    name: row.get(0)?,
                    readings: row.get(1)?,
                    first: columns::instant(row.get(2)?),
                    last: columns::instant(row.get(3)?),
                })
            })
    }

    /// Entries of readings whose rows are not those that the entry speaks of.
    pub(super) fn damaged_readings(&self) -> rusqlite::Result<i64> {
        self.connection
            .prepare(
                "WITH found AS (
                     SELECT entry_id, count(*) AS readings, min(at) AS first_at, max(at) AS last_at,
                            min(place_id) AS place_id, max(place_id) AS other_id
                     FROM air_reading GROUP BY entry_id)
                 SELECT count(*) FROM entry
                 LEFT JOIN reading_file AS file ON file.entry_id = entry.id
                 LEFT JOIN found ON found.entry_id = entry.id
                 WHERE entry.kind = 'readings' AND (file.readings, file.first_at, file.last_at, entry.place_id,
                       entry.place_id, entry.at)
                     IS NOT (found.readings, found.first_at, found.last_at, found.place_id, found.other_id, found.last_at)",
            )?
            .query_row([], |row| row.get(0))
    }
}

impl Act<'_> {
    /// Reads in what a logger measured of a place. What the book holds already is left out; another figure for
    /// a known moment is kept beside it, and the warmer one counts.
    pub fn readings(
        &mut self,
        place: &PlaceRecord,
        new: &NewReadings<'_>,
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
        let mut held: BTreeMap<Instant, Vec<i32>> = BTreeMap::new();
        for (at, reading) in self.view().air_readings(place, *first, Some(*last))? {
            held.entry(at).or_default().push(reading.milli_celsius());
        }
        let mut fresh: Vec<(i64, i32)> = Vec::new();
        for (at, milli) in new.readings {
            match held.get(at) {
                Some(known) if known.contains(milli) => {
                    read_in.known += 1;
                    continue;
                }
                Some(_) => read_in.differing += 1,
                None => {}
            }
            fresh.push((columns::seconds(*at), *milli));
        }
        let (Some((first_at, _)), Some((last_at, _))) = (fresh.first(), fresh.last()) else {
            return Ok(read_in);
        };
        let entry = self.write_readings_entry(place, columns::instant(*last_at))?;
        self.transaction.execute(
            "INSERT INTO reading_file (entry_id, temperature_scale, name, readings, first_at, last_at)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                entry,
                columns::scale_letter(new.scale),
                new.name,
                fresh.len() as i64,
                first_at,
                last_at
            ],
        )?;
        for part in fresh.chunks(PART) {
            let values: Vec<[ToSqlOutput<'_>; 4]> = part
                .iter()
                .map(|(at, milli)| {
                    [
                        place.id.into(),
                        (*at).into(),
                        entry.into(),
                        i64::from(*milli).into(),
                    ]
                })
                .collect();
            rows::insert(
                &self.transaction,
                "INSERT INTO air_reading (place_id, at, entry_id, temperature_mc)",
                &values,
            )?;
        }
        read_in.entry = Some(entry);
        read_in.added = fresh.len();
        Ok(read_in)
    }

    fn write_readings_entry(&self, place: &PlaceRecord, at: Instant) -> rusqlite::Result<i64> {
        self.transaction.execute(
            "INSERT INTO entry (kind, at, recorded_at, recorded_by, place_id) VALUES ('readings', ?1, ?2, ?3, ?4)",
            params![
                columns::seconds(at),
                columns::seconds(self.signature.now),
                self.signature.by,
                place.id
            ],
        )?;
        Ok(self.transaction.last_insert_rowid())
    }
}

/// Readings made ready to be written at a time.
const PART: usize = 65_536;
