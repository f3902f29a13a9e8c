//! What loggers measured of the air of places: read in once, found again for the time a lot was there.

mod read_in;

use super::in_force::IN_FORCE;
use super::{PlaceRecord, View, columns, grain_in_air};
use crate::keeping::air::loggers::{self, FileReading, Together};
use crate::keeping::{AirSpan, Layer, RuleSet, air};
use crate::quantity::{Instant, Scale, Temperature};
use chrono::Duration;
use rusqlite::params;
use std::collections::HashMap;

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
    /// The entry; nothing where all of them were known, and how they follow each other, and what was left out beside them.
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
    /// How many readings it holds: the new ones, and known ones beside them.
    pub readings: i64,
    /// The first one.
    pub first: Instant,
    /// The last one.
    pub last: Instant,
    /// From when on it bears on the grain of its place where no other reading came before it: the first one, or a row before
    /// it that was left out.
    pub from: Instant,
    /// How many rows were left out though they were too warm for the place, and the warmest of them.
    pub left_out: Option<(i64, Temperature)>,
}

/// The readings of a place up to a moment, the last one first.
const LAST_UP_TO: &str =
    "SELECT at, entry_id FROM air_reading WHERE place_id = ?1 AND at <= ?2 ORDER BY at DESC";

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
    /// See [`Together::ended`].
    pub ended: Vec<(Instant, Instant)>,
    /// See [`Together::within`].
    pub within: Vec<(Instant, Instant)>,
    /// Moments of rows that were left out, in time order.
    pub left_out: Vec<Instant>,
    /// What they come to where they count as measured.
    pub spans: Vec<AirSpan>,
}

impl Range {
    /// What files of a place come to together, whatever time they are of.
    pub fn of(
        together: Together,
        left_out: Vec<Instant>,
        place: &PlaceRecord,
        rules: &RuleSet,
    ) -> Self {
        let left_out = together.cut_at(left_out);
        let Together {
            readings,
            ended,
            within,
            ..
        } = together;
        let points = air::points(&readings, &left_out);
        let mut spans = air::spans(points.iter().copied(), rules);
        let is_hot_hold = |at| place.is_hot_hold(at);
        loggers::last_of(&mut spans, &points, &ended, is_hot_hold, rules.longest_gap);
        Self {
            from: Instant::MIN_UTC,
            to: None,
            spans,
            readings,
            ended,
            within,
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
        let rules = &self.about.rules;
        let in_force = self.readings_in_force(place.id)?;
        let (begins, ends) = self.nearest(place.id, (Some(from), to), &in_force)?;
        // Intervals of other files reach so far beyond, and to tell where these begin and end takes as much again.
        let gap = rules.longest_gap.num_seconds();
        let ends = ends.saturating_add(gap);
        let wider = (begins.saturating_sub(2 * gap), ends.saturating_add(2 * gap));
        let mut found = loggers::together(
            &self.readings_between(place.id, wider, &in_force)?,
            rules.longest_gap,
        );
        let inside = |at: Instant| (begins..=ends).contains(&columns::seconds(at));
        found.readings.retain(|(at, _)| inside(*at));
        let left_out = self.left_out(place)?.iter().map(|rows| rows.at).collect();
        Ok(Range {
            from,
            to,
            ..Range::of(found, left_out, place, rules)
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

    /// Readings in force of a place with their files, in time order: from the last one up to `from` to the first one at or
    /// after `to`.
    pub fn air_readings(
        &self,
        place: &PlaceRecord,
        from: Option<Instant>,
        to: Option<Instant>,
    ) -> anyhow::Result<Vec<FileReading>> {
        let in_force = self.readings_in_force(place.id)?;
        let between = self.nearest(place.id, (from, to), &in_force)?;
        self.readings_between(place.id, between, &in_force)
    }

    /// The moments of the last reading in force up to one moment and of the first at or after another.
    fn nearest(
        &self,
        place_id: i64,
        (from, to): (Option<Instant>, Option<Instant>),
        in_force: &InForce,
    ) -> anyhow::Result<(i64, i64)> {
        if in_force.is_empty() {
            return Ok((i64::MIN, i64::MAX));
        }
        let begins = match from {
            Some(from) => self
                .nearest_reading(LAST_UP_TO, (place_id, from), in_force)?
                .unwrap_or_else(|| columns::seconds(from)),
            None => i64::MIN,
        };
        let ends = match to {
            Some(to) => self
                .nearest_reading(
                    "SELECT at, entry_id FROM air_reading WHERE place_id = ?1 AND at >= ?2 ORDER BY at",
                    (place_id, to),
                    in_force,
                )?
                .unwrap_or(i64::MAX),
            None => i64::MAX,
        };
        Ok((begins, ends))
    }

    /// Readings in force of a place from one moment up to another.
    fn readings_between(
        &self,
        place_id: i64,
        between: (i64, i64),
        in_force: &InForce,
    ) -> anyhow::Result<Vec<FileReading>> {
        let mut found = Vec::new();
        self.each_reading_between(place_id, between, in_force, |reading| found.push(reading))?;
        Ok(found)
    }

    /// The same one by one, in time order.
    fn each_reading_between(
        &self,
        place_id: i64,
        (begins, ends): (i64, i64),
        in_force: &InForce,
        mut take: impl FnMut(FileReading),
    ) -> anyhow::Result<()> {
        if in_force.is_empty() {
            return Ok(());
        }
        let mut statement = self.connection.prepare_cached(
            "SELECT at, entry_id, temperature_mc FROM air_reading
             WHERE place_id = ?1 AND at BETWEEN ?2 AND ?3 ORDER BY at, entry_id",
        )?;
        let mut rows = statement.query(params![place_id, begins, ends])?;
        while let Some(row) = rows.next()? {
            let file: i64 = row.get(1)?;
            if let Some(scale) = in_force.get(&file) {
                take(FileReading {
                    at: columns::instant(row.get(0)?),
                    file,
                    temperature: Temperature::new(row.get(2)?, *scale),
                });
            }
        }
        Ok(())
    }

    /// Rows that were left out of files in force of a place, in time order. They are back in where a file in force holds a
    /// reading of the very moment that is too warm for the place as well; a cold one of another logger takes nothing back.
    pub fn left_out(&self, place: &PlaceRecord) -> anyhow::Result<Vec<LeftOut>> {
        let ever = self.ever_left_out(place.id)?;
        self.still_left_out(place, ever)
    }

    /// Of rows that a file leaves out those of which the book does not know yet.
    fn newly_left_out(
        &self,
        place: &PlaceRecord,
        rows: &[LeftOut],
    ) -> anyhow::Result<Vec<LeftOut>> {
        let ever = self.ever_left_out(place.id)?;
        let is_new = |rows: &&LeftOut| ever.iter().all(|known| known.at != rows.at);
        self.still_left_out(place, rows.iter().filter(is_new).copied().collect())
    }

    /// The rows that no file in force takes back in.
    fn still_left_out(
        &self,
        place: &PlaceRecord,
        all: Vec<LeftOut>,
    ) -> anyhow::Result<Vec<LeftOut>> {
        if all.is_empty() {
            return Ok(all);
        }
        let in_force = self.readings_in_force(place.id)?;
        let mut found = Vec::new();
        for rows in all {
            let at = columns::seconds(rows.at);
            let kind = place.setting_at(rows.at).kind;
            let same_moment = self.readings_between(place.id, (at, at), &in_force)?;
            let is_warm = |row: &FileReading| self.about.rules.is_too_warm(kind, row.temperature);
            if !same_moment.iter().any(is_warm) {
                found.push(rows);
            }
        }
        Ok(found)
    }

    /// The same, back in or not.
    fn ever_left_out(&self, place_id: i64) -> rusqlite::Result<Vec<LeftOut>> {
        self.connection
            .prepare_cached(&format!(
                "SELECT left_out.at, left_out.readings, left_out.warmest_mc, file.temperature_scale
                 FROM left_out CROSS JOIN entry ON entry.id = left_out.entry_id
                 JOIN reading_file AS file ON file.entry_id = entry.id
                 WHERE entry.place_id = ?1 AND {IN_FORCE} ORDER BY left_out.at"
            ))?
            .query_map(params![place_id], |row| {
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

    /// From when on readings of a place, the first of them at a moment, bear on the grain that lay there. They end the gap
    /// after the last one before them, however long it is; and they may speak for a time before them as long as a gap.
    pub fn bear_from(&self, place: &PlaceRecord, first: Instant) -> anyhow::Result<Instant> {
        let before = (place.id, first - Duration::seconds(1));
        let in_force = self.readings_in_force(place.id)?;
        let last = self.nearest_reading(LAST_UP_TO, before, &in_force)?;
        let near = first - self.about.rules.longest_gap;
        Ok(last.map_or(near, |last| columns::instant(last).min(near)))
    }

    /// The scale of each file in force of a place.
    pub fn scales_of_readings(&self, place: &PlaceRecord) -> anyhow::Result<Vec<Scale>> {
        Ok(self.readings_in_force(place.id)?.into_values().collect())
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
                "SELECT file.name, file.readings, first_at, last_at, temperature_scale, sum(left_out.readings), max(warmest_mc),
                     min(first_at, coalesce(min(left_out.at), first_at))
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
                    from: columns::instant(row.get(7)?),
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
