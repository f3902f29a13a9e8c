//! Until when grain is shown to have been hot.

use super::super::air::{self, Unmeasured};
use super::super::{History, PlaceKind, RuleSet, Shown};
use super::Held;
use crate::quantity::{Instant, Temperature};

/// The last moment up to which the grain is shown to have been hot without a break.
///
/// Hot readings carry it forward from the mash, each for no longer than two readings may lie apart. Where
/// both lie in one hot-hold stay that states a temperature at or above the limit, the place speaks for the
/// time between them, however long, unless a logger shows that its air was not hot; it never speaks for the
/// time after the last one.
pub(super) fn left_hot(
    history: &History,
    rules: &RuleSet,
    (mash_out, held): (Instant, Held),
    readings: &[(Instant, Temperature)],
) -> Instant {
    let stays = history.stays();
    let air = history.air();
    let is_hot = |t: Temperature| rules.hot.limit.at_or_above(t);
    let is_hot_around = |from: Instant, to: Instant| {
        let mut during = air
            .iter()
            .filter(|span| span.from < to && span.until > from);
        during.all(|span| !matches!(span.shown, Shown::Gap(coldest) if !is_hot(coldest)))
    };
    let held_hot = |from: Instant, to: Instant| {
        stays.iter().any(|stay| {
            stay.kind == PlaceKind::HotHold
                && is_hot(stay.stated)
                && stay.from <= from
                && stay.to.is_none_or(|left| to <= left)
                && is_hot_around(from, to)
                && air::pieces(&air, (from, Some(to)), stay.stated, None)
                    .iter()
                    .all(|piece| {
                        let counts = match piece.unmeasured {
                            None => true,
                            Some(Unmeasured::Gap) => held == Held::AcrossGaps,
                            Some(Unmeasured::Cut) => false,
                        };
                        counts && piece.known.iter().all(|t| is_hot(*t))
                    })
        })
    };
    let mut hot_until = mash_out;
    for (at, reading) in readings {
        let joins = *at - hot_until <= rules.longest_gap || held_hot(hot_until, *at);
        if !is_hot(*reading) || !joins {
            break;
        }
        hot_until = *at;
    }
    hot_until
}
