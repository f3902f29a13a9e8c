//! Spoilage that was found in a part of a lot, or in a lot after a part had left it: a warning of the other, and no verdict.

use super::{History, What};
use crate::grain::LotCode;
use crate::quantity::Instant;

/// A part of a lot that was thrown away for a reason that names spoilage, or a lot that was found spoiled after grain had left it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SpoiledPart {
    /// The lot that it was part of, or that was found spoiled.
    pub of: LotCode,
    /// When it was thrown away or found.
    pub at: Instant,
    /// Whether the grain that is warned of had left that lot by then.
    pub had_left: bool,
}

impl SpoiledPart {
    /// The last one by a moment in the histories of a lot: its own, and those of what it was made of, whenever it was made.
    pub fn last_of(histories: &[History], by: Instant) -> Option<Self> {
        let events = histories.iter().flat_map(|history| &history.events);
        let parts = events.filter(|event| event.at <= by).filter_map(|event| {
            let (of, had_left) = match event.what {
                What::PartSpoiled(of) => (of, false),
                What::SpoiledAfter(of) => (of, true),
                _ => return None,
            };
            let at = event.at;
            Some(Self { of, at, had_left })
        });
        parts.max_by_key(|part| part.at)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Event;
    use super::*;

    #[test]
    fn the_last_spoiled_part_by_a_moment_is_told() {
        let at = |text: &str| -> Instant { text.parse().unwrap() };
        let (first, second) = (at("2026-11-20T09:00:00Z"), at("2026-11-21T09:00:00Z"));
        let (lot, other) = (
            "ALD-261120-1T".parse().unwrap(),
            "COR-261120-15".parse().unwrap(),
        );
        let history = |at, what| History {
            mash_out: None,
            arrived_dried: false,
            events: vec![Event { at, what }],
        };
        let histories = [
            history(second, What::PartSpoiled(lot)),
            history(first, What::SpoiledAfter(other)),
        ];
        let before = at("2026-11-20T08:59:59Z");
        assert_eq!(SpoiledPart::last_of(&histories, before), None);
        let found = |by| SpoiledPart::last_of(&histories, by);
        assert_eq!(
            found(first),
            Some(SpoiledPart {
                of: other,
                at: first,
                had_left: true
            })
        );
        assert_eq!(
            found(Instant::MAX_UTC),
            Some(SpoiledPart {
                of: lot,
                at: second,
                had_left: false
            })
        );
    }
}
