//! What can be done about a refusal.

use super::{BakeToCome, CorrectFirst, MadeAgain};
use crate::desk::Notice;
use crate::dough::bake_code::BakeCode;
use crate::grain::{LotCode, OpenSample};
use crate::keeping::Advice;
use crate::ledger::EntryKind;
use crate::quantity::{Instant, Milligrams, Scale};
use std::path::PathBuf;

/// A field of a request that has to be filled in before the request makes sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MissingField {
    /// How many pieces a bake makes.
    Pieces,
    /// What a piece weighs.
    Piece,
    /// When mashing was over.
    MashOut,
    /// The place that grain lies in since the act.
    Place,
    /// The place that lots are put together in.
    To,
    /// How many minutes a treatment took.
    Minutes,
    /// How warm it was in a treatment.
    Temperature,
    /// How grain that is thrown away ends.
    Ending,
}

/// A late move of a lot that may have been out only for a while, which is booked as one with its return.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutForAWhile {
    /// The entry of the move.
    pub entry: i64,
    /// The lot.
    pub lot: LotCode,
    /// Where it was meanwhile.
    pub to: String,
    /// When it left.
    pub at: Instant,
    /// When it was back, where that is known.
    pub until: Option<Instant>,
}

/// What a person can do about a refusal; a counter makes a command of it, or a link.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Know the rule that binds.
    Rule(String),
    /// Weigh again, state what was lost, or test the grain.
    WeighAgain,
    /// Book the reading that shows the grain cold.
    BookTheReading,
    /// Follow the advice of the keeping clock.
    Follow {
        /// The lot that it is about.
        lot: LotCode,
        /// The advice.
        advice: Advice,
        /// When it was given.
        as_of: Instant,
    },
    /// Throw the grain away.
    Discard(LotCode),
    /// Say when grain of this lot left, or where it went, though it may not be used.
    BookWhatLeft(LotCode),
    /// Say who has grain of this lot that left though it may not be used.
    SayWhoHasIt(LotCode),
    /// Throw the grain away, and then do what was refused for its sake.
    DiscardFirst(LotCode),
    /// Bake earlier, or with another lot.
    BakeEarlier {
        /// The bake that was to be planned.
        bake: BakeToCome,
        /// Until when the lot may be used, or might be.
        good_until: Option<Instant>,
    },
    /// Bake nothing with it in the hope that heat helps.
    NoRescueByBaking,
    /// Strike the wrong entry of a lot, with the reason.
    StrikeEntryOf(LotCode),
    /// Strike this move, and book it as one with its return.
    BookAsOutForAWhile(OutForAWhile),
    /// Fill in a field of the request.
    FillIn(MissingField),
    /// Say how long the treatment took and how warm it was, or book the way out of the freezer first.
    TimeTheTreatment,
    /// See where the grain of a lot went.
    TraceIt(LotCode),
    /// Count a lot of which more is there than the book says.
    CountIt(LotCode),
    /// Test the moisture of a lot.
    TestMoisture(LotCode),
    /// Weigh samples of a lot on that are drying.
    WeighOn(LotCode, Vec<OpenSample>),
    /// Say that it is another dish than those before.
    SayNewDish,
    /// Strike an entry, and write its weights down as those of a sample that another one has.
    StrikeAndWeighOn {
        /// The entry.
        entry: i64,
        /// The lot.
        lot: LotCode,
        /// The sample.
        dish: OpenSample,
    },
    /// Book the grain in anew where the brew day itself is wrong.
    BrewDayInCode,
    /// Correct the place that an entry names.
    CorrectPlace(i64),
    /// Correct the time of another entry first.
    CorrectTimeFirst(i64),
    /// Say when it was.
    SayWhen,
    /// Name each lot once.
    NameOnce,
    /// Name one lot, or fix another amount.
    OneLotOrAnotherAmount,
    /// Look at a bake.
    ShowBake(BakeCode),
    /// Plan a bake.
    AddABake,
    /// Look at what grain was used for.
    ListUsage(String),
    /// Plan drying or pressing.
    PlanDryingOrPressing,
    /// Dry at a usual temperature.
    DryWarm,
    /// Look further ahead.
    LookFurtherAhead {
        /// Whether bakes come later.
        for_bakes: bool,
    },
    /// Say what became of a bake that should have been mixed.
    SayWhatBecameOf(BakeCode),
    /// Plan a bake, in the first place.
    PlanABake,
    /// Book grain in, or ask how much to take.
    BookGrainIn,
    /// Ask of each lot why it may not be used.
    AskTheShelf,
    /// Ask for the plan again.
    AskForThePlanAgain,
    /// Make a book, by the first act or with a name and time zone.
    MakeABook,
    /// Name another file.
    NameAnotherBook,
    /// Make a book in that file.
    MakeABookThere,
    /// Keep dated copies in this folder.
    DatedCopiesIn(PathBuf),
    /// List the lots on hand.
    ListLots,
    /// Take one of the nearest codes on hand.
    NearestLots(Vec<String>),
    /// Take one of the nearest codes of bakes.
    NearestBakes(Vec<BakeCode>),
    /// Type more of the code of one of these lots.
    TypeMoreOf(Vec<LotCode>),
    /// Read what was written about a lot or bake.
    ReadLog(String),
    /// Strike an entry about a lot or bake, if it is wrong.
    StrikeIfWrong {
        /// The lot or bake.
        about: String,
        /// The entry, where one alone is in the way.
        entry: Option<i64>,
    },
    /// Set the clock right.
    CheckTheClock,
    /// Strike the entry of this lot that took too much.
    StrikeWhatTookTooMuch(LotCode),
    /// Put another entry of this lot right first, if one is wrong.
    PutAnotherRightFirst(LotCode),
    /// Count once more.
    CountAgain,
    /// Name two lots or more.
    NameMoreLots,
    /// Treat one of the lots first.
    TreatOneFirst,
    /// Add a place of this name.
    AddPlace(String),
    /// List the places.
    ListPlaces,
    /// Change what a place is stated to be.
    ChangePlace(String),
    /// Give a later moment, or strike the later statement.
    StateLaterOrStrike,
    /// State a place anew.
    StatePlaceAnew,
    /// Add a formula.
    AddFormula,
    /// Take one of the formulas of the book.
    KnownFormulas(Vec<String>),
    /// List the bakes.
    ListBakes,
    /// List the entries.
    ListEntries,
    /// Strike or correct this entry instead.
    TakeInstead(i64),
    /// Give the act an id that no other had.
    GiveAnotherActId,
    /// List the devices.
    ListDevices,
    /// Strike this entry and write anew what is right.
    StrikeAndEnterAgain(i64, EntryKind),
    /// Strike this entry, which made a lot, and do that again as it is right.
    MakeAgain(i64, Box<MadeAgain>),
    /// Count the lots that hold the grain of another by now.
    CountHolders(Vec<LotCode>),
    /// Correct what took too much of a lot, then do what was asked for.
    CorrectFirst(CorrectFirst),
    /// Correct the time of the pickup too.
    CorrectPickupTime,
    /// Name the source as the book calls it.
    NameOldSource(Vec<String>),
    /// Say that it is a new source.
    SayNewSource(String),
    /// Give a new source a name that none ever had.
    GiveNewName,
    /// Call a source otherwise, though another one is called almost so, or was called so.
    RenameToNear {
        /// The source.
        source: String,
        /// How it is to be called.
        name: String,
    },
    /// Say that a source is one with another.
    MergeSources {
        /// The source.
        name: String,
        /// The other one.
        into: String,
    },
    /// Open a closed place by stating it anew.
    OpenPlace(String),
    /// Open a place that was closed since, write down what lay there and where it went, and close it again.
    OpenPlaceFirst(String),
    /// Close a place from this moment on.
    CloseLater(String, Instant),
    /// Read a logger's file in by its own scale and column, and not by this scale.
    ReadAsMeasured(Scale),
    /// State a place as a freezer.
    StateAsFreezer(String),
    /// Move the lots that lie there first.
    MoveThemFirst,
    /// Throw the grain away as something else than feed.
    NotAsFeed(LotCode),
    /// Name what is to be corrected.
    SayWhatIsRight,
    /// Strike these entries in one act, the newest first.
    StrikeAll(Vec<i64>),
    /// Strike what says that a bake is done, then write it down again.
    StrikeDoneBake {
        /// The bake.
        bake: BakeCode,
        /// The entries, the newest first.
        strike: Vec<i64>,
    },
    /// Correct in this entry what a bake came to.
    CorrectDoneBake(i64),
    /// Correct the same in these entries instead, which hold it.
    CorrectInstead {
        /// The entries.
        entries: Vec<i64>,
        /// The field of the request.
        field: &'static str,
    },
    /// Write only what is so from this moment on.
    SayFromThenOn(Instant),
    /// Strike this entry first.
    StrikeFirst(i64),
    /// Strike these entries first, the newest first, or in one act with what was asked for.
    StrikeBefore {
        /// The entries.
        first: Vec<i64>,
        /// The one that was asked for.
        then: i64,
    },
    /// Change a bake, or drop it.
    ChangeOrDropBake(BakeCode),
    /// Know this too.
    Know(Notice),
    /// Write down what a bake came to, with this grain.
    FinishBake(BakeCode, Vec<(LotCode, Milligrams)>),
    /// Strike this entry and add its grain to a bake.
    StrikeAndUse(i64, BakeCode),
    /// Say of which lots how much went in, such as these.
    SayWhatWentIn(Vec<(LotCode, Milligrams)>),
    /// Treat without putting it to this lot, which is done once that may be.
    TreatAlone(LotCode),
}

/// What can be done where a late entry of a lot would make it usable that brings it back from where it was, or does not.
pub(super) fn of_late_return(lot: LotCode, out: Option<&OutForAWhile>) -> Vec<Remedy> {
    let as_one = out.cloned().map(Remedy::BookAsOutForAWhile);
    let strike = Remedy::StrikeEntryOf(lot);
    as_one.into_iter().chain([strike]).collect()
}

/// What can be done where an entry does not hold what is to be corrected in it.
pub(super) fn of_field(entry: i64, kind: EntryKind, field: &str) -> Remedy {
    match (kind, field) {
        (EntryKind::Pickup, "temp") => Remedy::BookTheReading,
        // What was parted off or joined weighs the same before and after.
        (EntryKind::Part | EntryKind::Join, "wet_out") => Remedy::CorrectInstead {
            entries: vec![entry],
            field: "wet",
        },
        _ => Remedy::StrikeAndEnterAgain(entry, kind),
    }
}
