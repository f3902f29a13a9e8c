//! What the desk refuses, as facts, and what can be done about it. Words and commands are the counter's.

mod book;
mod made_again;
mod no_plan;
mod remedy;
mod samples;
mod unusable;

pub use made_again::{CorrectFirst, CorrectThen, HowMade, MadeAgain};
pub use no_plan::NoPlanBecause;
pub use remedy::{MissingField, OutForAWhile, Remedy};
pub use samples::{DishOfOther, UnknownDish, WeighedTooSoon};
pub use unusable::{BakeToCome, HasLeft};

use super::dough_temperatures::TemperatureProblem;
use super::{JudgedDraw, Notice, TooCold};
use crate::dough;
use crate::dough::bake_code::BakeCode;
use crate::dough::batch::warmth::Warmth;
use crate::grain::{Form, LotCode, Step};
use crate::keeping::{Assessment, Verdict};
use crate::ledger::{self, EntryKind};
use crate::quantity::{Instant, Milligrams, Problem, Temperature, WaterActivity};
use uom::si::f64::Mass;

/// Why something was refused. Nothing was written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{self:?}")]
pub enum Refusal {
    /// The book itself refuses.
    Book(ledger::BookRefusal),
    /// What was asked for cannot be, whatever the book holds.
    Field {
        /// The field of the request that is wrong.
        field: &'static str,
        /// What is wrong with it.
        problem: Problem,
    },
    /// What was asked for makes no sense by itself.
    Request(Problem),
    /// The weights of a treatment cannot be.
    ImpossibleWeights(Problem),
    /// Grain that is to be cooled is cold already.
    ColdAlready(Temperature),
    /// Grain that is past or unknown may not go into a dough, be given as food or be joined.
    Unusable {
        /// Its lot.
        lot: LotCode,
        /// What the keeping clock says.
        keeping: Box<Assessment>,
        /// At which moment.
        as_of: Instant,
        /// The bake to come whose mixing that moment is.
        bake: Option<BakeToCome>,
        /// Whether it is said to be in a dough, or with people.
        has_left: HasLeft,
    },
    /// A past lot would be past no more.
    WouldRevive(LotCode),
    /// The same of the very lot that an act is about, perhaps back from where it was: nothing comes of throwing it away first.
    WouldReviveItself(LotCode, Option<Box<OutForAWhile>>),
    /// Grain that was past when it went to people would not have been, by a back-dated entry. From this moment on
    /// nothing bears on it.
    WouldUnmark(Box<JudgedDraw>, Instant),
    /// A past lot would be usable by a late entry of this number that could not have been written otherwise.
    UsableByLateEntry(LotCode, i64),
    /// What is said of a place would make a lot usable that is past or unknown.
    WouldMakeUsable(LotCode, Verdict),
    /// A logger's file is too cold for its place.
    ReadingsTooCold(TooCold),
    /// There is no such place to close.
    NoPlaceToClose {
        /// What was typed.
        name: String,
        /// The places that are open.
        known: Vec<String>,
    },
    /// Spoiled grain is no feed.
    SpoiledAsFeed(LotCode),
    /// The reason names animals or feed, and nobody said how the grain ends.
    FeedUnsaid(LotCode),
    /// Nothing was given that is to be corrected in an entry.
    NothingToCorrect(i64),
    /// A correction says what the entry says already.
    NothingChanged(i64),
    /// A brew day is to be corrected of a lot whose mash-out is not known.
    MashOutUnsaid(LotCode),
    /// An entry of this kind does not hold what is to be corrected.
    NotInEntry {
        /// The entry.
        entry: i64,
        /// What kind it is.
        kind: EntryKind,
        /// The field of the request that is too much.
        field: &'static str,
    },
    /// What is to be corrected of a done bake stands in other entries of it.
    FactOfBake {
        /// The entry.
        entry: i64,
        /// The bake.
        bake: BakeCode,
        /// The entries that hold it.
        stands_in: Vec<i64>,
        /// The field of the request.
        field: &'static str,
    },
    /// Of what made a lot this cannot be corrected: it is struck and done again.
    MakesALot {
        /// The entry.
        entry: i64,
        /// What kind it is.
        kind: EntryKind,
        /// The field of the request that cannot be corrected.
        field: &'static str,
        /// How it is struck and done again.
        again: Box<MadeAgain>,
    },
    /// A treatment of which only the time or only the temperature would be known by a correction; the other is missing.
    HalfTimed(i64, MissingField),
    /// What came into a lot is to be corrected to less than was taken of it, and others hold the grain by now.
    HeldByOthers {
        /// The lot.
        lot: LotCode,
        /// By how much more was taken.
        by: Milligrams,
        /// The lots on hand that hold its grain.
        held_by: Vec<LotCode>,
        /// What to correct first, where that helps.
        correct: Option<CorrectFirst>,
    },
    /// Grain that is written down late is not there any more: it went into another lot since, by what is to be corrected.
    WentOn(Box<(ledger::BookRefusal, CorrectFirst)>),
    /// Nobody said what kind of place a new one is.
    PlaceKindUnsaid(String),
    /// Portions weigh more than the lot.
    PortionsTooHeavy {
        /// The lot.
        lot: LotCode,
        /// What is left of it.
        left: Milligrams,
        /// How many portions.
        number: u32,
        /// What they weigh in all.
        all: Milligrams,
    },
    /// More portions than one act makes.
    TooManyPortions {
        /// How many.
        number: u32,
        /// How many there may be.
        most: u32,
    },
    /// Lots to be joined lie in several places, and nobody said where the joined one is to lie.
    SeveralPlaces {
        /// The places.
        places: Vec<String>,
        /// The field of the request that says where.
        field: MissingField,
    },
    /// Grain in a freezer was treated, and nobody said how long it took to thaw.
    ThawTimeMissing {
        /// The lot.
        lot: LotCode,
        /// The place it lies in.
        place: String,
    },
    /// What comes out of the first lot is so, by this limit in words, and may not be put to the second.
    ProductUnusable(LotCode, LotCode, Verdict, String),
    /// Grain in a freezer was thawed, and nobody said where it lies since.
    ThawedWhere {
        /// The lot.
        lot: LotCode,
        /// The place it lay in.
        place: String,
    },
    /// Weights that end the drying of samples were typed minutes after those before.
    WeighedTooSoon(WeighedTooSoon),
    /// A dried sample is none of those that are drying.
    UnknownDish(UnknownDish),
    /// A corrected sample would be one of another entry.
    DishOfOther(DishOfOther),
    /// A test of dried grain says drier than its weights before and after the drying can be.
    DrierThanWeights {
        /// The lot.
        lot: LotCode,
        /// The moisture of the test, a fraction of wet mass.
        found: f64,
        /// What the weights leave.
        weights: (f64, f64),
    },
    /// A water activity is that of dry grain, and the weights before and after the drying leave it wet.
    TooWetForActivity {
        /// The lot.
        lot: LotCode,
        /// The water activity.
        activity: WaterActivity,
        /// The moisture that the weights leave, a fraction of wet mass.
        weights: (f64, f64),
    },
    /// A water activity was measured of grain that is not dried.
    NotDried {
        /// The lot.
        lot: LotCode,
        /// What it is.
        form: Form,
    },
    /// Nothing came in yet, from this source or at all.
    NoPickupYet(Option<String>),
    /// A lot is named twice.
    NamedTwice(String),
    /// A dough that does not come out.
    Dough(dough::Refusal),
    /// A dough of so much grain names several lots, so nobody knows how much of each.
    GrainOfSeveralLots,
    /// A water temperature cannot be worked out from what was given.
    Temperatures(TemperatureProblem),
    /// No water brings a dough to the temperature wanted.
    NoWaterTemperature(Box<Warmth>),
    /// Neither the request nor the formula of this name says how many pieces a bake makes.
    NumberOfPiecesUnsaid(String),
    /// Neither the request nor the formula of this name says what a piece weighs.
    PieceUnsaid(String),
    /// More lots are named for a bake than it may be made of.
    MoreLotsThanAllowed {
        /// How many are named.
        named: usize,
        /// How many it may be.
        most: u32,
    },
    /// Grain is asked for in words that are no known cereal or allergen and in no grist of the book; with the malts that these name.
    UnknownGrist(Problem, Vec<String>),
    /// A lot is not known to be free of a cereal.
    MayHold {
        /// The lot.
        lot: LotCode,
        /// The cereal.
        cereal: String,
        /// What was mashed, where that is known.
        grist: Option<String>,
        /// Whether the dough is made, and nobody said of which lots.
        is_made: bool,
    },
    /// A bake is to be written down, and nobody knows of which lots it was made.
    LotsNotNamed {
        /// The bake.
        bake: BakeCode,
        /// What is to be told of its promised grain.
        notice: Option<Box<Notice>>,
        /// What its sheet said.
        filled_in: Vec<(LotCode, Milligrams)>,
    },
    /// There are no bakes to come, and nothing else to do.
    NoBakesPlanned,
    /// A bake is not done, so no grain was drawn for it.
    BakeNotDone(BakeCode),
    /// Grain is said to be used for a bake that is not done yet: so much of each lot.
    BakeStillOpen(BakeCode, Vec<(LotCode, Milligrams)>),
    /// What this entry, of no bake, is to say is the code of a bake.
    NoteIsBake(i64, BakeCode),
    /// What was asked for is no code, and no grain was used for it either.
    NothingUsedFor {
        /// What was asked for.
        about: String,
        /// Why it is no code.
        problem: Problem,
    },
    /// No plan is made for a treatment of this kind.
    NoPlanForStep(Step),
    /// Water freezes and does not dry off.
    DryingInFrost,
    /// There is no plan.
    NoPlan(NoPlanBecause),
    /// Somebody wrote to the book while a plan was being made, so it was not accepted.
    BookHasMovedOn,
    /// A pickup to come lies after the days that are looked at.
    PickupAfterTheDays(u32),
    /// A pickup to come is past.
    PickupIsPast(Instant),
    /// Mashing is over after the grain is fetched.
    MashOutAfterPickup {
        /// When mashing is over.
        mash_out: Instant,
        /// When the grain is fetched.
        at: Instant,
    },
    /// A search was stopped before it found anything.
    StoppedTooEarly,
    /// The lots named for a bake hold too little dry grain for it.
    NamedLotsFallShort {
        /// The bake.
        bake: BakeCode,
        /// By how much.
        short: Mass,
    },
}

impl From<ledger::BookRefusal> for Refusal {
    fn from(refusal: ledger::BookRefusal) -> Self {
        Self::Book(refusal)
    }
}

impl Refusal {
    /// The refusal behind an error of the desk; nothing where it is another one.
    pub fn of(error: &anyhow::Error) -> Option<Self> {
        error.chain().find_map(|cause| {
            let own = cause.downcast_ref::<Self>().cloned();
            own.or_else(|| {
                cause
                    .downcast_ref::<ledger::BookRefusal>()
                    .cloned()
                    .map(Self::Book)
            })
        })
    }

    /// What can be done about it, the best first.
    pub fn remedies(&self) -> Vec<Remedy> {
        match self {
            Self::Book(refusal) => book::remedies(refusal),
            Self::Unusable {
                lot,
                keeping,
                as_of,
                bake,
                has_left,
            } => unusable::remedies((*lot, *has_left), keeping, *as_of, bake.as_ref()),
            Self::ImpossibleWeights(_) => vec![Remedy::WeighAgain],
            Self::ColdAlready(_) => vec![Remedy::BookTheReading],
            Self::WouldRevive(lot) => vec![Remedy::StrikeEntryOf(*lot), Remedy::DiscardFirst(*lot)],
            Self::WouldUnmark(draw, from) => vec![
                Remedy::StrikeEntryOf(draw.lot),
                Remedy::SayFromThenOn(*from),
            ],
            Self::UsableByLateEntry(_, entry) => vec![Remedy::StrikeFirst(*entry)],
            Self::WouldReviveItself(lot, out) => remedy::of_late_return(*lot, out.as_deref()),
            Self::ReadingsTooCold(cold) => cold.remedies(),
            Self::SpoiledAsFeed(lot) => vec![Remedy::NotAsFeed(*lot)],
            Self::FeedUnsaid(_) => vec![Remedy::FillIn(MissingField::Ending)],
            Self::NothingToCorrect(_) | Self::NothingChanged(_) => vec![Remedy::SayWhatIsRight],
            Self::MashOutUnsaid(_) => vec![Remedy::FillIn(MissingField::MashOut)],
            Self::NotInEntry { entry, kind, field } => {
                vec![remedy::of_field(*entry, *kind, field)]
            }
            Self::FactOfBake {
                stands_in, field, ..
            } => vec![Remedy::CorrectInstead {
                entries: stands_in.clone(),
                field,
            }],
            Self::MakesALot { entry, again, .. } => vec![Remedy::MakeAgain(*entry, again.clone())],
            Self::HeldByOthers {
                lot,
                held_by,
                correct,
                ..
            } => made_again::of_held(*lot, held_by, correct.as_ref()),
            Self::WentOn(went_on) => {
                let (refused, correct) = &**went_on;
                let first = Remedy::CorrectFirst(correct.clone());
                std::iter::once(first)
                    .chain(book::remedies(refused))
                    .collect()
            }
            Self::NoPlaceToClose { .. } => vec![Remedy::ListPlaces],
            Self::PlaceKindUnsaid(name) => vec![Remedy::AddPlace(name.clone())],
            Self::SeveralPlaces { field, .. } | Self::HalfTimed(_, field) => {
                vec![Remedy::FillIn(*field)]
            }
            Self::ThawTimeMissing { .. } => vec![Remedy::TimeTheTreatment],
            Self::ThawedWhere { .. } => vec![Remedy::FillIn(MissingField::Place)],
            Self::ProductUnusable(_, into, ..) => vec![Remedy::TreatAlone(*into)],
            Self::NotDried { lot, .. } => vec![Remedy::TestMoisture(*lot)],
            Self::WeighedTooSoon(_) => Vec::new(),
            Self::UnknownDish(unknown) => unknown.remedies(),
            Self::DishOfOther(of_other) => of_other.remedies(),
            Self::TooWetForActivity { lot, .. } | Self::DrierThanWeights { lot, .. } => {
                vec![Remedy::WeighAgain, Remedy::StrikeEntryOf(*lot)]
            }
            Self::PortionsTooHeavy { lot, .. } => vec![Remedy::CountIt(*lot)],
            Self::NamedTwice(_) => vec![Remedy::NameOnce],
            Self::GrainOfSeveralLots => vec![Remedy::OneLotOrAnotherAmount],
            Self::NumberOfPiecesUnsaid(_) => vec![Remedy::FillIn(MissingField::Pieces)],
            Self::PieceUnsaid(_) => vec![Remedy::FillIn(MissingField::Piece)],
            Self::LotsNotNamed {
                notice, filled_in, ..
            } => {
                let told = notice.as_deref().cloned().map(Remedy::Know);
                told.into_iter()
                    .chain([Remedy::SayWhatWentIn(filled_in.clone())])
                    .collect()
            }
            Self::NoBakesPlanned => vec![Remedy::AddABake],
            Self::BakeStillOpen(bake, used) => vec![Remedy::FinishBake(*bake, used.clone())],
            Self::NoteIsBake(entry, bake) => vec![Remedy::StrikeAndUse(*entry, *bake)],
            Self::NothingUsedFor { about, .. } => vec![Remedy::ListUsage(about.clone())],
            Self::NoPlanForStep(_) => vec![Remedy::PlanDryingOrPressing],
            Self::DryingInFrost => vec![Remedy::DryWarm],
            Self::NoPlan(NoPlanBecause::NoBakes { later, overdue }) => {
                let further = Remedy::LookFurtherAhead { for_bakes: true };
                let mut remedies: Vec<Remedy> =
                    (*later > 0).then_some(further).into_iter().collect();
                remedies.extend(overdue.map(Remedy::SayWhatBecameOf));
                remedies.push(Remedy::PlanABake);
                remedies
            }
            Self::NoPickupYet(_) | Self::NoPlan(NoPlanBecause::NoLots) => vec![Remedy::BookGrainIn],
            Self::NoPlan(NoPlanBecause::NothingUsable(_)) => vec![Remedy::AskTheShelf],
            Self::BookHasMovedOn => vec![Remedy::AskForThePlanAgain],
            Self::PickupAfterTheDays(_) => vec![Remedy::LookFurtherAhead { for_bakes: false }],
            Self::NamedLotsFallShort { .. } | Self::MayHold { is_made: true, .. } => {
                vec![Remedy::SayWhatWentIn(Vec::new())]
            }
            Self::Temperatures(_)
            | Self::NoWaterTemperature(_)
            | Self::MoreLotsThanAllowed { .. }
            | Self::UnknownGrist(..)
            | Self::MayHold { .. }
            | Self::BakeNotDone(_)
            | Self::WouldMakeUsable(..)
            | Self::NoPlan(NoPlanBecause::CrossedBounds(_) | NoPlanBecause::OutsideTheDays(_))
            | Self::PickupIsPast(_)
            | Self::MashOutAfterPickup { .. }
            | Self::StoppedTooEarly
            | Self::Request(_)
            | Self::Field { .. }
            | Self::TooManyPortions { .. }
            | Self::Dough(_) => Vec::new(),
        }
    }

    /// Whether the request itself is wrong, whatever the book holds.
    pub const fn is_about_the_request(&self) -> bool {
        matches!(
            self,
            Self::Request(_)
                | Self::ColdAlready(_)
                | Self::Field { .. }
                | Self::NamedTwice(_)
                | Self::PlaceKindUnsaid(_)
                | Self::NothingToCorrect(_)
                | Self::GrainOfSeveralLots
                | Self::NoPlanForStep(_)
                | Self::DryingInFrost
                | Self::Temperatures(_)
        )
    }
}
