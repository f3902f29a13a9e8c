//! Gathers every limit on a lot's life and draws the verdict from them.

use super::cooling::{self, Cooling, Stage};
use super::days::Days;
use super::limit_words::{cooling_words, failed_words, not_shown_words};
use super::timeline::{Class, Interval};
use super::verdict::{Advice, Assessment, Binding, Verdict};
use super::warm;
use super::wet_and_dry::{Course, Wet};
use super::{History, Layer, RuleSet, What, spoilage};
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Zone};
use chrono::Duration;

mod counted;
mod dried;
mod measured;

/// A limit that ends the use of a lot.
struct Bound {
    last_good: Instant,
    verdict: Verdict,
    binding: Binding,
    advice: Option<Advice>,
}

const SECOND: Duration = Duration::seconds(1);

/// Judges a lot at a moment.
///
/// All that is known counts, also what was found out after `at`: a later reading can show that the
/// grain was warm before.
pub fn assess(history: &History, rules: &RuleSet, zone: &Zone, at: Instant) -> Assessment {
    let mut life = Life::of(history, rules, zone, at);
    life.add_measured(history, rules, at);
    life.conclude(at, rules)
}

/// The last moment at which [`assess`] lets a lot be used; nothing where no limit ends that.
pub(super) fn usable_through(history: &History, rules: &RuleSet, zone: &Zone) -> Option<Instant> {
    // The moment that is asked for moves no limit, only what is said beside them.
    let at = history.mash_out.unwrap_or(Instant::MIN_UTC);
    let limits = Life::of(history, rules, zone, at).bounds.into_iter();
    let ends = limits.filter(|bound| !bound.verdict.may_be_used());
    ends.map(|bound| bound.last_good).min()
}

/// All limits on one lot, gathered before the verdict is drawn.
#[derive(Default)]
struct Life {
    bounds: Vec<Bound>,
    use_first_from: Vec<Instant>,
    intervals: Vec<Interval>,
    day: Option<u32>,
    wetted: bool,
    frozen: bool,
    days_left: Option<u32>,
    back_by: Option<Instant>,
    /// From when on it was warm for too long to go back into the cold.
    bake_only_from: Option<Instant>,
    shelf_stable: Option<String>,
    notes: Vec<String>,
    /// What to do with grain that may still be used: past grain is not told it.
    unless_past: Vec<String>,
    unmeasured_since: Option<Instant>,
    layer: Option<Layer>,
    is_in_layer: bool,
    /// What counts as cold, by when the grain had to be, and whether a word for it is refuted, where its cooling is not shown.
    cold_in_time: Option<(Limit, Instant, bool)>,
    /// When it was dried, where it was shown dry only once it was past.
    unknown_from: Option<Instant>,
    /// What counts as cold, and by when a thermometer has to show it so, where it brought warmth along.
    shown_cold_by: Option<(Limit, Instant)>,
}

impl Life {
    /// All limits on a lot, with what is to be said of a moment.
    fn of(history: &History, rules: &RuleSet, zone: &Zone, at: Instant) -> Self {
        let mut life = Self::default();
        life.add_spoiled(history);
        match history.mash_out {
            None => life.bounds.push(Bound {
                last_good: Instant::MIN_UTC,
                verdict: Verdict::Unknown,
                binding: Binding {
                    limit: "mash-out time is not known, so no date can be given".to_owned(),
                    source: format!(
                        "undated food is not used, Food Code 3-501.18; {}",
                        rules.days.source
                    ),
                },
                advice: Some(Advice::AskMashOut),
            }),
            Some(mash_out) => life.add_all(history, rules, zone, mash_out, at),
        }
        life
    }

    fn add_spoiled(&mut self, history: &History) {
        for event in &history.events {
            if let What::Spoiled(found) = &event.what {
                self.bounds.push(Bound {
                    last_good: event.at - SECOND,
                    verdict: Verdict::Past,
                    binding: Binding {
                        limit: format!("found spoiled: {found}"),
                        source: "mould, a sour smell or gas ends use whatever the clock says; toxins may spread and stand heat (USDA FSIS, Molds on Food)".to_owned(),
                    },
                    advice: None,
                });
            }
        }
    }

    fn add_all(
        &mut self,
        history: &History,
        rules: &RuleSet,
        zone: &Zone,
        mash_out: Instant,
        at: Instant,
    ) {
        let course = Course::of(history, rules, mash_out);
        if course.wet.first().is_none_or(|wet| wet.wetted) {
            self.add_cooling(history, (rules, zone), (mash_out, false));
        }
        for wet in &course.wet {
            let mut time = Self::default();
            time.add_wet(history, rules, zone, wet, at);
            self.take_over(time, wet);
        }
        for (index, dry) in course.dry.iter().enumerate() {
            let is_last = index + 1 == course.dry.len();
            let (goes_on, lies_dried) = (course.ends_dry && is_last, course.lies_dried && is_last);
            self.add_dry(dry, rules, (goes_on, lies_dried));
        }
    }

    /// Adds what a wet time comes to; of one that ended in drying, what it came to before it was shown dry.
    fn take_over(&mut self, time: Self, wet: &Wet) {
        let to = wet.to;
        let before = |moment: Instant| to.is_none_or(|to| moment < to);
        let ends = time
            .bounds
            .iter()
            .filter(|end| end.verdict == Verdict::Past);
        let end = ends.map(|end| end.last_good).min();
        let dried = wet
            .dried
            .filter(|dried| end.is_some_and(|end| *dried < end && before(end)));
        self.unknown_from = self.unknown_from.or(dried);
        self.bounds.extend(
            time.bounds
                .into_iter()
                .filter(|bound| before(bound.last_good)),
        );
        if to.is_some() && time.use_first_from.iter().any(|from| before(*from)) {
            self.unless_past.push(
                "it goes before other dried grain: it was use-first before it was shown dry"
                    .to_owned(),
            );
        }
        self.use_first_from
            .extend(time.use_first_from.into_iter().filter(|from| before(*from)));
        self.intervals = time.intervals;
        self.notes.extend(time.notes);
        self.cold_in_time = self.cold_in_time.or(time.cold_in_time);
        if to.is_none() {
            self.day = time.day;
            self.frozen = time.frozen;
            self.days_left = time.days_left;
            self.back_by = time.back_by;
            self.bake_only_from = time.bake_only_from;
            self.shown_cold_by = time.shown_cold_by;
            self.wetted = time.wetted;
        }
    }

    /// Judges one wet time.
    fn add_wet(&mut self, history: &History, rules: &RuleSet, zone: &Zone, wet: &Wet, at: Instant) {
        self.wetted = wet.wetted;
        let history: &History = &history.until(wet.to);
        let cold_from = self.add_cooling(history, (rules, zone), (wet.from, wet.wetted));
        // Until the grain is shown cold the cooling rule judges it, and from then on warm time adds up.
        let start = cold_from.unwrap_or(wet.from);
        let (intervals, across_seams) = wet.intervals(history, rules, start);
        self.intervals = intervals;
        self.add_since_said_cold(history, rules, wet, cold_from);
        let days_but = |is_frozen: fn(&Interval) -> bool| {
            Days::new(wet.from, &self.intervals, is_frozen, zone)
        };
        let days = days_but(|interval| interval.class == Class::Frozen);
        let firm = days_but(|interval| interval.firmly_frozen);
        self.add_days(&days, &firm, rules, at);
        if cold_from.is_none() {
            self.intervals.clear();
            return;
        }
        let mut before: Vec<Vec<Interval>> = across_seams.into_iter().collect();
        for (earlier, is_before_statement) in history.before_warm(start, rules.cold.limit) {
            let (intervals, across_seams) = wet.intervals(&earlier, rules, start);
            if is_before_statement {
                self.add_before_statement(&intervals, rules);
            }
            before.push(intervals);
            before.extend(across_seams);
        }
        self.add_warm(&before, rules, at);
        self.add_brought(history, rules, at);
        self.add_day_count_temperature(&before, rules);
        self.add_gap(rules);
        self.add_unsettled(history, rules, start);
        let age = Duration::days(i64::from(rules.days.use_first_from) - 1);
        self.use_first_from.extend(spoilage::reaches(
            &self.intervals,
            age,
            rules.cold.limit.in_celsius(),
        ));
    }

    /// Adds what cooling has to say and returns from when on the grain is shown cold.
    ///
    /// `start` is when it began, and whether with wetting.
    fn add_cooling(
        &mut self,
        history: &History,
        (rules, zone): (&RuleSet, &Zone),
        start: (Instant, bool),
    ) -> Option<Instant> {
        // Grain that only a logger in it shows not to have cooled is judged by its warm time as well.
        let said_cold = cooling::shown_but_for_loggers(history, rules, start);
        let words = |stage, since| cooling_words(stage, since, rules);
        let (last_good, verdict, limit, advice) = match self.judge_cooling(history, rules, start) {
            Cooling::Shown(cold) => return said_cold.or(Some(cold)),
            Cooling::Failed {
                at,
                stage,
                since,
                shown,
                is_logged,
                unknown_after,
            } => {
                if let Some(last_good) = unknown_after {
                    self.add_not_shown(last_good, &words(Stage::First, since), rules);
                }
                let limit = failed_words(&words(stage, since), shown, is_logged);
                (at, Verdict::Past, limit, None)
            }
            Cooling::Open {
                until,
                at_most,
                stage,
                since,
                word_set_aside,
                is_refuted,
                cold_too_late,
                cold_by: by,
            } => {
                self.notes
                    .extend(word_set_aside.map(|(said, why)| why.note(said, zone)));
                let cold_limit = rules.cold.limit;
                self.cold_in_time = Some((cold_limit, by, is_refuted));
                (
                    until,
                    Verdict::Unknown,
                    not_shown_words(&words(stage, since)),
                    Some(match cold_too_late {
                        Some((cold, is_said)) => Advice::AskWhetherColdBefore {
                            cold,
                            at_most: cold_limit,
                            by,
                            is_said,
                        },
                        None => Advice::TakeTemperature { at_most, by: until },
                    }),
                )
            }
        };
        self.bounds.push(Bound {
            last_good,
            verdict,
            binding: Binding {
                limit,
                source: rules.cooling.source.clone(),
            },
            advice,
        });
        said_cold
    }

    fn conclude(mut self, at: Instant, rules: &RuleSet) -> Assessment {
        let warm_minutes = warm::minutes_until(&self.intervals, at);
        let warm_times = warm::times_until(&self.intervals, at);
        self.bounds.sort_by_key(|bound| bound.last_good);
        let broken = |verdict| {
            self.bounds
                .iter()
                .find(|bound| bound.verdict == verdict && at > bound.last_good)
        };
        let use_first =
            self.use_first_from.iter().any(|from| *from <= at) || self.days_left == Some(0);
        let verdict = if broken(Verdict::Past).is_some() {
            Verdict::Past
        } else if broken(Verdict::Unknown).is_some() {
            Verdict::Unknown
        } else if use_first {
            Verdict::UseFirst
        } else {
            Verdict::Good
        };
        if verdict != Verdict::Past {
            self.notes.splice(0..0, self.unless_past.drain(..));
        }
        let deciding = match verdict {
            Verdict::Past | Verdict::Unknown => broken(verdict),
            Verdict::Good | Verdict::UseFirst => self.bounds.first(),
        };
        let keep_until = deciding
            .filter(|_| verdict != Verdict::Unknown)
            .map(|bound| bound.last_good);
        let binding = match (deciding, &self.shelf_stable, self.days_left) {
            (Some(bound), ..) => bound.binding.clone(),
            (None, Some(dry), _) => Binding {
                limit: dry.clone(),
                source: rules.dried.source.clone(),
            },
            (None, None, Some(left)) => Binding {
                limit: format!(
                    "frozen: the day count stands still with {left} of {} days left",
                    rules.days.most
                ),
                source: rules.frozen.source.clone(),
            },
            (None, None, None) => self.day_binding(rules),
        };
        let first = |verdict| {
            let mut bounds = self.bounds.iter();
            let bound = bounds.find(|bound| bound.verdict == verdict);
            bound.map(|bound| bound.last_good)
        };
        let ends = first(Verdict::Past);
        let unknown_after = [first(Verdict::Unknown), self.unknown_from];
        let unknown_after = unknown_after.into_iter().flatten().min();
        if self.unknown_from.is_some_and(|from| from <= at) {
            self.notes
                .push("it was shown dry only after its time was over".to_owned());
        }
        let advice = deciding
            .and_then(|bound| bound.advice.clone())
            .map(|advice| match (advice, self.cold_in_time) {
                (Advice::TakeTemperature { by: until, .. }, Some((at_most, by, is_refuted)))
                    if at > until =>
                {
                    Advice::AskWhenCooled {
                        at_most,
                        by,
                        still_hot: None,
                        is_refuted,
                    }
                }
                // Grain that nobody measured is as perishable as it was.
                (Advice::MeasureActivity { .. }, _) => Advice::MeasureActivity { by: ends },
                (Advice::ReadInLogger { cold_by, .. }, _) => Advice::ReadInLogger {
                    cold_by: cold_by.filter(|(_, by)| at <= *by),
                    good_until: keep_until,
                },
                (other, _) => other,
            })
            .or_else(|| self.standing_advice(verdict, at));
        Assessment {
            verdict,
            keep_until,
            unknown_after,
            binding,
            day: self.day,
            warm_minutes,
            warm_times,
            frozen: self.frozen,
            frozen_since: None,
            advice,
            notes: self.notes,
            unmeasured_since: self.unmeasured_since,
            layer: self.layer,
            is_in_layer: self.is_in_layer,
        }
    }

    /// Advice for a lot that may be used.
    fn standing_advice(&self, verdict: Verdict, at: Instant) -> Option<Advice> {
        if !verdict.may_be_used() {
            return None;
        }
        let is_warm = self.intervals.iter().any(|one| {
            one.class == Class::Warm && one.from <= at && one.to.is_none_or(|to| at < to)
        });
        let ends_before = |by: Instant| self.bounds.first().is_some_and(|end| end.last_good < by);
        if let Some((at_most, by)) = self.shown_cold_by.filter(|(_, by)| !ends_before(*by)) {
            return Some(Advice::TakeTemperature { at_most, by });
        }
        match (self.days_left, self.back_by) {
            (Some(0), _) => Some(Advice::StraightFromTheFreezer),
            (Some(left), _) => Some(Advice::DaysAfterThawing(left)),
            (None, Some(by)) if at <= by => Some(Advice::BackIntoTheColdBy(by)),
            _ if is_warm && self.bake_only_from.is_some_and(|from| from <= at) => {
                Some(Advice::UseNow)
            }
            _ => None,
        }
    }
}
