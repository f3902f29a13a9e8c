//! What somebody measured, was told or found of a lot.

use super::moisture_test::by_weights;
use super::{measured, possible};
use crate::desk::draws::OutflowsBefore;
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, Refusal, WarmTime};
use crate::keeping::{PlaceKind, Verdict};
use crate::ledger::{LotRecord, View};
use crate::quantity::{Instant, Temperature, WaterActivity};
use crate::report::LotAnswer;
use chrono::Duration;

/// What was found of a lot.
#[derive(Debug, Clone, PartialEq)]
pub enum Found<'a> {
    /// The temperature in the middle of the grain.
    Temperature(Temperature),
    /// The water activity of dried grain.
    Activity(WaterActivity),
    /// Mould, a sour smell, gas, in words.
    Spoiled(&'a str),
    /// All of it was cold from then on and was kept so, by the word of this person.
    Cooled(&'a str),
}

/// A finding at a moment.
pub struct Probe<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// What was found.
    pub found: Found<'a>,
    /// When; of a word, from when on the grain was cold.
    pub at: Instant,
}

impl Desk {
    /// Records what was found of a lot, and tells what was used or given away by then and should not have been.
    pub fn probe(&mut self, request: &Probe<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let at = request.at;
        let (lot, (marks, told), lacking) = self.act_on_lot(request.lot, |act, lot| {
            let mut told = Vec::new();
            let gone_out = OutflowsBefore::of(act.view(), vec![lot.clone()])?;
            match request.found {
                Found::Temperature(temperature) => {
                    let temperature = possible(act.view(), &lot, at, temperature)?;
                    let doubt = not_as_it_seems(act.view(), &lot, at, temperature)?;
                    let before = warm_minutes_if(act.view(), &lot, (at, temperature))?;
                    let entry = act.reading(&lot, at, temperature)?;
                    let is = FactFinder::new(act.view())?.keeping(&lot, act.now())?;
                    let past_by = (is.verdict == Verdict::Past).then_some(entry);
                    let read = (at, temperature);
                    told.extend(warm_since(act.view(), &lot, read, (before, past_by))?);
                    if is.verdict != Verdict::Past {
                        told.extend(awaits_file(act.view(), &lot, read)?);
                    }
                    let rules = &act.view().about().rules;
                    told.extend(measured(entry, lot.mash_out, temperature, at, rules));
                    told.extend(doubt);
                    // What made it warm may have made other tubs of the same grain warm.
                    if past_by.is_some() {
                        told.extend(of_the_same_grain(act.view(), &lot)?);
                    }
                    entry
                }
                Found::Activity(_) if !lot.form.is_dry() => {
                    return Err(Refusal::NotDried {
                        lot: lot.code,
                        form: lot.form,
                    }
                    .into());
                }
                Found::Activity(activity) => {
                    refuse_drier_than_wet(act.view(), &lot, activity)?;
                    act.activity(&lot, at, activity)?
                }
                Found::Spoiled(found) => {
                    told.extend(
                        gone_out
                            .eaten(act.view())?
                            .into_iter()
                            .map(Notice::WentOutBefore),
                    );
                    told.extend(of_the_same_grain(act.view(), &lot)?);
                    act.spoiled(&lot, at, found)?
                }
                Found::Cooled(reported_by) => {
                    let entry = act.cooled(&lot, at, reported_by)?;
                    told.extend(word_in_warmth(act.view(), &lot, (at, at))?);
                    entry
                }
            };
            let marks = gone_out.marks_of_past_kept(act.view())?;
            // What is known to have been spoiled by then is told as that.
            told.retain(|notice| {
                !matches!(notice, Notice::WentOutBefore(draw)
                    if marks.set.iter().any(|one| (one.lot, one.at, &one.what) == (draw.lot, draw.at, &draw.what)))
            });
            Ok((lot, (marks, told)))
        })?;
        Ok(self
            .lot_after(lot, lacking)?
            .with_notices(told)
            .with_notices(marks.notices()))
    }
}

/// How long a lot counts as warm so far, where a reading shows it warm.
fn warm_minutes_if(
    view: View<'_>,
    lot: &LotRecord,
    (at, temperature): (Instant, Temperature),
) -> anyhow::Result<Option<i64>> {
    if view.about().rules.cold.limit.at_or_below(temperature) {
        return Ok(None);
    }
    Ok(Some(FactFinder::new(view)?.keeping(lot, at)?.warm_minutes))
}

/// Where a warm reading makes time warm in which nobody measured the grain: since when, and for how long. `past_by` is the
/// reading where the lot is past.
fn warm_since(
    view: View<'_>,
    lot: &LotRecord,
    read: (Instant, Temperature),
    (before, past_by): (Option<i64>, Option<i64>),
) -> anyhow::Result<Option<Notice>> {
    let Some(before) = before else {
        return Ok(None);
    };
    let more = warm_minutes_if(view, lot, read)?.unwrap_or(before) - before;
    let longest_gap = view.about().rules.longest_gap;
    if Duration::minutes(more) <= longest_gap {
        return Ok(None);
    }
    let since = read.0 - Duration::minutes(more);
    let histories = FactFinder::new(view)?.histories(lot)?;
    let is_logged = histories
        .iter()
        .any(|history| history.is_logged(since, read.0));
    let known = match past_by {
        _ if is_logged => WarmTime::Logged,
        Some(entry) => WarmTime::Past(entry),
        None => WarmTime::NotMeasured,
    };
    Ok(Some(Notice::WarmSince(lot.code, since, more, known)))
}

/// Where a cold reading of grain in a measured place counts only until the next file of it. Nothing settles what is past.
fn awaits_file(
    view: View<'_>,
    lot: &LotRecord,
    (at, temperature): (Instant, Temperature),
) -> anyhow::Result<Option<Notice>> {
    let rules = &view.about().rules;
    if !rules.cold.limit.at_or_below(temperature) {
        return Ok(None);
    }
    let histories = FactFinder::new(view)?.histories(lot)?;
    let found = histories
        .iter()
        .filter_map(|history| history.awaits_file(at, rules))
        .max_by_key(|found| found.last);
    Ok(found.map(|found| Notice::AwaitsFile(lot.code, found)))
}

/// A word from one moment to another that the measured warmth of its place speaks against.
pub(super) fn word_in_warmth(
    view: View<'_>,
    lot: &LotRecord,
    time: (Instant, Instant),
) -> anyhow::Result<Option<Notice>> {
    let rules = &view.about().rules;
    let histories = FactFinder::new(view)?.histories(lot)?;
    let found = histories
        .iter()
        .filter_map(|history| history.word_in_warmth(time, rules))
        .max_by_key(|found| found.said);
    Ok(found.map(|found| Notice::WordInWarmth(lot.code, found)))
}

/// Grain that is wetter than this has no water activity at which it keeps: at 0.85 cereals hold about a fifth of water
/// (sorption isotherms, from memory), so that a third is far from it. Judgement.
const TOO_WET: f64 = 1.0 / 3.0;

/// Refuses a water activity of dry grain where the weights before and after the drying leave it wet.
fn refuse_drier_than_wet(
    view: View<'_>,
    lot: &LotRecord,
    activity: WaterActivity,
) -> anyhow::Result<()> {
    let is_dry = activity.get() < view.about().rules.dried.activity_below.get();
    if let Some(weights) = by_weights(view, lot)?.filter(|(least, _)| is_dry && *least > TOO_WET) {
        return Err(Refusal::TooWetForActivity {
            lot: lot.code,
            activity,
            weights,
        }
        .into());
    }
    Ok(())
}

/// A temperature that does not say what it seems to: beside a warmer one of the same moment it counts for nothing,
/// and in a freezer above what is frozen it is the end of that.
fn not_as_it_seems(
    view: View<'_>,
    lot: &LotRecord,
    at: Instant,
    temperature: Temperature,
) -> anyhow::Result<Option<Notice>> {
    let warmest = view.warmest_at(lot, at)?;
    if let Some((entry, warmer)) =
        warmest.filter(|(_, other)| other.milli_celsius() > temperature.milli_celsius())
    {
        return Ok(Some(Notice::WarmerThen {
            entry,
            temperature: warmer,
        }));
    }
    let limit = view.about().rules.frozen.limit;
    let place = match view.held(lot, &view.places()?)? {
        Some((_, place, PlaceKind::Freezer)) if !limit.at_or_below(temperature) => place,
        _ => return Ok(None),
    };
    Ok(Some(Notice::CountsAsThawed { place, limit }))
}

/// Other lots on hand that came in as the same grain: what spoiled one may have spoiled them.
pub(super) fn of_the_same_grain(view: View<'_>, lot: &LotRecord) -> anyhow::Result<Option<Notice>> {
    let codes = |lots: Vec<LotRecord>| -> Vec<_> { lots.iter().map(|lot| lot.code).collect() };
    let origins = codes(view.origins(lot)?);
    let mut others = Vec::new();
    for other in view.on_hand(Instant::MAX_UTC)? {
        let is_like = codes(view.origins(&other.lot)?)
            .iter()
            .any(|code| origins.contains(code));
        if other.lot.code != lot.code && is_like {
            others.push(other.lot.code);
        }
    }
    Ok((!others.is_empty()).then_some(Notice::OfTheSameGrain {
        lot: lot.code,
        others,
    }))
}
