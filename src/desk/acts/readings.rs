//! Takes in what a logger measured of the air of a place.

use super::probe::word_in_warmth;
use crate::desk::draws::OutflowsBefore;
use crate::desk::facts::FactFinder;
use crate::desk::guard::{self, Judged};
use crate::desk::{Answer, Desk, Notice, Refusal, Remedy};
use crate::keeping::{Assessment, RuleSet};
use crate::ledger::{Act, LeftOut, NewReadings, PlaceRecord, View};
use crate::quantity::{Instant, Temperature, bounds};
use crate::report::readings::{Changed, ReadingsAnswer};

/// A logger's file, read.
pub struct LoggedAir<'a> {
    /// The place's name.
    pub place: &'a str,
    /// What was measured.
    pub readings: NewReadings<'a>,
    /// Rows without a temperature.
    pub empty: usize,
    /// Rows outside of the time asked for: moments and thousandths of a degree Celsius, in time order.
    pub left_out: &'a [(Instant, i32)],
}

/// Readings of a place that is no freezer, too cold for wet grain: of another scale, another column or another place.
#[derive(Debug, Clone, PartialEq)]
pub struct TooCold {
    /// The place.
    pub place: String,
    /// More than half of the readings are no warmer.
    pub median: Temperature,
    /// What the median may be at the least.
    pub limit: Temperature,
}

/// Wet grain outside of a freezer is no colder.
const COLDEST: Temperature = Temperature::celsius(bounds::UNFROZEN_GRAIN.low as i32);

impl TooCold {
    /// What can be done about it.
    pub(in crate::desk) fn remedies(&self) -> Vec<Remedy> {
        vec![
            Remedy::ReadAsMeasured(self.median.scale()),
            Remedy::StateAsFreezer(self.place.clone()),
        ]
    }
}

impl Desk {
    /// Takes readings in, and answers what they say and which lots on hand they change; what was used or given away by
    /// then and should not have been is told.
    ///
    /// # Errors
    ///
    /// Besides what the guard refuses, a file that would take the mark off grain that was past when it left the place, and
    /// one that is too cold for it.
    pub fn take_readings(
        &mut self,
        request: &LoggedAir<'_>,
    ) -> anyhow::Result<Answer<ReadingsAnswer>> {
        let now = self.now;
        let rules = self.about().rules.clone();
        let new = &request.readings;
        let work = |act: &mut Act<'_>| {
            let place = act.view().place(request.place)?;
            refuse_too_cold(&place, new)?;
            let left_out = too_warm(&place, request, &rules);
            let left_out_at = left_out.iter().map(|rows| rows.at);
            let first = new
                .readings
                .iter()
                .map(|(at, _)| *at)
                .chain(left_out_at)
                .min();
            let since = act.view().bear_from(&place, first.unwrap_or(now))?;
            let by = guard::judged_as_of(act.view(), now)?;
            let gone_out = OutflowsBefore::of_place(act.view(), &place, (since, by))?;
            let others = act.view().scales_of_readings(&place)?;
            let is_other_scale =
                !others.is_empty() && others.iter().all(|scale| *scale != new.scale);
            let read_in = act.readings(&place, new, &left_out)?;
            let mut answer =
                ReadingsAnswer::new(&place.name, read_in, new.readings, new.scale, &rules);
            (answer.empty, answer.outside) = (request.empty, request.left_out.len());
            let in_air = |at| place.setting_at(at).measures_air();
            if !answer.period.is_some_and(|period| in_air(period.to)) {
                answer.slow_step = None;
            }
            let mut doubtful = not_frozen(&place, new, &rules);
            let warmest = left_out.iter().map(|rows| rows.warmest);
            doubtful.extend(
                warmest
                    .reduce(Temperature::warmer)
                    .map(Notice::WarmRowsLeftOut),
            );
            if let Some(entry) = read_in.entry
                && is_other_scale
            {
                doubtful.push(Notice::OtherScale {
                    entry,
                    place: place.name.clone(),
                    scale: new.scale,
                });
            }
            let twice = act.view().same_readings_elsewhere()?;
            doubtful.extend(twice.map(Notice::SameReadingsElsewhere));
            Ok((answer, gone_out.marks_of_past_kept(act.view())?, doubtful))
        };
        let ((answer, marks, doubtful), lacking) = self.act_on_every_lot(
            work,
            |act, (mut answer, marks, mut doubtful), before, after| {
                answer.changed = changed(before, after);
                doubtful.extend(overruled(act.view(), &answer.changed, new, now)?);
                doubtful.extend(words_in_warmth(act.view(), &answer.changed, new)?);
                Ok((answer, marks, doubtful))
            },
        )?;
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions)
            .with_notices(lacking)
            .with_notices(doubtful)
            .with_notices(marks.notices()))
    }
}

/// From when on readings tell of a place: the first may speak for the time since one before it, as far as two may lie apart.
fn first_moment(new: &NewReadings<'_>, rules: &RuleSet) -> Option<Instant> {
    let first = new.readings.iter().map(|(at, _)| *at).min()?;
    Some(first - rules.longest_gap)
}

/// Refuses a file by which a place that is no freezer would freeze its grain: figures in °C that are read as °F would make
/// any warm fridge a cold one.
fn refuse_too_cold(place: &PlaceRecord, new: &NewReadings<'_>) -> Result<(), Refusal> {
    let readings = new.readings.iter();
    let mut milli: Vec<i32> = readings
        .filter(|(at, _)| !place.is_freezer_at(*at))
        .map(|(_, reading)| *reading)
        .collect();
    milli.sort_unstable();
    match milli.get(milli.len() / 2) {
        Some(median) if *median < COLDEST.milli_celsius() => {
            Err(Refusal::ReadingsTooCold(TooCold {
                place: place.name.clone(),
                median: Temperature::new(*median, new.scale),
                limit: COLDEST,
            }))
        }
        _ => Ok(()),
    }
}

/// Rows that were left out though they were above the limit for such a place, before the readings and after them. Nobody
/// knows whether the logger was elsewhere.
fn too_warm(place: &PlaceRecord, request: &LoggedAir<'_>, rules: &RuleSet) -> Vec<LeftOut> {
    let new = &request.readings;
    let Some((first, _)) = new.readings.first() else {
        return Vec::new();
    };
    let is_warm = |(at, temperature): &(Instant, Temperature)| {
        rules.is_too_warm(place.setting_at(*at).kind, *temperature)
    };
    let warm: Vec<(Instant, Temperature)> = request
        .left_out
        .iter()
        .map(|(at, milli)| (*at, Temperature::new(*milli, new.scale)))
        .filter(is_warm)
        .collect();
    let (before, after) = warm.split_at(warm.partition_point(|(at, _)| at < first));
    [(before, before.last()), (after, after.first())]
        .into_iter()
        .filter_map(|(rows, nearest)| {
            Some(LeftOut {
                at: nearest?.0,
                rows: rows.len() as i64,
                warmest: rows.iter().map(|(_, t)| *t).reduce(Temperature::warmer)?,
            })
        })
        .collect()
}

/// A file for a freezer most of whose readings are above what counts as frozen: of another place, or a freezer that does
/// not freeze.
fn not_frozen(place: &PlaceRecord, new: &NewReadings<'_>, rules: &RuleSet) -> Vec<Notice> {
    let limit = rules.frozen.limit;
    let warm = new
        .readings
        .iter()
        .filter(|(at, reading)| {
            place.is_freezer_at(*at) && !limit.at_or_below(Temperature::new(*reading, new.scale))
        })
        .count();
    if 2 * warm <= new.readings.len() {
        return Vec::new();
    }
    vec![Notice::FreezerNotFrozen {
        place: place.name.clone(),
        warm,
        readings: new.readings.len(),
        limit,
    }]
}

/// Cold thermometer readings around the time of a file, in whose air the grain counts as warm: of lots that it makes worse.
fn overruled(
    view: View<'_>,
    changed: &[Changed],
    new: &NewReadings<'_>,
    now: Instant,
) -> anyhow::Result<Vec<Notice>> {
    let rules = &view.about().rules;
    let last = new.readings.iter().map(|(at, _)| *at).max();
    let Some(time) = first_moment(new, rules).zip(last) else {
        return Ok(Vec::new());
    };
    let mut finder = FactFinder::new(view)?;
    let mut told = Vec::new();
    for one in changed.iter().filter(|one| is_worse(one)) {
        let lot = view.lot_even_struck(&one.lot.to_string())?;
        let histories = finder.histories(&lot)?;
        let found = histories
            .iter()
            .filter_map(|history| history.overruled(time, rules))
            .max_by_key(|found| found.read.0);
        told.extend(found.map(|mut found| {
            found.again_by = found.again_by.filter(|by| now <= *by);
            Notice::ProbeOverruled(one.lot, found, one.after.verdict)
        }));
    }
    Ok(told)
}

/// Words around the time of a file that the warmth in it speaks against: of lots that it makes worse.
fn words_in_warmth(
    view: View<'_>,
    changed: &[Changed],
    new: &NewReadings<'_>,
) -> anyhow::Result<Vec<Notice>> {
    let rules = &view.about().rules;
    let last = new.readings.iter().map(|(at, _)| *at).max();
    let until = last.map(|last| last + rules.longest_gap);
    let Some(time) = first_moment(new, rules).zip(until) else {
        return Ok(Vec::new());
    };
    let mut told = Vec::new();
    for one in changed.iter().filter(|one| is_worse(one)) {
        let lot = view.lot_even_struck(&one.lot.to_string())?;
        told.extend(word_in_warmth(view, &lot, time)?);
    }
    Ok(told)
}

/// Whether a lot may be used less, or for less long.
fn is_worse(one: &Changed) -> bool {
    let is_sooner = match (one.before.keep_until, one.after.keep_until) {
        (Some(before), Some(after)) => after < before,
        (None, Some(_)) => true,
        (_, None) => false,
    };
    one.after.verdict > one.before.verdict || is_sooner
}

/// Lots whose verdict or date is another one.
fn changed(before: &Judged, after: &Judged) -> Vec<Changed> {
    after
        .iter()
        .filter_map(|(lot, after)| {
            let before = before.get(lot)?;
            // Of frozen grain the days that are left stand in the advice.
            let said = |one: &Assessment| (one.verdict, one.keep_until, one.advice.clone());
            (said(before) != said(after)).then(|| Changed {
                lot: *lot,
                before: before.clone(),
                after: after.clone(),
            })
        })
        .collect()
}
