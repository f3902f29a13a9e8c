//! What happened to a lot, as far as its keeping is concerned.

use super::{Layer, PlaceKind, Shown};
use crate::grain::LotCode;
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Temperature, WaterActivity, WetBasis};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// The keeping history of one lot.
///
/// Events need not be sorted. Before the first [`What::Placed`] the lot is with its source, where
/// nothing is known of the temperature but what readings and words tell.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// When the mash was over and the grain began to cool; unknown means no date can be given.
    pub mash_out: Option<Instant>,
    /// Whether the lot arrived already dried.
    pub arrived_dried: bool,
    /// What is known to have happened.
    pub events: Vec<Event>,
}

/// One thing that happened to a lot.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// When.
    pub at: Instant,
    /// What.
    pub what: What,
}

/// Kinds of events the clock knows.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// The lot goes into a place of this kind and stated temperature.
    Placed {
        /// Kind of the place.
        kind: PlaceKind,
        /// Temperature the place is stated to hold.
        stated: Temperature,
    },
    /// The grain goes on in the place that it was in, as a part, a treated or a joined lot: what was weighed out is put back.
    PutBack {
        /// Kind of the place.
        kind: PlaceKind,
        /// Temperature the place is stated to hold.
        stated: Temperature,
    },
    /// The place that the lot is in is stated anew.
    Restated {
        /// Kind of the place.
        kind: PlaceKind,
        /// Temperature the place is stated to hold.
        stated: Temperature,
    },
    /// A logger measured the place of the lot, from here until a moment.
    Air {
        /// When that was over.
        until: Instant,
        /// What it showed.
        shown: Shown,
        /// The layer that stands between the air and the grain; nothing where the readings count as measured.
        layer: Option<Layer>,
        /// Whether its probe stood in the grain: then its readings are readings of the grain.
        in_grain: bool,
        /// When the grain left the place, if it did.
        leaves: Option<Instant>,
    },
    /// The grain itself was measured.
    Read(Temperature),
    /// A logger in the grain read it above the cold limit, or for the first time after such a reading not above it. It speaks
    /// against a word and for the failure of a cooling; what it costs as warm time stands in [`What::Air`].
    Logged(Temperature),
    /// Somebody's word that all of it was at or below the cold limit from here on.
    Cooled,
    /// Its water activity was measured.
    Activity(WaterActivity),
    /// It was dried: from here on measurements may show it dry.
    Dried,
    /// Dried grain got water: from here on it is as perishable as on its first day.
    Wetted,
    /// It got water, and nobody measured how warm it was then: no hot-hold speaks for the time across it.
    Watered,
    /// It was worked on until a moment, at this temperature: no reading makes that time colder or hot.
    Handled {
        /// When that was over.
        until: Instant,
        /// How warm it was there.
        stated: Temperature,
    },
    /// Its moisture was measured; only dried grain is judged by it, and only as an indicator.
    Moisture(WetBasis),
    /// Mould, a sour smell or gas was found.
    Spoiled(String),
    /// A part of this lot was thrown away for a reason that names spoilage. It warns, and the clock does not ask for it.
    PartSpoiled(LotCode),
    /// This lot was found spoiled, or a part of it was thrown away for such a reason, after the grain had left it. It warns too.
    SpoiledAfter(LotCode),
}

/// A stretch of time in one place that states one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stay {
    /// When it began.
    pub from: Instant,
    /// When the lot came into the place or was put back there; the place may have been stated anew since.
    pub entered: Instant,
    /// When its grain came into the place from elsewhere, under whichever code.
    pub lies_since: Instant,
    /// Whether the grain was in the place before it began.
    pub goes_on: bool,
    /// When the next one began, if any.
    pub to: Option<Instant>,
    /// Kind of the place.
    pub kind: PlaceKind,
    /// Temperature the place states.
    pub stated: Temperature,
}

impl History {
    /// The same history with one thing more. What was around the lot does not go with it when it moves.
    #[must_use]
    pub fn then(&self, at: Instant, what: What) -> Self {
        let mut history = self.clone();
        if matches!(what, What::Placed { .. }) {
            history.events.retain_mut(|event| match &mut event.what {
                What::Air { until, leaves, .. } => {
                    *until = (*until).min(at);
                    *leaves = Some(leaves.map_or(at, |leaves| leaves.min(at)));
                    event.at < at
                }
                What::Logged(_) => event.at < at,
                _ => true,
            });
        }
        history.events.push(Event { at, what });
        history
    }

    /// When it came out of the hands of its source.
    pub fn here_since(&self) -> Option<Instant> {
        let placed = |event: &&Event| matches!(event.what, What::Placed { .. });
        let placed = self.events.iter().filter(placed);
        placed.map(|event| event.at).min()
    }

    /// Whether it lay in a freezer at a moment, by the places that it was put into.
    pub fn is_in_freezer(&self, at: Instant) -> bool {
        let stays = self.stays();
        let stay = stays.iter().rfind(|stay| stay.from <= at);
        stay.is_some_and(|stay| stay.kind == PlaceKind::Freezer)
    }

    /// When it came into a freezer, or the place that it lay in became one.
    pub fn frozen_at(&self) -> impl Iterator<Item = Instant> {
        let stays = self.stays().into_iter();
        let frozen = stays.filter(|stay| stay.kind == PlaceKind::Freezer);
        frozen.map(|stay| stay.from)
    }

    /// The history up to `end`, without what happened later.
    pub(super) fn until(&self, end: Option<Instant>) -> Cow<'_, Self> {
        let Some(end) = end else {
            return Cow::Borrowed(self);
        };
        let mut history = self.clone();
        history.events.retain(|event| event.at < end);
        Cow::Owned(history)
    }

    /// The history as it was known before each reading from `start` on that shows more than `cold`, and before each time that
    /// its place was stated anew to be warmer than that. Each with whether such statements alone are left out of it.
    pub(super) fn before_warm(&self, start: Instant, cold: Limit) -> Vec<(Self, bool)> {
        let is_read = |event: &Event| match event.what {
            What::Read(reading) => event.at >= start && !cold.at_or_below(reading),
            _ => false,
        };
        let is_statement = |event: &Event| match event.what {
            What::Restated { stated, .. } => !cold.at_or_below(stated),
            _ => false,
        };
        let before_readings = |history: &Self| {
            history
                .before_each(is_read)
                .into_iter()
                .map(|before| (before, false))
        };
        let mut found: Vec<(Self, bool)> = before_readings(self).collect();
        for before in self.before_each(is_statement) {
            found.extend(before_readings(&before));
            found.push((before, true));
        }
        found
    }

    /// The history without such events from each of them on, in time order.
    fn before_each(&self, is_such: impl Fn(&Event) -> bool) -> Vec<Self> {
        let such = self.events.iter().filter(|event| is_such(event));
        let moments: BTreeSet<Instant> = such.map(|event| event.at).collect();
        let before = |moment: Instant| {
            let mut history = self.clone();
            history
                .events
                .retain(|event| event.at < moment || !is_such(event));
            history
        };
        moments.into_iter().map(before).collect()
    }

    /// Stays in the order in which they begin; of two at one moment the later entry stands.
    pub(super) fn stays(&self) -> Vec<Stay> {
        let mut stays: Vec<Stay> = self
            .events
            .iter()
            .filter_map(|event| match event.what {
                What::Placed { kind, stated }
                | What::PutBack { kind, stated }
                | What::Restated { kind, stated } => Some(Stay {
                    from: event.at,
                    entered: event.at,
                    lies_since: event.at,
                    goes_on: !matches!(event.what, What::Placed { .. }),
                    to: None,
                    kind,
                    stated,
                }),
                _ => None,
            })
            .collect();
        stays.sort_by_key(|stay| stay.from);
        let moments = |is_one: fn(&What) -> bool| {
            let events = self.events.iter().filter(|event| is_one(&event.what));
            let mut moments: Vec<Instant> = events.map(|event| event.at).collect();
            moments.sort_unstable();
            moments
        };
        let last_of = |moments: &[Instant], by: Instant| {
            let until = moments.partition_point(|at| *at <= by);
            moments[..until].last().map_or(by, |last| *last)
        };
        let entered = moments(|what| matches!(what, What::Placed { .. } | What::PutBack { .. }));
        let placed = moments(|what| matches!(what, What::Placed { .. }));
        for stay in &mut stays {
            stay.entered = last_of(&entered, stay.from);
            stay.lies_since = last_of(&placed, stay.from);
        }
        let begins: Vec<Instant> = stays.iter().skip(1).map(|stay| stay.from).collect();
        for (stay, next) in stays.iter_mut().zip(begins) {
            stay.to = Some(next);
        }
        stays
    }
}
