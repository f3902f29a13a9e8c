//! Limits that follow from how warm a lot was, as measured, stated or unknown.

use super::{Bound, Life};
use crate::keeping::air::Unmeasured;
use crate::keeping::cooling::{self, By, Cooling};
use crate::keeping::limit_words::{
    degrees, gap_words, not_shown_words, unsettled_words, warm_words,
};
use crate::keeping::timeline::{Class, Interval};
use crate::keeping::verdict::{Advice, Binding, Verdict};
use crate::keeping::warm::{self, Known, Warm};
use crate::keeping::wet_and_dry::Wet;
use crate::keeping::{History, RuleSet, Shown, What};
use crate::quantity::Instant;
use chrono::Duration;

const SECOND: Duration = Duration::seconds(1);

/// Stands behind a limit that was reached by what a last reading alone says: of several loggers, of any that stopped.
pub(super) const AS_AT_THE_LAST_READING: &str =
    ", if its place stayed as warm as at the last reading of a logger";

/// Only a file tells.
pub(super) const READ_IN: Advice = Advice::ReadInLogger {
    cold_by: None,
    good_until: None,
};

impl Life {
    /// Adds warm time. What rests on a logger's last reading alone shortens the time left and makes no lot past.
    pub(super) fn add_warm(&mut self, before: &[Vec<Interval>], rules: &RuleSet, at: Instant) {
        let known = Known {
            by_all: &self.intervals,
            before,
        };
        let Warm {
            last_good,
            use_first_from,
            back_by,
        } = warm::add_up(&known, &rules.warm, false);
        self.use_first_from.extend(use_first_from);
        self.bake_only_from = use_first_from;
        self.back_by = back_by.filter(|_| at >= self.intervals.last().map_or(at, |last| last.from));
        let firm = warm::add_up(&known, &rules.warm, true).last_good;
        let mut add = |verdict, (last_good, why): (Instant, warm::WarmEnd), more: &str, advice| {
            self.bounds.push(Bound {
                last_good,
                verdict,
                binding: Binding {
                    limit: format!("{}{more}", warm_words(why, rules)),
                    source: rules.warm.source.clone(),
                },
                advice,
            });
        };
        if let Some(firm) = firm {
            add(Verdict::Past, firm, "", None);
        }
        if let Some(all) = last_good
            && firm.is_none_or(|(firm, _)| all.0 < firm)
        {
            // Shown cold before that, the grain may stay in the cold.
            let cold_by = use_first_from.map(|from| (rules.cold.limit, from - SECOND));
            let advice = Advice::ReadInLogger {
                cold_by,
                good_until: None,
            };
            add(Verdict::Unknown, all, AS_AT_THE_LAST_READING, Some(advice));
        }
    }

    /// A statement that its place is warmer cuts off the time for which a later warm reading speaks. What goes first without it,
    /// as it was known before, goes first with it.
    pub(super) fn add_before_statement(&mut self, intervals: &[Interval], rules: &RuleSet) {
        let known = Known {
            by_all: intervals,
            before: &[],
        };
        let warm = warm::add_up(&known, &rules.warm, false);
        self.use_first_from.extend(warm.use_first_from);
    }

    /// A cooling of which nobody showed the first stage is unknown from that deadline on, also where a later stage is proven to
    /// have failed: what a failure proves of a later time shows nothing of an earlier one.
    pub(super) fn add_not_shown(&mut self, last_good: Instant, stage: &str, rules: &RuleSet) {
        self.bounds.push(Bound {
            last_good,
            verdict: Verdict::Unknown,
            binding: Binding {
                limit: not_shown_words(stage),
                source: rules.cooling.source.clone(),
            },
            advice: None,
        });
    }

    /// A warm reading in the time for cooling shows that grain was not cold through when a reading or a word said so before.
    /// It goes on cooling then, and yet must end no later than without that reading.
    pub(super) fn add_since_said_cold(
        &mut self,
        history: &History,
        rules: &RuleSet,
        wet: &Wet,
        cold_from: Option<Instant>,
    ) {
        for (earlier, _) in history.before_warm(wet.from, rules.cold.limit) {
            let began = (wet.from, wet.wetted);
            let Cooling::Shown(cold) = cooling::judge(&earlier, rules, began, By::Thermometers)
            else {
                continue;
            };
            if cold_from == Some(cold) {
                continue;
            }
            let (intervals, across_seams) = wet.intervals(&earlier, rules, cold);
            let known = Known {
                by_all: &intervals,
                before: across_seams.as_slice(),
            };
            if let Some((last_good, why)) = warm::add_up(&known, &rules.warm, true).last_good {
                self.bounds.push(Bound {
                    last_good,
                    verdict: Verdict::Past,
                    binding: Binding {
                        limit: warm_words(why, rules),
                        source: rules.warm.source.clone(),
                    },
                    advice: None,
                });
            }
        }
    }

    /// Grain that brought warmth along to a cold place that nobody measures stays good where a thermometer shows it cold
    /// before it was warm for too long to go back into the cold.
    pub(super) fn add_brought(&mut self, history: &History, rules: &RuleSet, at: Instant) {
        let by = self.bake_only_from.map(|from| from - SECOND);
        self.shown_cold_by = by
            .filter(|by| at <= *by && history.brings_warmth(at, rules))
            .map(|by| (rules.cold.limit, by));
    }

    /// A day count that holds only below a lower temperature than the cold limit gives no date above it.
    /// Nor does it where a later reading shows that the same time was warmer still.
    pub(super) fn add_day_count_temperature(&mut self, before: &[Vec<Interval>], rules: &RuleSet) {
        let known = self.intervals.iter().chain(before.iter().flatten());
        let mut known: Vec<&Interval> = known.collect();
        known.sort_by_key(|interval| interval.from);
        let broken = known.into_iter().find(|interval| {
            interval.class == Class::Cold
                && interval
                    .warmest
                    .is_some_and(|warmest| !rules.days.only_at.at_or_below(warmest))
        });
        if let Some(interval) = broken {
            self.bounds.push(Bound {
                last_good: interval.from - SECOND,
                verdict: Verdict::Unknown,
                binding: Binding {
                    limit: format!(
                        "the day count holds only at or below {}",
                        degrees(rules.days.only_at)
                    ),
                    source: rules.days.source.clone(),
                },
                advice: None,
            });
        }
    }

    /// What nobody measured in a place that is measured is not known, whatever the place is stated to hold.
    pub(super) fn add_gap(&mut self, rules: &RuleSet) {
        let mut intervals = self.intervals.iter();
        if let Some((from, why)) =
            intervals.find_map(|interval| Some((interval.from, interval.unmeasured?)))
        {
            self.add_unmeasured(from, why, rules);
        }
    }

    /// Judges the cooling. Where nobody knows whether the grain was kept hot it is unknown, and past only if it failed to cool
    /// in any case.
    pub(super) fn judge_cooling(
        &mut self,
        history: &History,
        rules: &RuleSet,
        start: (Instant, bool),
    ) -> Cooling {
        let (cooling, last_good) =
            cooling::judge_across_gaps(history, rules, start, By::LoggersToo);
        if let Some(last_good) = last_good {
            self.add_unmeasured(last_good, Unmeasured::Gap, rules);
        }
        cooling
    }

    fn add_unmeasured(&mut self, last_good: Instant, why: Unmeasured, rules: &RuleSet) {
        self.bounds.push(Bound {
            last_good,
            verdict: Verdict::Unknown,
            binding: Binding {
                limit: gap_words(why, rules),
                source: match why {
                    Unmeasured::Gap => format!(
                        "rule set {}: longest gap; what nobody measured is unknown, never cold",
                        rules.name
                    ),
                    Unmeasured::Cut => {
                        "what nobody measured is unknown, never cold (judgement)".to_owned()
                    }
                },
            },
            advice: Some(READ_IN),
        });
    }

    /// Grain that was above the limit at the last reading of its place becomes unknown once the longest allowed gap is
    /// over. Until it is shown cold the cooling rule judges it.
    pub(super) fn add_unsettled(&mut self, history: &History, rules: &RuleSet, cold_from: Instant) {
        let unsettled = history.unsettled(rules);
        let warm = unsettled.iter().filter(|one| one.is_warm);
        for unsettled in warm.filter(|one| one.at >= cold_from) {
            self.bounds.push(Bound {
                last_good: unsettled.from,
                verdict: Verdict::Unknown,
                binding: Binding {
                    limit: unsettled_words(unsettled.shown, rules),
                    source: format!(
                        "rule set {}: longest gap; what nobody measured is unknown, never cold",
                        rules.name
                    ),
                },
                advice: Some(READ_IN),
            });
        }
    }

    /// Adds what is to be said of the logger of its place: when it ended, and what stands between air and grain.
    pub(super) fn add_measured(&mut self, history: &History, rules: &RuleSet, at: Instant) {
        for event in history.events.iter().filter(|event| event.at <= at) {
            let What::Air {
                shown,
                layer,
                leaves,
                ..
            } = event.what
            else {
                continue;
            };
            match (shown, layer) {
                // Grain that goes on under another code in the same place has not left it.
                (Shown::Last { at: last, .. }, _)
                    if last + rules.longest_gap < at && leaves.is_none_or(|left| left > at) =>
                {
                    self.unmeasured_since = Some(last);
                }
                // It was measured again, and the gap is told by itself.
                (Shown::Gap(_), _) => self.unmeasured_since = None,
                (
                    Shown::Measured {
                        warmest, measured, ..
                    },
                    Some(layer),
                ) if warmest != measured => {
                    self.layer = Some(layer);
                    self.is_in_layer = leaves.is_none_or(|left| left > at);
                }
                _ => {}
            }
        }
    }
}
