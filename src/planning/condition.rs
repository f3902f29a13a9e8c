//! Grain that is not shown to be cold yet and can still be: it is planned with as if it were shown in time, and the
//! plan says what it counts on.
//!
//! What has to be shown by when is the keeping clock's advice. Nothing is softened: once the time is over and nothing
//! was shown, the clock says unknown, and no plan uses the grain.

use crate::keeping::{Advice, History, RuleSet, What, assess};
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Zone};

/// A temperature that a plan counts on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// By when the grain's temperature has to be taken.
    pub by: Instant,
    /// What the thermometer must show at most.
    pub at_most: Limit,
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
    let mut conditions: Vec<Condition> = Vec::new();
    let shown = histories.iter().map(|history| {
        let mut shown = history.clone();
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
            conditions.push(Condition { by, at_most });
        }
        shown
    });
    let shown = shown.collect();
    conditions.sort_by_key(|one| (one.by, one.at_most.in_celsius().milli_celsius()));
    // Of two readings at one moment the colder one shows both.
    conditions.dedup_by_key(|one| one.by);
    (shown, conditions)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keeping::{Event, PlaceKind, Shown, Verdict};
    use crate::planning::tests::instances::{empty, monday};
    use crate::quantity::Temperature;
    use chrono::Duration;

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
        assert_eq!(conditions, [Condition { by, at_most }]);
        let later = monday() + Duration::hours(5);
        let found = assess(&shown[0], &situation.rules, &situation.zone, later);
        assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 120));
    }
}
