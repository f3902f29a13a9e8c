//! The verdict: good, use-first, past or unknown, with the limit that binds and its source.

use super::Layer;
use crate::quantity::Instant;
use crate::quantity::temperature::Limit;
use std::fmt;

/// Whether a lot may go into a dough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It may.
    Good,
    /// It may, before other lots.
    UseFirst,
    /// It may not: what would show it safe is missing.
    Unknown,
    /// It may not, and no entry changes that but a strike or a correction.
    Past,
}

impl Verdict {
    /// The word for it in commands and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::UseFirst => "use-first",
            Self::Unknown => "unknown",
            Self::Past => "past",
        }
    }

    /// Whether grain with this verdict may be used for a bake.
    pub const fn may_be_used(self) -> bool {
        matches!(self, Self::Good | Self::UseFirst)
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

/// The limit that decides, and the text it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Binding {
    /// The limit in words.
    pub limit: String,
    /// Where it comes from.
    pub source: String,
}

/// What to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Advice {
    /// Nobody knows when the mash was over.
    AskMashOut,
    /// Take the grain's temperature: it must be shown at or below a limit by a moment.
    TakeTemperature {
        /// What the thermometer must show at most.
        at_most: Limit,
        /// By when.
        by: Instant,
    },
    /// Too late for a thermometer: ask whether all of it was seen cold in time.
    AskWhenCooled {
        /// What counts as cold.
        at_most: Limit,
        /// By when it had to be.
        by: Instant,
        /// Where the grain may be hot still: what a reading now must show at least for its cooling to begin only now.
        still_hot: Option<Limit>,
        /// Whether somebody said so, and it does not count: no other word helps before that one or a reading is struck.
        is_refuted: bool,
    },
    /// It is known to have been cold later than it had to be: ask whether it was so before.
    AskWhetherColdBefore {
        /// From when on it is known.
        cold: Instant,
        /// What counts as cold.
        at_most: Limit,
        /// By when it had to be.
        by: Instant,
        /// Whether somebody said so who watched it: that is not asked again.
        is_said: bool,
    },
    /// Read in what the logger of its place measured since its last file, or in a gap of its files.
    ReadInLogger {
        /// What a thermometer in the grain must show at most, and by when, for it to keep for longer without a file.
        cold_by: Option<(Limit, Instant)>,
        /// Until when it may be used without either; nothing where it may not now.
        good_until: Option<Instant>,
    },
    /// Measure the water activity of dried grain.
    MeasureActivity {
        /// By when: what is not shown dry is past after that.
        by: Option<Instant>,
    },
    /// The stay is warm: back into the cold by this moment.
    BackIntoTheColdBy(Instant),
    /// Warm for long enough: bake with it now, no more going back into the cold.
    UseNow,
    /// No day is left after thawing: straight from the freezer into the dough.
    StraightFromTheFreezer,
    /// So many days are left from the day it is thawed.
    DaysAfterThawing(u32),
}

impl Advice {
    /// By when it has to be done, where it has a last moment.
    pub const fn by(&self) -> Option<Instant> {
        match self {
            Self::TakeTemperature { by, .. } | Self::BackIntoTheColdBy(by) => Some(*by),
            Self::MeasureActivity { by } => *by,
            Self::ReadInLogger {
                cold_by: Some((_, by)),
                ..
            } => Some(*by),
            _ => None,
        }
    }
}

/// How often grain was above the cold limit after cooling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WarmTimes {
    /// How many times.
    pub count: usize,
    /// When the first of them began.
    pub first: Instant,
    /// When the last of them began.
    pub last: Instant,
}

/// What the clock says about a lot at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// May it go into a dough.
    pub verdict: Verdict,
    /// The last moment at which it may, as things stand. Nothing for frozen and for shelf-stable dried
    /// grain, and where the verdict is unknown.
    pub keep_until: Option<Instant>,
    /// The last moment before it counts as unknown, where something was to be shown by then.
    pub unknown_after: Option<Instant>,
    /// The limit that decides.
    pub binding: Binding,
    /// Counted day of its life.
    pub day: Option<u32>,
    /// Minutes above the cold limit after cooling, so far.
    pub warm_minutes: i64,
    /// The times that come to that.
    pub warm_times: Option<WarmTimes>,
    /// Frozen at this moment.
    pub frozen: bool,
    /// When it came into the freezer in which it is frozen, the last of several lots.
    pub frozen_since: Option<Instant>,
    /// What to do about it.
    pub advice: Option<Advice>,
    /// Things worth knowing that do not decide.
    pub notes: Vec<String>,
    /// The last reading of its place, where time counts as the place is stated since.
    pub unmeasured_since: Option<Instant>,
    /// The layer that stood between measured air and the grain, where that made a difference.
    pub layer: Option<Layer>,
    /// Whether it still lies in that place.
    pub is_in_layer: bool,
}

impl Assessment {
    /// The last moment at which it may be used, or might be. Past grain that was unknown before has none.
    pub fn good_until(&self) -> Option<Instant> {
        self.keep_until.filter(|until| {
            let was_unknown = self.unknown_after.is_some_and(|after| after < *until);
            self.verdict != Verdict::Past || !was_unknown
        })
    }
}
