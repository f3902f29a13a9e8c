//! Until when grain is shown to have been hot.

use super::super::air::{self, Unmeasured};
use super::super::{History, PlaceKind, RuleSet, Shown, What};
use super::Held;
use crate::quantity::{Instant, Temperature};

/// The last moment up to which the grain is shown to have been hot without a break.
///
/// Hot readings carry it forward from the mash, each for no longer than two readings may lie apart. Where
/// the grain lay in one hot-hold from the one to the other, under whichever code, and that was stated to be at or above the
/// limit all the time, the place speaks for the time between them, however long. Not so where a logger shows that its air was
/// not hot, nor where the grain was worked on for a time or got water in between: how warm it was then nobody measured. The
/// place never speaks for the time after the last reading.
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
    let may_have_cooled = |from: Instant, to: Instant| {
        history.events.iter().any(|event| match event.what {
            What::Handled { until, .. } => event.at < to && from < until,
            What::Watered => from <= event.at && event.at < to,
            _ => false,
        })
    };
    let held_hot = |from: Instant, to: Instant| {
        // Put back, and with its place stated anew, it goes on where it was.
        let mut there = stays
            .iter()
            .filter(|stay| stay.from < to && stay.to.is_none_or(|left| from < left));
        stays.first().is_some_and(|first| first.from <= from)
            && !may_have_cooled(from, to)
            && is_hot_around(from, to)
            && there.all(|stay| {
                let during = (
                    stay.from.max(from),
                    Some(stay.to.map_or(to, |left| left.min(to))),
                );
                stay.kind == PlaceKind::HotHold
                    && stay.lies_since <= from
                    && is_hot(stay.stated)
                    && air::pieces(&air, during, stay.stated, None)
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
