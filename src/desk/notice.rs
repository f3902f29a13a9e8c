//! What has to be told beside an answer: facts only, worded by the counter.

use super::{JudgedDraw, OutForAWhile, acts::FarFromSheet};
use crate::dough::bake_code::BakeCode;
use crate::grain::{Ending, Form, LotCode, Step, Treatment};
use crate::keeping::{AwaitsFile, Overruled, PlaceKind, SpoiledPart, Verdict, WordInWarmth};
use crate::ledger::NotFree;
use crate::quantity::{Instant, Milligrams, Scale, Temperature, temperature::Limit};
use crate::report::promise::LostGrain;
use uom::si::f64::{Mass, Power};

mod moisture;
mod warns;
mod why;

pub use moisture::{OddMoisture, SourceDrift, Treated};
pub use why::{
    BakeWrittenDown, CountedSince, Hindrance, LaterCount, NotLearned, OnHandAgain, OtherGrain,
    OtherSheet, SheetChange, TakenBefore, WarmTime, WentAlong, WentInToo,
};

/// Something to be told beside an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Notice {
    /// Grain was drawn from a lot.
    Used {
        /// How much.
        wet: Milligrams,
        /// For what.
        bake: String,
        /// When.
        at: Instant,
        /// What the lot was at that moment.
        verdict: Verdict,
    },
    /// All of this lot is thrown away by this entry, as another was by the one that it corrects: so much.
    AllOfOtherLot(LotCode, Milligrams, i64),
    /// Grain was given to somebody as food.
    Given {
        /// How much.
        wet: Milligrams,
        /// To whom.
        to: String,
        /// When.
        at: Instant,
        /// What the lot was at that moment.
        verdict: Verdict,
    },
    /// Grain was thrown away: how much, as what, why and when.
    Discarded(Milligrams, Option<Ending>, String, Instant),
    /// Grain was used or given away when it was past or unknown, as the book did not know then.
    UsedWhenUnusable(JudgedDraw),
    /// Grain was past or unknown when it was used or given away, and counts so no more: bread of it loses its mark.
    Unmarked(JudgedDraw),
    /// A lot was past or unknown and is judged better by what was written, though past grain may only be unknown by it.
    JudgedBetter {
        /// The lot, what it was and what it is.
        lot: LotCode,
        was: Verdict,
        is: Verdict,
    },
    /// Lots could not be used as of the newest entry, which does not count any more, and are judged better by the clock.
    BetterByClock {
        /// The lots, what they were and what they are.
        lots: Vec<LotCode>,
        was: Verdict,
        is: Verdict,
        /// That entry, and when it was written by its clock.
        newest: (i64, Instant),
        /// The entry that took it out of the book.
        by: i64,
    },
    /// Lots that may be used and of which a ticket, if there is one, is not true any more, as where they keep until another moment.
    TicketsUntrue(Vec<LotCode>),
    /// Grain may be taken off twice for a bake.
    TakenBefore(TakenBefore),
    /// Grain was added to this bake, which is done.
    AddedToBake(BakeCode),
    /// A bake that is done took its grain, and these entries may take it again.
    TakenByBake(TakenBefore, Vec<i64>),
    /// This entry, struck, undoes what was done.
    UndoneBy(i64),
    /// A bake was struck that had been written down so.
    BakeStruck(Box<BakeWrittenDown>),
    /// A warm reading makes time warm in which nobody measured a lot: since when, minutes, and what is known beside it.
    WarmSince(LotCode, Instant, i64, WarmTime),
    /// A bake is to be free of something, and lots of it hold that, or may, by what is known now; whether it was baked with them.
    NotFreeOf(BakeCode, NotFree, bool),
    /// A bake was marked as holding, by these lots, what it is to be free of, and is not any more.
    NotMarkedAnyMore(BakeCode, NotFree),
    /// A bake was to be free of something, and by a change it is to be free of something else alone.
    NoLongerFreeOf(BakeCode, String, String),
    /// A source of this name is called almost like others.
    CalledAlmostLike(String, Vec<String>),
    /// Rows of a file name a source as it was called once, and how it is called by now.
    CalledOtherwiseNow(String, String),
    /// The same was written down before: within minutes, or of a pickup at any time.
    WrittenTwice {
        /// The entries that were written now.
        entries: Vec<i64>,
        /// The earlier one.
        earlier: i64,
    },
    /// A test, the second entry, has a sample of the same pan and wet weight as an earlier one of the lot, and both count.
    SameSample(i64, i64),
    /// The same of this lot, as the same dish that was dried on: the second entry takes the place of the first.
    DriedOn(LotCode, i64, i64),
    /// A temperature was booked, as it was understood.
    Measured {
        /// What.
        temperature: Temperature,
        /// When.
        at: Instant,
    },
    /// Grain is said to be so cold so soon after mash-out that no tub cools that fast.
    CooledFast {
        /// What was measured.
        temperature: Temperature,
        /// How many minutes after mash-out.
        minutes: i64,
        /// The entry to correct.
        entry: i64,
    },
    /// Grain came in below the temperature from which cooling counts: its time to cool runs since mash-out.
    CountsFromMashOut {
        /// What was measured.
        temperature: Temperature,
        /// From this temperature on grain counts as hot.
        hot: Limit,
        /// When mashing was over.
        mash_out: Instant,
    },
    /// The reason for which grain was thrown away speaks of spoilage that the clock does not know of the rest of the lot,
    /// and what that counts as.
    ReasonNamesSpoilage(LotCode, Verdict),
    /// A part of a lot, or of what it was made of, was thrown away as spoiled.
    PartSpoiled(LotCode, SpoiledPart),
    /// A cold reading of a lot counts until the next file of its place.
    AwaitsFile(LotCode, AwaitsFile),
    /// A logger's file overrules a cold reading of a lot, and what the lot is by now.
    ProbeOverruled(LotCode, Overruled, Verdict),
    /// A lot is said to have been cold while its place was measured warm.
    WordInWarmth(LotCode, WordInWarmth),
    /// By what is said of a place about an earlier time, a lot counts as less warm than before.
    LessWarm {
        /// The lot.
        lot: LotCode,
        /// What it was, and how many minutes it was warm.
        was: (Verdict, i64),
        /// What it is now.
        is: (Verdict, i64),
    },
    /// A lot that came in, by this entry, weighs what hardly any does.
    UnlikelyWeight(Milligrams, i64),
    /// A bake took other grain than it names or was promised.
    OtherGrain(OtherGrain),
    /// What a bake came to is far from its sheet, and the entries that say it.
    FarFromSheet(FarFromSheet, Vec<i64>),
    /// A sheet of a done bake that was printed before the book changed said other water.
    OtherSheet(OtherSheet),
    /// A warmer temperature was measured at the same moment: it counts, and this one does not.
    WarmerThen {
        /// The entry of the warmer one.
        entry: i64,
        /// What it says.
        temperature: Temperature,
    },
    /// A lot was tested once, and lies beyond the limits of its source.
    OddMoisture(OddMoisture),
    /// Lots on hand are untested, and their source drifts.
    SourceDrifts(SourceDrift),
    /// Grain in a freezer was measured above its limit: it counts as thawed from then on.
    CountsAsThawed {
        /// The freezer.
        place: String,
        /// What counts as frozen there.
        limit: Limit,
    },
    /// A place is stated to be warmer than places of its kind keep grain.
    PlaceTooWarm {
        /// Its name.
        place: String,
        /// Its kind.
        kind: PlaceKind,
        /// What it is stated to be.
        stated: Temperature,
        /// The limit of the rules.
        limit: Limit,
    },
    /// A correction was struck: this entry counts again, which it had taken the place of.
    CountsAgainInstead(i64),
    /// Grain was found spoiled of which some had gone out before: whether that was spoiled by then is not known.
    WentOutBefore(JudgedDraw),
    /// Lots on hand that were parted from the same grain as one that was found spoiled.
    OfTheSameGrain {
        /// The lot that was found spoiled.
        lot: LotCode,
        /// The others.
        others: Vec<LotCode>,
    },
    /// Most readings of a freezer are above what counts as frozen.
    FreezerNotFrozen {
        /// The freezer.
        place: String,
        /// How many are.
        warm: usize,
        /// Of how many.
        readings: usize,
        /// What counts as frozen.
        limit: Limit,
    },
    /// Rows of a logger's file that were not taken reach above the limit of its place: the warmest of them.
    WarmRowsLeftOut(Temperature),
    /// A logger's file is read on one scale, and all other files of its place are on the other.
    OtherScale {
        /// Its entry.
        entry: i64,
        /// The place.
        place: String,
        /// The scale of this file.
        scale: Scale,
    },
    /// The same readings are in the book for another place, this one.
    SameReadingsElsewhere(String),
    /// Grain was asked for in these words, which are read as these cereals and other allergens.
    ReadAs(String, String),
    /// No grist of the lots that were asked about names what was asked for.
    NoGristNames(String),
    /// Another bake to come is of the same formula, pieces and time.
    SameBake {
        /// The new one, and the earlier one.
        bake: BakeCode,
        earlier: BakeCode,
    },
    /// Grain that bakes mixed earlier take by their sheets is left to them.
    LeftToEarlierBakes(Vec<BakeCode>),
    /// The accepted plan leaves a bake out; what of the lots that it names is left to which other bakes.
    LeftOutByPlan {
        /// The bake.
        bake: BakeCode,
        /// How much of which lot, and the bake that it is promised to.
        left: Vec<(Milligrams, LotCode, BakeCode)>,
    },
    /// What was not said of a pickup was taken from the last one.
    LikeLast {
        /// The lot that came in last.
        lot: LotCode,
        /// The grist that was taken from it, which carries the allergens.
        grist: Option<String>,
    },
    /// Rows of a file are in the book already.
    ReadTwice {
        /// How many rows it has.
        rows: usize,
        /// The entries of pickups that were written now for those that are known.
        entries: Vec<i64>,
    },
    /// Rows of a file say the same as one before them: the entries of their pickups.
    RowsAlike(Vec<i64>),
    /// Grain that was in order when it was used is known not to be by now.
    UnusableByNow {
        /// Its lot, and what it is by now.
        lot: LotCode,
        verdict: Verdict,
        /// The limit that binds, in words.
        limit: String,
    },
    /// Grain is gone that the accepted plan promised to bakes.
    PromisedGrainGone {
        /// The lot that the plan named, and the bakes that lack some of it, with how much.
        lot: LotCode,
        bakes: Vec<(BakeCode, Milligrams)>,
    },
    /// Grain that the accepted plan promised may not be used any more when its bake weighs it out.
    PromisedGrainLost(Vec<LostGrain>),
    /// A done bake took grain of a lot that lay in a freezer by the book when it was weighed out.
    StillFrozen {
        /// The lot, and the fridge in which it thaws, where one is cold enough.
        lot: LotCode,
        fridge: Option<String>,
        /// The entry of the bake, where it took all of the lot: what is used up cannot be moved.
        strike_first: Option<i64>,
    },
    /// Grain that a bake takes was put into a freezer.
    MustBeThawed {
        /// The lot, and how much the bake takes of it.
        lot: LotCode,
        wet: Milligrams,
        /// The bake, and by when the grain comes out of the freezer for it.
        bake: BakeCode,
        by: Instant,
    },
    /// Bakes that are planned with an older version of a formula keep it.
    KeepOldVersion {
        /// The bakes, each with its version.
        bakes: Vec<(BakeCode, u32)>,
        /// The new version.
        version: u32,
    },
    /// What the accepted plan promised cannot be read, and why.
    PromisesUnreadable(String),
    /// A lot was treated.
    Treated(Treated),
    /// What came out of a treatment was put to another lot.
    PutTo {
        /// The lot that it was put to, and the one that both are together.
        lot: LotCode,
        joined: LotCode,
    },
    /// Lots were joined: how much of each.
    Joined(Vec<(LotCode, Milligrams)>),
    /// What is left of a lot that was parted; nothing where it is used up.
    LeftOf(LotCode, Option<Milligrams>),
    /// A struck entry had said that grain left as this: it is in stock as usable again.
    BackInStock(Option<Ending>),
    /// A place holds more than it is said to take.
    PlaceOverfull {
        /// Its name.
        place: String,
        /// What it holds.
        holds: Milligrams,
        /// What it takes.
        takes: Milligrams,
    },
    /// A lot on hand may not be used any more by what is known since then.
    OnHandUnusable {
        /// The lot.
        lot: LotCode,
        /// What it is.
        verdict: Verdict,
        /// The limit that binds, in words.
        limit: String,
    },
    /// Grain was counted after the moment that an entry is about: the count did not know of it.
    CountedSince(CountedSince),
    /// A count stands that came after one which was corrected.
    LaterCountStands(LaterCount),
    /// The mash-out or a word that grain was cold went along with a brew day that was corrected.
    WentAlong(WentAlong),
    /// More dry grain is said to be lost in a treatment than went in, as far as the moisture is known.
    DryLossDoubtful {
        /// The lot that went in.
        lot: LotCode,
        /// What is said to be lost.
        lost: Milligrams,
        /// The dry grain that went in.
        dry: Mass,
    },
    /// A treatment of which it is so wet, fractions of wet mass, where grain is at most that wet; and its entry.
    WetterThanGrain(Treatment, (f64, f64), i64),
    /// Some of a lot is on hand again, all of which had gone into others or which may not be used.
    OnHandAgain(OnHandAgain),
    /// A lot may be used that lies apart by a struck join, where the joined lot might not.
    UsableApart {
        /// The lot, and what it was joined into.
        lot: LotCode,
        joined: LotCode,
        /// What that was, and what the lot is by itself.
        was: Verdict,
        is: Verdict,
    },
    /// So much grain counted to the first lot, which might not be used, and counts to the second, which may.
    UsableElsewhere(Milligrams, (LotCode, Verdict), (LotCode, Verdict)),
    /// A lot is past by a late move, and may have been out only for a while.
    PastByLateMove(OutForAWhile),
    /// A part of a lot was moved and has a code of its own.
    PartMoved {
        /// The lot that it was part of.
        lot: LotCode,
        /// What is left of that.
        left: Option<Milligrams>,
        /// The part.
        part: LotCode,
        /// What went along with it.
        moved: Milligrams,
    },
    /// So many days lie between the brew day and the pickup.
    BrewedLongAgo {
        /// How many.
        days: i64,
        /// The entry of the pickup.
        entry: i64,
    },
    /// The heat that a treatment takes is more than anything brings into the grain in the time that was said.
    TooQuick {
        /// What was done.
        step: Step,
        /// In how many minutes.
        minutes: i64,
        /// Heat for each second that this takes.
        power: Power,
    },
    /// Less is left of the lot than the sum weighs.
    OnlyLeft(Milligrams),
    /// Lots hold too little dry grain for the dough, by so much.
    LotsFallShort(Mass),
    /// The same, and the weights are for what they hold.
    WeightsOfWhatIsThere(Mass),
    /// The grain of a dough is what the accepted plan promised to the bake.
    PromisedGrainTaken {
        /// The bake.
        bake: BakeCode,
        /// When the plan was accepted.
        accepted_at: Instant,
        /// When the dough is mixed.
        at: Instant,
        /// Whether its moisture is known otherwise since: as much dry grain is another wet mass.
        is_reweighed: bool,
        /// How much less of it, since the dough takes no more of it, or of the water in it.
        less: Milligrams,
    },
    /// The grain that the accepted plan promised to a bake does not go into it; the first to expire does.
    PromisedGrainNotTaken {
        /// The bake.
        bake: BakeCode,
        /// When the plan was accepted, and when the dough is mixed.
        accepted_at: Instant,
        at: Instant,
        /// Why.
        why: Hindrance,
    },
    /// A bake would be mixed at a moment that is past.
    MixingIsPast(Instant),
    /// The first stage of a bake would have been mixed at a moment that is past.
    FirstStageIsPast(Instant),
    /// A lot may not go into a dough by the time of mixing, as things stand, with the limit that binds in words.
    UnusableByThen(LotCode, String),
    /// A formula wants grain of another form than a lot has.
    OtherForm {
        /// The formula.
        formula: String,
        /// What it wants.
        wanted: Form,
        /// The lot.
        lot: LotCode,
        /// What it is.
        is: Form,
    },
    /// A bake was to be mixed later, and is written down as mixed now.
    MixedNow(Instant),
    /// A bake was written down, as this entry, without water and dough temperature.
    NothingMeasured(i64),
    /// By how many kelvins mixing warmed a dough.
    MixingWarmed(f64),
    /// What a dough's temperature says of the mixing heat is not learned; the entry that says it.
    MixingHeatNotLearned(NotLearned, i64),
}
