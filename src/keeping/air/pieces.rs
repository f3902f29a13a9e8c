//! An interval in one stay, cut where the air of its place becomes something else.

use super::{AirSpan, Shown};
use crate::quantity::{Instant, Temperature};

/// Why nobody measured a place that is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::keeping) enum Unmeasured {
    /// Its readings lie too far apart.
    Gap,
    /// Rows of a file were left out.
    Cut,
}

/// A part of an interval with what the place says of it.
#[derive(Debug, PartialEq)]
pub(in crate::keeping) struct Piece {
    pub from: Instant,
    pub to: Option<Instant>,
    /// What the place says: measured, stated, or both.
    pub known: Vec<Temperature>,
    /// Whether nobody measured it in a place that is measured.
    pub unmeasured: Option<Unmeasured>,
    /// The moment of the last reading, where it lies after that, or is warm only by what that showed.
    pub after_last: Option<Instant>,
    /// Whether it lies between two readings of a logger in the grain.
    pub in_grain: bool,
}

impl Piece {
    /// A piece about which the place says nothing.
    pub const fn read(from: Instant, to: Option<Instant>) -> Self {
        Self {
            from,
            to,
            known: Vec::new(),
            unmeasured: None,
            after_last: None,
            in_grain: false,
        }
    }
}

/// Cuts an interval in one stay where the air becomes something else. What was not measured is as stated.
///
/// A thermometer in the grain at `read` is newer than a last reading of its place before that.
pub(in crate::keeping) fn pieces(
    air: &[AirSpan],
    (from, to): (Instant, Option<Instant>),
    stated: Temperature,
    read: Option<Instant>,
) -> Vec<Piece> {
    let mut found = Vec::new();
    let mut at = from;
    let plain = |from, to| Piece {
        known: vec![stated],
        ..Piece::read(from, to)
    };
    let first = air.partition_point(|span| span.until <= from);
    for span in &air[first..] {
        if to.is_some_and(|to| span.from >= to) {
            break;
        }
        let is_newer = |last: Instant| read.is_some_and(|read| read > last);
        let last = match span.shown {
            Shown::Last { at, .. } if is_newer(at) => continue,
            Shown::Last { at, .. } => Some(at),
            Shown::Measured { rests_on, .. } => rests_on,
            Shown::Gap(_) => None,
        };
        let begins = span.from.max(at);
        if begins > at {
            found.push(plain(at, Some(begins)));
        }
        let ends = to.map_or(span.until, |to| span.until.min(to));
        found.push(Piece {
            from: begins,
            to: Some(ends),
            known: match span.shown {
                // The warmth it brought along is told by the thermometer since.
                Shown::Measured {
                    coldest,
                    measured,
                    rests_on: Some(last),
                    ..
                } if is_newer(last) => vec![coldest.colder(measured), measured],
                Shown::Measured {
                    coldest, warmest, ..
                } => vec![coldest, warmest],
                Shown::Last { shown, .. } => vec![shown, stated],
                Shown::Gap(_) => vec![stated],
            },
            unmeasured: match span.shown {
                Shown::Gap(_) => Some(Unmeasured::Gap),
                Shown::Measured { cut: true, .. } => Some(Unmeasured::Cut),
                Shown::Measured { .. } | Shown::Last { .. } => None,
            },
            after_last: last,
            in_grain: span.in_grain && matches!(span.shown, Shown::Measured { .. }),
        });
        at = ends;
    }
    if to.is_none_or(|to| at < to) {
        found.push(plain(at, to));
    }
    found
}
