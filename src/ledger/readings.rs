//! What loggers measured of the air of places: read in once, found again for the time a lot was there.

use super::in_force::IN_FORCE;
use super::new_entry::NewEntry;
use super::{Act, PlaceRecord, View, bulk_insert, columns, grain_in_air};
use crate::keeping::{AirSpan, Layer, RuleSet, air};
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

/// Rows of a logger's file that were left out though they were too warm for its place, before its readings or after them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// The one that lies nearest to the readings.
    pub at: Instant,
    /// How many.
    pub rows: i64,
    /// The warmest of them.
    pub warmest: Temperature,
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
    /// How many rows were left out though they were too warm for the place, and the warmest of them.
    pub left_out: Option<(i64, Temperature)>,
}

/// Entries of readings in force with the scale of each.
type InForce = HashMap<i64, Scale>;

/// The air of places for the times that anyone asked for, put together once for all lots.
#[derive(Debug, Default)]
pub struct Air {
    places: HashMap<i64, Vec<Range>>,
}

/// A time for which the air of a place was put together; without an end it reaches to what is known last.
#[derive(Debug)]
pub(super) struct Range {
    from: Instant,
    to: Option<Instant>,
    /// In time order, from the last one up to the beginning on.
    pub readings: Vec<(Instant, Temperature)>,
    /// Moments of rows that were left out, in time order.
    pub left_out: Vec<Instant>,
    /// What they come to where they count as measured.
    pub spans: Vec<AirSpan>,
}

impl Range {
    /// What these readings come to, whatever time they are of.
    pub fn of(
        readings: Vec<(Instant, Temperature)>,
        left_out: Vec<Instant>,
        rules: &RuleSet,
    ) -> Self {
        Self {
            from: Instant::MIN_UTC,
            to: None,
            spans: air::spans(air::points(&readings, &left_out), rules),
            readings,
            left_out,
        }
    }

    fn covers(&self, from: Instant, to: Option<Instant>) -> bool {
        let reaches = self.to.is_none_or(|end| to.is_some_and(|to| to <= end));
        self.from <= from && reaches
    }
}

/// Lots of one time were in a place at much the same time, so a little more than asked for serves the next.
const MORE: Duration = Duration::days(1);

impl Air {
    /// What is known of a place's air from a moment to another, or to the last, and of some time around it.
    pub(super) fn of(
        &mut self,
        view: View<'_>,
        place: &PlaceRecord,
        from: Instant,
        to: Option<Instant>,
    ) -> anyhow::Result<&Range> {
        let known = self.places.entry(place.id).or_default();
        let index = match known.iter().position(|range| range.covers(from, to)) {
            Some(index) => index,
            None => {
                let open = known.iter().position(|range| range.to.is_none());
                let begins = match (to, open) {
                    (Some(_), _) => from - MORE,
                    (None, None) => from,
                    // Older lots come in any order: twice as far back each time, so that few are read often.
                    (None, Some(open)) => {
                        let known = known.swap_remove(open).from;
                        from - (known - from).max(MORE)
                    }
                };
                let to = to.map(|to| to + MORE);
                known.push(view.air(place, begins, to)?);
                known.len() - 1
            }
        };
        Ok(&known[index])
    }
}

impl View<'_> {
    /// What is known of a place's air, in stretches that begin with the last reading up to `from`, or a little before.
    fn air(
        &self,
        place: &PlaceRecord,
        from: Instant,
        to: Option<Instant>,
    ) -> anyhow::Result<Range> {
        // Readings are put together by the hour: from its beginning on they are so wherever one begins.
        let hour = Duration::hours(1).num_seconds();
        let from = columns::instant(columns::seconds(from).div_euclid(hour) * hour);
        let readings = self.air_readings(place, Some(from), to)?;
        let left_out = self.left_out(place)?.iter().map(|rows| rows.at).collect();
        Ok(Range {
            from,
            to,
            ..Range::of(readings, left_out, &self.about.rules)
        })
    }

    /// What readings of a place's air make of a layer of grain that lies there from the first of them until it leaves;
    /// nothing where they count as measured.
    pub fn grain_in_air(
        &self,
        place: &PlaceRecord,
        readings: &[(Instant, Temperature)],
        leaves: Option<Instant>,
    ) -> Option<(Layer, Vec<(Instant, Temperature)>)> {
        grain_in_air::curve(place, readings, leaves, &self.about.rules)
    }

    /// Readings in force of a place, in time order: from the last one up to `from` to the first one at or after
    /// `to`.
    pub fn air_readings(
        &self,
        place: &PlaceRecord,
        from: Option<Instant>,
        to: Option<Instant>,
    ) -> anyhow::Result<Vec<(Instant, Temperature)>> {
        let in_force = self.readings_in_force(place.id)?;
        if in_force.is_empty() {
            return Ok(Vec::new());
        }
        let begins = match from {
            Some(from) => self
                .nearest_reading(
                    "SELECT at, entry_id FROM air_reading WHERE place_id = ?1 AND at <= ?2 ORDER BY at DESC",
                    (place.id, from),
                    &in_force,
                )?
                .unwrap_or_else(|| columns::seconds(from)),
            None => i64::MIN,
        };
        let ends = match to {
            Some(to) => self
                .nearest_reading(
                    "SELECT at, entry_id FROM air_reading WHERE place_id = ?1 AND at >= ?2 ORDER BY at",
                    (place.id, to),
                    &in_force,
                )?
                .unwrap_or(i64::MAX),
            None => i64::MAX,
        };
        let mut statement = self.connection.prepare_cached(
            "SELECT at, entry_id, temperature_mc FROM air_reading
             WHERE place_id = ?1 AND at BETWEEN ?2 AND ?3 ORDER BY at, entry_id",
        )?;
        let mut rows = statement.query(params![place.id, begins, ends])?;
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

    /// Rows that were left out of files in force of a place, in time order.
    pub fn left_out(&self, place: &PlaceRecord) -> rusqlite::Result<Vec<LeftOut>> {
        self.connection
            .prepare_cached(&format!(
                "SELECT left_out.at, left_out.readings, left_out.warmest_mc, file.temperature_scale
                 FROM left_out CROSS JOIN entry ON entry.id = left_out.entry_id
                 JOIN reading_file AS file ON file.entry_id = entry.id
                 WHERE entry.place_id = ?1 AND {IN_FORCE} ORDER BY left_out.at"
            ))?
            .query_map(params![place.id], |row| {
                let letter: String = row.get(3)?;
                Ok(LeftOut {
                    at: columns::instant(row.get(0)?),
                    rows: row.get(1)?,
                    warmest: columns::temperature(row.get(2)?, Some(&letter)),
                })
            })?
            .collect()
    }

    /// The moment of the first reading in force that a statement finds of a place from a moment on.
    fn nearest_reading(
        &self,
        statement: &str,
        (place_id, from): (i64, Instant),
        in_force: &InForce,
    ) -> anyhow::Result<Option<i64>> {
        let mut statement = self.connection.prepare_cached(statement)?;
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
                "SELECT file.name, file.readings, first_at, last_at, temperature_scale, sum(left_out.readings), max(warmest_mc)
                 FROM reading_file AS file LEFT JOIN left_out ON left_out.entry_id = file.entry_id
                 WHERE file.entry_id = ?1 GROUP BY file.entry_id",
            )?
            .query_row(params![entry], |row| {
                let letter: String = row.get(4)?;
                let warmest: Option<i64> = row.get(6)?;
                let warmest = warmest.map(|milli| columns::temperature(milli, Some(&letter)));
                Ok(ReadingFile {
                    name: row.get(0)?,
                    readings: row.get(1)?,
                    first: columns::instant(row.get(2)?),
                    last: columns::instant(row.get(3)?),
                    left_out: row.get::<_, Option<i64>>(5)?.zip(warmest),
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
    /// a known moment is kept beside it, and the warmer one counts. Warm rows that were not taken are kept in mind.
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
        let mut held: BTreeMap<Instant, Vec<i32>> = BTreeMap::new();
        for (at, reading) in self.view().air_readings(place, Some(*first), Some(*last))? {
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
        let entry = self.write(
            None,
            columns::instant(*last_at),
            NewEntry::Readings(place.id),
        )?;
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
            bulk_insert::insert(
                &self.transaction,
                "INSERT INTO air_reading (place_id, at, entry_id, temperature_mc)",
                &values,
            )?;
        }
        read_in.entry = Some(entry);
        read_in.added = fresh.len();
        Ok(read_in)
    }
}

/// Readings made ready to be written at a time.
const PART: usize = 65_536;
