//! Why promised grain does not go in, why nothing is learned; what was taken for a bake already, what a count says of
//! an entry that comes late or of an earlier count, what an older sheet said, what goes along with a brew day, and grain that is
//! on hand again.

use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::ledger::{BakeResult, Drawn, EntryKind, Measured};
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::promise::OutBefore;

/// Why promised grain does not go into the dough that it was promised to.
#[derive(Debug, Clone, PartialEq)]
pub enum Hindrance {
    /// The bake names other lots.
    OtherLotsNamed,
    /// Some of a lot is not there any more.
    Gone {
        /// The lot.
        lot: LotCode,
        /// How much.
        missing: Milligrams,
    },
    /// It is of more lots than the bake is to be made of.
    TooManyLots,
    /// A lot may not be used when it would go in.
    Unusable {
        /// The lot.
        lot: LotCode,
        /// What it is then.
        verdict: Verdict,
        /// The limit that binds, in words.
        limit: String,
    },
    /// A frozen block comes out for an earlier bake and is past when it would go in.
    OutBefore(LotCode, OutBefore),
    /// A lot does not suit the bake.
    DoesNotSuit(LotCode),
    /// It holds more dry grain than the bake takes.
    TooMuch {
        /// How much it holds.
        dry: Milligrams,
        /// How much the bake takes.
        most: Milligrams,
    },
}

/// What is known of time that a warm reading makes warm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WarmTime {
    /// The place of the grain was logged.
    Logged,
    /// Nobody measured that either.
    NotMeasured,
    /// Nor that, and the lot is past: only a strike of this entry, the reading, changes it.
    Past(i64),
}

/// Why nothing is learned of the mixing heat.
#[derive(Debug, Clone, PartialEq)]
pub enum NotLearned {
    /// These temperatures are not known, by their fields.
    TemperaturesUnknown(Vec<&'static str>),
    /// No water temperature could be said for the dough, and none was given.
    WaterUnknown,
    /// No mixer explains what was measured.
    Unexplained(Problem),
}

/// Grain that was taken by an entry of its own for a bake, or for bread of its formula about the time at which it was mixed;
/// or by the bake, where such an entry comes after it.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenBefore {
    /// The bake.
    pub bake: BakeCode,
    /// What was taken.
    pub draws: Vec<Drawn>,
}

/// Grain that a bake took in place of lots that it names or was promised.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherGrain {
    /// The bake.
    pub bake: BakeCode,
    /// Whether the accepted plan promised what it was to take; else it names those lots.
    pub is_promised: bool,
    /// The lots that it was to take and did not, and how much of each.
    pub meant: Vec<(LotCode, Milligrams)>,
    /// The lots that it took instead, each with the entry that says so.
    pub booked: Vec<(LotCode, i64)>,
}

/// What a sheet of a done bake said that was printed before the book changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OtherSheet {
    /// What changed.
    pub change: SheetChange,
    /// When that was written.
    pub at: Instant,
    /// What it said to pour first and to hold back; nothing where that is not known any more.
    pub before: Option<(Milligrams, Milligrams)>,
    /// The entry by which the bake is done.
    pub entry: i64,
}

/// What changed that a sheet rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetChange {
    /// The moisture of a lot.
    Moisture(LotCode),
    /// How much is left of a lot.
    Weight(LotCode),
    /// What the bake is to be, or by which version of its formula.
    Bake(BakeCode),
}

/// A bake as it was written down until it was struck.
#[derive(Debug, Clone, PartialEq)]
pub struct BakeWrittenDown {
    /// Its code.
    pub bake: BakeCode,
    /// When the dough was mixed.
    pub at: Instant,
    /// Grain in it, each lot once.
    pub used: Vec<(LotCode, Milligrams)>,
    /// What was measured.
    pub measured: Measured,
    /// What its sheet said to pour first and to hold back, where the book does not know the rest of that sheet.
    pub said: Option<(Milligrams, Milligrams)>,
    /// A note.
    pub note: Option<String>,
}

impl BakeWrittenDown {
    /// From what a bake came to.
    pub(in crate::desk) fn of(bake: BakeCode, result: &BakeResult) -> Self {
        let mut used: Vec<(LotCode, Milligrams)> = Vec::new();
        for (lot, wet) in &result.draws {
            match used.iter_mut().find(|(code, _)| *code == lot.code) {
                Some((_, sum)) => *sum = Milligrams::new(sum.get() + wet.get()),
                None => used.push((lot.code, *wet)),
            }
        }
        Self {
            bake,
            at: result.at,
            used,
            measured: result.measured,
            said: result
                .sheet_grain
                .is_empty()
                .then_some((result.measured.said_pour, result.measured.said_hold)),
            note: result.note.clone(),
        }
    }
}

/// A count of a lot after the moment of an entry that it did not know of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CountedSince {
    /// The entry of the count.
    pub entry: i64,
    /// When.
    pub at: Instant,
    /// What it found.
    pub found: Milligrams,
    /// By how much that is less than what the book says by now of that time; negative where it is more.
    pub less: Milligrams,
    /// Whether it is more by what scales do not explain: then no correction of the count is taken.
    pub is_too_much: bool,
}

/// What went to the same time of another brew day with it, though nobody said so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WentAlong {
    /// The entry that says it by now.
    pub entry: i64,
    /// Whether that is a word that the grain was cold; else it is the mash-out.
    pub is_word: bool,
    /// When it was.
    pub was: Instant,
    /// When it is.
    pub is: Instant,
}

/// A count after one that was corrected: it measured what was there, so only its difference to the book changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LaterCount {
    /// The entry that counts by now.
    pub entry: i64,
    /// When it was counted.
    pub at: Instant,
    /// What was found.
    pub found: Milligrams,
    /// By how much that was less than the book said; negative where it was more.
    pub was: Milligrams,
    /// The same by now.
    pub is: Milligrams,
}

/// Some of a lot is on hand again, all of which had gone into others or which may not be used.
#[derive(Debug, Clone, PartialEq)]
pub struct OnHandAgain {
    /// The lot.
    pub lot: LotCode,
    /// How much of it is on hand.
    pub left: Milligrams,
    /// How much of that by this act.
    pub more: Milligrams,
    /// What the lot is.
    pub verdict: Verdict,
    /// What kind of entry took all of it into others; nothing where none did.
    pub by: Option<EntryKind>,
    /// What to correct where this went in too; nothing where either may not be used, or where that was corrected just now.
    pub too: Option<WentInToo>,
}

/// An entry that took more of a lot than it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WentInToo {
    /// The entry.
    pub entry: i64,
    /// The lot that it made.
    pub product: LotCode,
    /// How much went in, in all.
    pub wet: Milligrams,
}
