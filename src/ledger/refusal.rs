//! What the book refuses, as facts. What can be done about it is the desk's affair, the words are the counter's.

use super::EntryKind;
use super::places::Closed;
use crate::dough::bake_code::BakeCode;
use crate::grain::{Form, Kind, LotCode};
use crate::quantity::{Instant, Milligrams, Problem};
use chrono::NaiveDate;
use std::path::PathBuf;

/// Why the book refuses an act or has no answer. Nothing was written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{self:?}")]
pub enum BookRefusal {
    /// There is no book at this path.
    NoBook(PathBuf),
    /// The file at this path is empty.
    EmptyFile(PathBuf),
    /// A copy was to be written to this folder, as if it were a file.
    BackupNamesAFolder(PathBuf),
    /// There is no such lot.
    NoLot {
        /// Why not.
        why: NoLot,
        /// Codes on hand that are nearest to what was typed.
        nearest: Vec<String>,
    },
    /// Several lots on hand have codes that end so.
    SeveralLots {
        /// What was typed.
        typed: String,
        /// The lots.
        lots: Vec<LotCode>,
    },
    /// A lot was struck from the book.
    LotStruck {
        /// The lot.
        lot: LotCode,
        /// The entry that struck it.
        by: i64,
    },
    /// A lot was not with us yet at that moment.
    BeforeArrival {
        /// The lot.
        lot: LotCode,
        /// How it came.
        how: Arrival,
        /// When it came.
        came: Instant,
        /// The moment.
        at: Instant,
        /// The entry that says what was at that moment, where one in the book does.
        entry: Option<i64>,
    },
    /// A lot is used up.
    NothingLeft(LotCode),
    /// More was taken than is left of a lot.
    MoreThanLeft {
        /// The lot.
        lot: LotCode,
        /// What is left of it.
        left: Milligrams,
        /// What was to be taken.
        wanted: Milligrams,
    },
    /// A lot cannot have been cold before it was mashed out.
    ColdBeforeMashOut {
        /// The lot.
        lot: LotCode,
        /// When it was mashed out.
        mash_out: Instant,
        /// The entry that says so, where it is not the one to be written.
        entry: Option<i64>,
    },
    /// A lot is in that place already.
    AlreadyThere {
        /// The lot.
        lot: LotCode,
        /// The place.
        place: String,
    },
    /// A lot was moved later already, and moves are known in order of time only.
    MovedLater {
        /// The lot.
        lot: LotCode,
        /// The entry that moved it.
        entry: i64,
    },
    /// A moment lies after now.
    AfterNow {
        /// The moment.
        at: Instant,
        /// Now.
        now: Instant,
    },
    /// A count found more than can be explained.
    FoundTooMuch {
        /// The lot.
        lot: LotCode,
        /// What is left of it in the book.
        left: Milligrams,
        /// What was found.
        found: Milligrams,
        /// How much more than came counts may find over a lot's life.
        most: Milligrams,
    },
    /// Grain of a lot was weighed after the moment of a count.
    WeighedLater {
        /// The lot.
        lot: LotCode,
        /// The entry that weighed it.
        entry: i64,
    },
    /// One lot alone cannot be joined.
    NothingToJoin,
    /// Lots of two forms are not joined.
    FormsDiffer((LotCode, Form), (LotCode, Form)),
    /// Mashed and steeped grain are not joined.
    KindsDiffer((LotCode, Kind), (LotCode, Kind)),
    /// Lots weigh together more than the book can hold.
    TooHeavy,
    /// There is no such place.
    NoPlace {
        /// What was typed.
        name: String,
        /// The places there are.
        known: Vec<String>,
    },
    /// There is such a place already.
    PlaceTaken(String),
    /// A place was stated anew after that moment.
    PlaceStatedLater(String),
    /// There is no such source.
    NoSource {
        /// What was typed.
        name: String,
        /// The sources there are.
        known: Vec<String>,
    },
    /// A name that is new is almost that of others.
    NearSource {
        /// What was typed.
        name: String,
        /// The names that are near.
        near: Vec<String>,
        /// The source that was to be called so, where it is not a new one.
        renamed: Option<String>,
    },
    /// A source that is said to be new, or is to be called otherwise, gets a name that another had.
    EarlierName {
        /// What was typed.
        name: String,
        /// How that other one is called by now.
        now: String,
        /// The source that was to be called so, where it is not a new one.
        renamed: Option<String>,
    },
    /// Another source is called so.
    SourceTaken {
        /// The source that was to have another name.
        name: String,
        /// That name, which another source has.
        taken: String,
    },
    /// Two sources are one already.
    SameSource {
        /// The name of the source that was to be merged.
        name: String,
        /// The name of the source that it was to be merged into.
        into: String,
    },
    /// A place takes no grain of a moment.
    PlaceClosed {
        /// The place.
        place: String,
        /// The moment.
        at: Instant,
        /// When it is closed: at the moment, or from a later one on until now.
        closed: Closed,
    },
    /// Lots lie in a place that was to be closed.
    LotsLieThere {
        /// The place.
        place: String,
        /// The lots.
        lots: Vec<LotCode>,
    },
    /// Lots lay in a place after a moment from which on it was to be closed.
    LotsLayThere {
        /// The place.
        place: String,
        /// The lots.
        lots: Vec<LotCode>,
        /// When the last of them was gone.
        empty_from: Instant,
    },
    /// There is no such formula.
    NoFormula {
        /// What was typed.
        name: String,
        /// The formulas there are.
        known: Vec<String>,
    },
    /// A formula has no such version.
    NoVersion {
        /// The formula.
        name: String,
        /// The version that was asked for.
        version: u32,
        /// The newest.
        newest: u32,
    },
    /// A formula is in the book already, to the letter.
    SameFormula {
        /// The formula.
        name: String,
        /// As this version.
        version: u32,
    },
    /// What was typed is no code of a bake.
    NotABake {
        /// Why not.
        problem: Problem,
        /// Bakes of the book whose codes are nearest to what was typed, the newest first.
        nearest: Vec<BakeCode>,
    },
    /// There is no such bake.
    NoBake(BakeCode),
    /// A bake is done or dropped already.
    BakeEnded {
        /// The bake.
        bake: BakeCode,
        /// The word for how it ended.
        how: &'static str,
        /// The entry that says that it is done, where it is.
        done: Option<i64>,
    },
    /// There is no entry of this number in the book.
    NoEntry(i64),
    /// The very act was done before under its id. It is in the book, and nothing is to be done.
    DoneBefore {
        /// The first entry that came of it; nothing where it wrote none.
        entry: Option<i64>,
    },
    /// Another act was done under this id.
    ActIdTaken {
        /// The first entry that came of that one.
        entry: Option<i64>,
    },
    /// There is no such device, or it was ended.
    NoDevice(i64),
    /// Entries of this kind are struck and written anew, not corrected.
    NotCorrected(i64, EntryKind),
    /// A mash-out is not of the brew day.
    NotTheBrewDay {
        /// The lot.
        lot: LotCode,
        /// The day of the mash-out.
        mashed_on: NaiveDate,
        /// The brew day.
        brewed_on: NaiveDate,
    },
    /// What an entry says cannot have happened after it was written.
    AfterItWasWritten {
        /// The entry.
        entry: i64,
        /// When it was written.
        written: Instant,
        /// The moment.
        at: Instant,
        /// Whether it would go there along with another entry, which is the one that is corrected.
        goes_along: bool,
    },
    /// A lot cannot have been mashed out after it was fetched.
    MashedOutAfterPickup {
        /// The lot.
        lot: LotCode,
        /// When it was mashed out.
        mash_out: Instant,
        /// When it was fetched.
        came: Instant,
    },
    /// An entry cannot be struck.
    NotStruck {
        /// The entry.
        entry: i64,
        /// Why not.
        why: NotStruck,
    },
    /// Without the struck entry more would have gone out of a lot than came in, by so much.
    WouldOverdraw {
        /// The lot.
        lot: LotCode,
        /// By how much.
        by: Milligrams,
    },
}

/// Why there is no lot.
#[derive(Debug, Clone, PartialEq)]
pub enum NoLot {
    /// It is the end of a code, and no lot on hand has one that ends so.
    NoSuchEnd(String),
    /// What was typed is no code.
    Malformed(Problem),
    /// The last character of what was typed does not fit the others.
    Mistyped(String),
    /// No lot has this code.
    Unknown(LotCode),
}

/// How a lot came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrival {
    /// It was collected.
    Collected,
    /// It was parted off another lot.
    PartedOff,
    /// It was made of other lots.
    Made,
}

/// Why an entry cannot be struck.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotStruck {
    /// It is struck already, by this entry.
    Already(i64),
    /// It is amended by this entry, which counts in its place.
    Amended(i64),
    /// It is grain of a bake that is struck with it and takes back what counts in its place.
    GrainWithBake {
        /// The bake.
        bake: BakeCode,
        /// The entry that counts in its place.
        by: i64,
        /// What is struck without it.
        strike: Vec<i64>,
    },
    /// It strikes the strike of this entry.
    StrikesAStrike(i64),
    /// It struck a part of what one act struck, of which this entry is the last.
    StruckWith(i64),
    /// What it says of a lot cannot be, since what the lot came by was struck, by this entry.
    LotIsVoid(LotCode, i64),
    /// Its samples were weighed on in this entry.
    WeighedOn(i64),
    /// It is all that says what a place is.
    OnlyStatementOfPlace,
    /// A lot came by it, and these entries rest on it.
    RestOnIt(Vec<i64>),
    /// It is grain of a bake that is done.
    GrainOfDoneBake {
        /// The bake.
        bake: BakeCode,
        /// The entry that says so.
        done: i64,
        /// All that is struck so that it is done no more, the newest first.
        strike: Vec<i64>,
    },
    /// It drew grain at another time together with its bake, which this entry says is done.
    MovedWithBake(i64),
    /// Grain that it drew at another time was corrected since, by these entries, the newest first.
    GrainCorrectedSince(Vec<i64>),
    /// It corrects what a bake came to, which was struck by this entry.
    BakeIsStruck(i64),
    /// It took back grain that was added to a bake, which was struck by this entry.
    GrainOfStruckBake(i64),
    /// It says what a bake was to be, and this entry rests on it.
    BakeEnded {
        /// The bake.
        bake: BakeCode,
        /// The entry that says how it ended.
        ended: i64,
    },
    /// It is all that says what a bake is to be.
    OnlyStatementOfBake(BakeCode),
}
