//! Whether grain may still be hot enough to burn somebody. That is apart from the clock: a late or unknown lot scalds
//! like any other.

use super::cooling::{self, By, Cooling};
use super::{History, PlaceKind, RuleSet, What};
use crate::quantity::{Instant, Temperature};
use chrono::Duration;

/// From here on skin burns, the longer it touches the sooner: Moritz and Henriques 1947, American Journal of
/// Pathology 23:695, burned skin at 44 °C in hours and at 60 °C in seconds (from memory).
pub const BURNS_FROM: Temperature = Temperature::celsius(44);

/// After this time no tub holds that heat any more: judgement. By the heat model the middle of a full tub 40 cm wide and
/// 45 cm deep falls from 78 °C to 44 °C sooner in still air of 20 °C; a test beside the report holds this.
pub const STAYS_HOT: Duration = Duration::hours(48);

impl History {
    /// Whether the grain may scald at a moment: the last temperature that anybody took says so, or nobody took one
    /// and the mash was not over for long. Where nobody knows the mash, the time since the grain came counts. A word that
    /// the verdict does not count does not count here.
    pub fn may_scald(&self, rules: &RuleSet, now: Instant) -> bool {
        if self.arrived_dried {
            return false;
        }
        let known = || self.events.iter().filter(|event| event.at <= now);
        let hot_place = self
            .stays()
            .iter()
            .rfind(|stay| stay.from <= now)
            .is_some_and(|stay| stay.kind == PlaceKind::HotHold);
        let counts_words = self.mash_out.is_none_or(|mash_out| {
            !matches!(
                cooling::judge(self, rules, (mash_out, false), By::LoggersToo),
                Cooling::Open {
                    word_set_aside: Some(_),
                    ..
                }
            )
        });
        let last = known()
            .filter_map(|event| match event.what {
                What::Read(temperature) => Some((
                    event.at,
                    temperature.milli_celsius() >= BURNS_FROM.milli_celsius(),
                )),
                // A logger shows nothing cool.
                What::Logged(temperature)
                    if temperature.milli_celsius() >= BURNS_FROM.milli_celsius() =>
                {
                    Some((event.at, true))
                }
                What::Cooled if counts_words => Some((event.at, false)),
                What::Dried => Some((event.at, false)),
                _ => None,
            })
            // Of two at one moment the hotter one counts.
            .max_by_key(|(at, is_hot)| (*at, *is_hot));
        let since = match last {
            Some((_, false)) => return false,
            Some((at, true)) => Some(at),
            None => self
                .mash_out
                .or_else(|| known().map(|event| event.at).min()),
        };
        hot_place || since.is_some_and(|since| now - since < STAYS_HOT)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Event;
    use super::*;
    use chrono::{DateTime, TimeZone, Utc};

    fn hour(hours: i64) -> Instant {
        let mash: DateTime<Utc> = Utc.with_ymd_and_hms(2026, 11, 20, 9, 40, 0).unwrap();
        mash + Duration::hours(hours)
    }

    fn history(mash_out: Option<i64>, events: &[(i64, What)]) -> History {
        let event = |(hours, what): &(i64, What)| Event {
            at: hour(*hours),
            what: what.clone(),
        };
        History {
            mash_out: mash_out.map(hour),
            arrived_dried: false,
            events: events.iter().map(event).collect(),
        }
    }

    fn placed(kind: PlaceKind) -> What {
        let stated = kind.usual_temperature();
        What::Placed { kind, stated }
    }

    fn read(degrees: i32) -> What {
        What::Read(Temperature::celsius(degrees))
    }

    #[test]
    fn grain_scalds_by_its_temperature_or_by_the_time_since_the_mash() {
        let rules = RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap();
        let came = (2, placed(PlaceKind::Fridge));
        let untold = history(Some(0), std::slice::from_ref(&came));
        assert!(untold.may_scald(&rules, hour(9)), "late and not measured");
        assert!(!untold.may_scald(&rules, hour(48)), "two days later");
        let unknown = history(None, std::slice::from_ref(&came));
        assert!(unknown.may_scald(&rules, hour(49)), "nobody knows the mash");
        assert!(!unknown.may_scald(&rules, hour(50)));

        let hot = history(Some(0), &[came.clone(), (60, read(44))]);
        assert!(hot.may_scald(&rules, hour(61)), "a probe says so");
        let cold = history(Some(0), &[came.clone(), (3, read(63)), (5, read(43))]);
        assert!(cold.may_scald(&rules, hour(4)) && !cold.may_scald(&rules, hour(5)));
        let word = history(Some(0), &[came.clone(), (3, What::Cooled)]);
        assert!(!word.may_scald(&rules, hour(4)));
        let too_soon = history(Some(0), &[came, (0, What::Cooled)]);
        assert!(
            too_soon.may_scald(&rules, hour(4)),
            "no tub cools that fast"
        );

        let held = history(Some(0), &[(2, placed(PlaceKind::HotHold)), (2, read(66))]);
        assert!(held.may_scald(&rules, hour(120)), "kept hot for days");
        let dried = History {
            arrived_dried: true,
            ..untold
        };
        assert!(!dried.may_scald(&rules, hour(4)));
    }
}
