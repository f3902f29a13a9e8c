//! The desk: all that can be asked of the book and all that can be done to it, for every counter.
//!
//! A counter (the command line, a page) reads what a person typed, hands the desk a request in quantities and
//! instants, and puts the answer or the refusal into its own words. The desk knows no options, no commands, no
//! units of display and prints nothing. What keeps people safe stands in `guard`, which every act
//! that writes entries or formulas passes.

mod acts;
mod chunks;
mod cold_doughs;
mod devices;
mod dough_lots;
mod dough_temperatures;
mod draws;
mod facts;
mod fit_places;
mod free_of;
mod guard;
mod learned_mixing_heat;
mod learned_thirst;
mod notice;
mod plan_facts;
mod promised_dough;
mod promises;
mod questions;
mod refusal;
mod sheet_time;
mod still_to_do;
mod thawing;
mod unshown;
mod watch;

pub use crate::ledger::{
    ACT_ID_LENGTH, CameOut, DeviceRecord, NewDevice, NewPickup, NewReadings, Once, RecallFilter,
};
pub use acts::*;
pub use chunks::Chunks;
pub use dough_lots::GivenScales;
pub use dough_temperatures::{GivenTemperatures, TemperatureOf, TemperatureProblem};
pub use draws::JudgedDraw;
pub use notice::{
    BakeWrittenDown, CountedSince, Hindrance, LaterCount, NotLearned, Notice, OddMoisture,
    OnHandAgain, OtherGrain, OtherSheet, SheetChange, SourceDrift, TakenBefore, Treated, WarmTime,
    WentAlong, WentInToo,
};
pub use plan_facts::PlanOf;
pub use questions::*;
pub use refusal::{
    BakeToCome, CorrectFirst, CorrectThen, DishOfOther, HasLeft, HowMade, MadeAgain, MissingField,
    NoPlanBecause, OutForAWhile, Refusal, Remedy, UnknownDish, WeighedTooSoon,
};
pub use watch::{Progress, Watch};

use crate::ledger::{About, Book, EntryKind, Signature, View};
use crate::quantity::{Instant, Zone};
use crate::report::{Caution, LotAnswer, LotFacts};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What the desk answers, with all that has to be told beside it.
#[derive(Debug, Clone)]
pub struct Answer<T> {
    /// The answer itself.
    pub answer: T,
    /// What else is to be told of it.
    pub notices: Vec<Notice>,
    /// The cautions that belong to it; a counter shows every one of them.
    pub cautions: Vec<Caution>,
}

impl<T> Answer<T> {
    /// An answer with its cautions and nothing else to tell.
    pub fn new(answer: T, cautions: Vec<Caution>) -> Self {
        Self {
            answer,
            notices: Vec::new(),
            cautions,
        }
    }

    /// The same answer with more to tell.
    #[must_use]
    pub fn with_notices(mut self, notices: impl IntoIterator<Item = Notice>) -> Self {
        self.notices.extend(notices);
        self
    }

    /// The same answer with more cautions, each once and in their order.
    #[must_use]
    pub fn with_cautions(mut self, cautions: impl IntoIterator<Item = Caution>) -> Self {
        self.cautions.extend(cautions);
        self.cautions.sort_unstable();
        self.cautions.dedup();
        self
    }

    /// The same cautions and notices beside another answer.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Answer<U> {
        Answer {
            answer: change(self.answer),
            notices: self.notices,
            cautions: self.cautions,
        }
    }
}

/// The book at one moment, for one request of one person.
pub struct Desk {
    book: Book,
    now: Instant,
    by: Option<String>,
    written: Written,
    once: Option<Once>,
}

/// Numbers and kinds of entries.
pub type Entries = Vec<(i64, EntryKind)>;

/// Tells, even after a failure, whether an act was committed, which must not be done again then, and what it wrote.
#[derive(Debug, Clone, Default)]
pub struct Written(Arc<Mutex<Option<Entries>>>);

impl Written {
    /// Whether an act was committed.
    pub fn is_so(&self) -> bool {
        self.state().is_some()
    }

    /// The numbers and kinds of the entries that the act wrote.
    pub fn entries(&self) -> Entries {
        self.state().clone().unwrap_or_default()
    }

    fn set(&self, entries: Entries) {
        *self.state() = Some(entries);
    }

    fn state(&self) -> MutexGuard<'_, Option<Entries>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Desk {
    /// A desk for one request.
    pub fn new(book: Book, now: Instant, by: Option<String>) -> Self {
        Self {
            book,
            now,
            by,
            written: Written::default(),
            once: None,
        }
    }

    /// The same desk, whose act is done once however often it is sent. A request is one act.
    #[must_use]
    pub fn once(self, once: Option<Once>) -> Self {
        Self { once, ..self }
    }

    /// The same desk for somebody else: who it is may stand in the book that it is at.
    #[must_use]
    pub fn signed(self, by: Option<String>) -> Self {
        Self { by, ..self }
    }

    /// The book, for the next request.
    #[must_use]
    pub fn into_book(self) -> Book {
        self.book
    }

    /// Tells whether an act was committed at this desk.
    pub fn written(&self) -> Written {
        self.written.clone()
    }

    /// What the book is: its name, path, zone and rules.
    pub fn about(&self) -> &About {
        self.book.view().about()
    }

    /// The book's time zone.
    pub fn zone(&self) -> &Zone {
        &self.about().zone
    }

    /// The moment of the request.
    pub fn now(&self) -> Instant {
        self.now
    }

    fn view(&self) -> View<'_> {
        self.book.view()
    }

    /// The moment as of which lots are shown: the one as of which acts are judged, so that no answer is milder.
    fn as_of(&self) -> anyhow::Result<Instant> {
        guard::judged_as_of(self.view(), self.now)
    }

    /// What is to be said of a lot as of that moment. Grain that is hot by the clock stays so: one that ran ahead before
    /// cools nothing.
    fn shown(&self, facts: LotFacts, as_of: Instant) -> anyhow::Result<LotAnswer> {
        let about = self.about();
        let is_hot = facts.may_scald(&about.rules, self.now);
        let mut answer = facts.answer(&about.rules, &about.zone, as_of)?;
        answer.may_scald |= is_hot;
        Ok(answer)
    }

    fn signature(&self) -> Signature {
        Signature {
            now: self.now,
            by: self.by.clone(),
        }
    }
}
