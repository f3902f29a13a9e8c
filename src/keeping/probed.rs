//! A cold thermometer in grain whose place a logger measures: what it settles, and what a file makes of it later. And a word
//! that grain was cold where its place was not.

use super::{History, Layer, RuleSet, Shown, What};
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Temperature};
use chrono::Duration;

/// A cold reading of grain that was warm at the last reading of its place: the next file tells of the same time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AwaitsFile {
    /// The last reading of its place.
    pub last: Instant,
    /// What that showed of the grain.
    pub shown: Temperature,
    /// When the grain was measured.
    pub read: Instant,
    /// What counts as cold.
    pub cold: Limit,
    /// Measured cold again by then, in the same place, the time between the two is settled.
    pub again_by: Instant,
}

/// A cold reading of grain at a moment at which the layer that stands for it counts as warm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overruled {
    /// When the grain was measured, and what it showed.
    pub read: (Instant, Temperature),
    /// The stretch of measured air around that moment.
    pub stretch: (Instant, Instant),
    /// The warmest point of the layer in it.
    pub warmest: Temperature,
    /// The warmest reading of the air in it.
    pub air: Temperature,
    /// The layer.
    pub layer: Layer,
    /// What counts as cold.
    pub cold: Limit,
    /// How far apart two readings may be that settle the time between them.
    pub longest_gap: Duration,
    /// Until when a second one does, where the grain lies as it did then.
    pub again_by: Option<Instant>,
}

/// A word that grain was cold, where a logger measured its place above the cold limit around that moment and nothing else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WordInWarmth {
    /// From when on it is said to have been cold.
    pub said: Instant,
    /// The coldest that was measured around that moment.
    pub coldest: Temperature,
    /// What counts as cold.
    pub cold: Limit,
}

/// So long before and after a word its place is looked at: judgement.
const AROUND_WORD: Duration = Duration::minutes(30);

impl History {
    /// The last word from one moment to another that the measured warmth of its place speaks against.
    pub fn word_in_warmth(
        &self,
        (from, to): (Instant, Instant),
        rules: &RuleSet,
    ) -> Option<WordInWarmth> {
        let air = self.air();
        let cold = rules.cold.limit;
        self.events
            .iter()
            .filter(|event| event.what == What::Cooled && from <= event.at && event.at <= to)
            .filter_map(|event| {
                let said = event.at;
                let around = air.iter().filter(|span| {
                    span.from <= said + AROUND_WORD && span.until >= said - AROUND_WORD
                });
                let coldest = around
                    .filter_map(|span| match span.shown {
                        Shown::Measured { coldest, .. } => Some(coldest),
                        Shown::Last { .. } | Shown::Gap(_) => None,
                    })
                    .reduce(Temperature::colder)
                    .filter(|coldest| !cold.at_or_below(*coldest))?;
                Some(WordInWarmth {
                    said,
                    coldest,
                    cold,
                })
            })
            .max_by_key(|found| found.said)
    }

    /// Whether a cold reading at a moment waits for a file that may overrule it.
    pub fn awaits_file(&self, read: Instant, rules: &RuleSet) -> Option<AwaitsFile> {
        let cold = rules.cold.limit;
        self.events.iter().find_map(|event| match event.what {
            What::Air {
                until,
                shown: Shown::Last {
                    at: last, shown, ..
                },
                in_grain: false,
                ..
            } if event.at <= read && last < read && read <= until && !cold.at_or_below(shown) => {
                Some(AwaitsFile {
                    last,
                    shown,
                    read,
                    cold,
                    again_by: read + rules.longest_gap,
                })
            }
            _ => None,
        })
    }

    /// The last cold reading of the grain from one moment to another that measured air overrules. One that another reading
    /// follows soon enough is not overruled: the two speak for the time between.
    pub fn overruled(&self, (from, to): (Instant, Instant), rules: &RuleSet) -> Option<Overruled> {
        let cold = rules.cold.limit;
        let reads = self.events.iter().filter_map(|event| match event.what {
            What::Read(temperature) => Some((event.at, temperature)),
            _ => None,
        });
        // The time between two readings is cut where the grain is moved, put back, worked on or its place stated anew.
        let is_cut = |after: Instant, before: Instant| {
            self.events.iter().any(|event| {
                let cuts = matches!(
                    event.what,
                    What::Placed { .. }
                        | What::PutBack { .. }
                        | What::Restated { .. }
                        | What::Handled { .. }
                );
                cuts && after < event.at && event.at < before
            })
        };
        let is_followed = |at: Instant| {
            reads.clone().any(|(other, _)| {
                at < other && other - at <= rules.longest_gap && !is_cut(at, other)
            })
        };
        reads
            .clone()
            .filter(|(at, temperature)| {
                from <= *at && *at <= to && cold.at_or_below(*temperature) && !is_followed(*at)
            })
            .filter_map(|read| {
                let at = read.0;
                self.events.iter().find_map(|event| match event.what {
                    What::Air {
                        until,
                        shown:
                            Shown::Measured {
                                warmest, measured, ..
                            },
                        layer: Some(layer),
                        ..
                    } if event.at <= at && at < until && !cold.at_or_below(warmest) => {
                        Some(Overruled {
                            read,
                            stretch: (event.at, until),
                            warmest,
                            air: measured,
                            layer,
                            cold,
                            longest_gap: rules.longest_gap,
                            again_by: (!is_cut(at, Instant::MAX_UTC))
                                .then(|| at + rules.longest_gap),
                        })
                    }
                    _ => None,
                })
            })
            .max_by_key(|found| found.read.0)
    }
}
