//! Grain that is not shown to be cold yet and can still be: it is planned with as if it were shown in time, and the
//! plan says what it counts on.
//!
//! What has to be shown by when is the keeping clock's advice. Nothing is softened: once the time is over and nothing
//! was shown, the clock says unknown, and no plan uses the grain.

use crate::keeping::{Advice, History, RuleSet, What, assess};
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Zone};
use chrono::Duration;

/// A temperature that a plan counts on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// By when the grain's temperature has to be taken.
    pub by: Instant,
    /// What the thermometer must show at most.
    pub at_most: Limit,
    /// How long after an earlier reading at the latest, where the time also counts from that.
    pub within: Option<Within>,
    /// Grain that is weighed out after this may have to be shown before: `by`, or the end of the time within which it has
    /// to be shown after a reading of now.
    pub needed_after: Instant,
}

/// A time that counts from a reading to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Within {
    /// How long.
    pub time: Duration,
    /// It counts from the first reading of at most this.
    pub after: Limit,
}

impl Condition {
    fn new(at_most: Limit, by: Instant, within: Option<Within>, now: Instant) -> Self {
        Self {
            by,
            at_most,
            within,
            needed_after: within.map_or(by, |within| by.min(now + within.time)),
        }
    }

    fn is_as_cold_as(&self, other: &Self) -> bool {
        let cold = |of: &Self| of.at_most.in_celsius().milli_celsius();
        cold(self) <= cold(other)
    }

    /// The same with what another one asks for beside it, of which no reading has to be colder or sooner.
    fn and(self, other: &Self) -> Self {
        Self {
            within: self.within.or(other.within),
            needed_after: self.needed_after.min(other.needed_after),
            ..self
        }
    }
}

/// Stages of cooling that any rule text has, and one more.
const STAGES: usize = 3;

/// The histories as if each were shown cold in time, with what has to be shown for that. Those that need nothing shown,
/// or for which it is too late, are unchanged.
pub fn shown_in_time(
    histories: &[History],
    rules: &RuleSet,
    zone: &Zone,
    now: Instant,
) -> (Vec<History>, Vec<Condition>) {
    let mut conditions: Vec<(usize, Condition)> = Vec::new();
    let shown = histories.iter().enumerate().map(|(of, history)| {
        let mut shown = history.clone();
        let mut within = None;
        for _ in 0..STAGES {
            let then = assess(&shown, rules, zone, now);
            let Some(Advice::TakeTemperature { at_most, by }) = then.advice else {
                break;
            };
            if !then.verdict.may_be_used() || by < now {
                break;
            }
            let reading = at_most.in_celsius();
            shown = if rules.cold.limit.at_or_below(reading) {
                shown.shown_cold(by, reading)
            } else {
                shown.then(by, What::Read(reading))
            };
            conditions.push((of, Condition::new(at_most, by, within, now)));
            // Whoever shows the first stage early has less time for the second.
            let further = rules.cooling.further_within;
            within = further
                .filter(|_| at_most == rules.cooling.first_to)
                .map(|time| Within {
                    time,
                    after: at_most,
                });
        }
        shown
    });
    let shown = shown.collect();
    conditions.sort_by_key(|(_, one)| (one.by, one.at_most.in_celsius().milli_celsius()));
    (shown, without_what_others_show(conditions))
}

/// The conditions, each with the position of its history and in order of time, without those that a reading shows that is
/// asked for of another history as soon and as cold. What one history needs shown twice is asked for twice.
fn without_what_others_show(sorted: Vec<(usize, Condition)>) -> Vec<Condition> {
    let mut kept: Vec<(Condition, Vec<usize>)> = Vec::new();
    for (of, one) in sorted {
        let shows_it = |(before, stands_for): &&mut (Condition, Vec<usize>)| {
            // Of two readings at one moment the colder one shows both.
            before.is_as_cold_as(&one) && (before.by == one.by || !stands_for.contains(&of))
        };
        match kept.iter_mut().find(shows_it) {
            Some((before, stands_for)) => {
                *before = before.and(&one);
                stands_for.push(of);
            }
            None => kept.push((one, vec![of])),
        }
    }
    kept.into_iter().map(|(condition, _)| condition).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keeping::{Event, PlaceKind, Shown, Verdict};
    use crate::planning::tests::instances::{empty, monday};
    use crate::quantity::Temperature;

    fn hot(mash_out: Instant) -> History {
        let fridge = What::Placed {
            kind: PlaceKind::Fridge,
            stated: Temperature::celsius(4),
        };
        History {
            mash_out: Some(mash_out),
            arrived_dried: false,
            events: vec![Event {
                at: mash_out + Duration::minutes(10),
                what: fridge,
            }],
        }
    }

    /// The strict rules: 21 °C within two hours, 5 °C within four more.
    #[test]
    fn both_stages_of_cooling_are_counted_on() {
        let situation = empty();
        let mash_out = monday() - Duration::minutes(30);
        let ask = |now| shown_in_time(&[hot(mash_out)], &situation.rules, &situation.zone, now);
        let (shown, conditions) = ask(monday());
        let told: Vec<_> = conditions
            .iter()
            .map(|one| {
                (
                    (one.by - mash_out).num_minutes(),
                    one.at_most.in_celsius().degrees_celsius(),
                )
            })
            .collect();
        assert_eq!(told, [(120, 21.0), (360, 5.0)]);
        // A reading of now begins the four hours of the second stage.
        let within = Within {
            time: Duration::hours(4),
            after: situation.rules.cooling.first_to,
        };
        assert_eq!(
            conditions.iter().map(|one| one.within).collect::<Vec<_>>(),
            [None, Some(within)]
        );
        assert_eq!(conditions[1].needed_after, monday() + Duration::hours(4));
        let later = assess(
            &shown[0],
            &situation.rules,
            &situation.zone,
            monday() + Duration::days(3),
        );
        assert!(later.verdict.may_be_used());
        // Two hours later nothing can be shown any more.
        let (unchanged, none) = ask(mash_out + Duration::minutes(121));
        assert!(none.is_empty() && unchanged == [hot(mash_out)]);
    }

    /// Two tubs that were put together cool as one: whoever shows the earlier of each stage has shown both.
    #[test]
    fn of_joined_grain_the_earlier_of_each_stage_is_asked_for() {
        let situation = empty();
        let early = monday() - Duration::minutes(60);
        let late = monday() - Duration::minutes(30);
        let ask = |histories: &[History]| {
            shown_in_time(histories, &situation.rules, &situation.zone, monday()).1
        };
        let told = ask(&[hot(late), hot(early)]);
        assert_eq!(told, ask(&[hot(early)]));
        assert_eq!(told.len(), 2);
        // One has the first stage behind it. The four hours of the other one's second stage still count.
        let passed = hot(early - Duration::hours(2)).then(
            monday() - Duration::minutes(90),
            What::Read(Temperature::celsius(20)),
        );
        let told = ask(&[passed, hot(late)]);
        let limits = told.iter().map(|one| (one.at_most, one.within.is_some()));
        let rules = &situation.rules;
        assert_eq!(
            limits.collect::<Vec<_>>(),
            [(rules.cooling.first_to, false), (rules.cold.limit, true)]
        );
    }

    /// Warm for an hour by what it brought along, and for two more if nobody shows it cold.
    #[test]
    fn warmth_that_was_brought_along_is_shown_to_be_over() {
        let situation = empty();
        let came = monday() - Duration::hours(1);
        let mut history = hot(came - Duration::hours(3)).then(
            came,
            What::Placed {
                kind: PlaceKind::Fridge,
                stated: Temperature::celsius(4),
            },
        );
        let brought = What::Air {
            until: came + Duration::hours(3),
            shown: Shown::Measured {
                coldest: Temperature::celsius(4),
                warmest: Temperature::celsius(8),
                measured: Temperature::celsius(4),
                rests_on: None,
                cut: false,
            },
            layer: None,
            in_grain: false,
            leaves: None,
        };
        history
            .events
            .extend([What::Cooled, brought].map(|what| Event { at: came, what }));
        let (shown, conditions) =
            shown_in_time(&[history], &situation.rules, &situation.zone, monday());
        let by = came + Duration::hours(2) - Duration::seconds(1);
        let at_most = situation.rules.cold.limit;
        let condition = Condition::new(at_most, by, None, monday());
        assert_eq!(conditions, [condition]);
        let later = monday() + Duration::hours(5);
        let found = assess(&shown[0], &situation.rules, &situation.zone, later);
        assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 120));
    }
}
