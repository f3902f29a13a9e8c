//! The answer to `today`: all that is due, in order of time.

use super::bake::MadeLate;
use super::promise::{LostGrain, PromisedTo};
use super::worth_a_test::NextBake;
use super::{Block, Caution, LotAnswer};
use crate::dough::bake_code::BakeCode;
use crate::dough::formula::Formula;
use crate::dough::timetable::Event;
use crate::grain::{LotCode, OpenSample};
use crate::keeping::{Advice, Verdict};
use crate::ledger::TicketRecord;
use crate::planning::plan::Work;
use crate::quantity::{Instant, Milligrams};
use chrono::Duration;
use std::collections::BTreeSet;

/// All that is due.
#[derive(Debug, Clone)]
pub struct TodayAnswer {
    /// When it was asked.
    pub as_of: Instant,
    /// The last moment that was looked at.
    pub until: Instant,
    /// How many lots are on hand.
    pub on_hand: usize,
    /// Whether grain is on hand and bakes are open, and no accepted plan says which goes into which.
    pub unplanned: bool,
    /// What is due, in order of time.
    pub due: Vec<Due>,
}

/// One thing to do.
#[derive(Debug, Clone)]
pub struct Due {
    /// By when; nothing for at once.
    pub by: Option<Instant>,
    /// What.
    pub task: DueTask,
}

/// What is to be done.
#[derive(Debug, Clone)]
pub enum DueTask {
    /// What the keeping clock asks for of a lot.
    Keep {
        /// The lot.
        lot: Box<LotAnswer>,
        /// What to do.
        advice: Advice,
        /// The bake that takes it before that has to be done, and only if it is done by then.
        taken_by: Option<BakeCode>,
    },
    /// Samples of a lot are drying: weigh them again.
    WeighAgain {
        /// The lot.
        lot: LotCode,
        /// When they were taken.
        since: Instant,
        /// What was weighed wet.
        drying: Vec<OpenSample>,
    },
    /// A test of a lot is worth the oven, and a sample can be dried before the bake that takes the lot next.
    Test {
        /// The lot.
        lot: Box<LotAnswer>,
        /// What the test would change.
        next: NextBake,
    },
    /// What the accepted plan says is to be done with grain.
    Grain {
        /// What.
        work: Work,
        /// The lot that holds the grain by now.
        lot: LotCode,
        /// How much of it.
        wet: Milligrams,
        /// The frozen block that comes out, and the bakes that take of it.
        block: Option<Block>,
        /// For which bake, where it is for one.
        bake: Option<BakeCode>,
        /// Name of the place that it goes into; nothing where none is fit.
        place: Option<String>,
        /// Whether it cannot be done on a later day: thawing, and where the grain's own date ends on that day.
        is_last_moment: bool,
        /// Of thawing: after this the grain is not thawed in time.
        latest: Option<Instant>,
    },
    /// What the accepted plan says was not done, and does not help a bake to come any more.
    TooLate {
        /// What.
        work: Work,
        /// The lot.
        lot: LotCode,
        /// How much of it.
        wet: Milligrams,
        /// The bake that it was for.
        bake: BakeCode,
    },
    /// Grain of a bake lies in a freezer and is not thawed in time for it any more.
    NotThawed {
        /// The lot.
        lot: LotCode,
        /// How much of it.
        wet: Milligrams,
        /// The bake.
        bake: BakeCode,
        /// By how much it is thawed too late, taken out now.
        late_by: Duration,
        /// Whether the accepted plan knew it and has no grain for the bake: another plan has none either.
        plan_knows: bool,
    },
    /// A stage or step of a bake that somebody has to be there for.
    Bake {
        /// The bake.
        bake: BakeCode,
        /// Its dough.
        formula: Box<Formula>,
        /// The stage or step.
        event: Event,
        /// Grain that goes in now.
        grain: Vec<GoesIn>,
        /// Lots of its grain that lie in a freezer by the book and are not thawed in time any more.
        not_thawed: Vec<LotCode>,
        /// Lots of its grain that go in only if they are shown dry by then.
        to_show_dry: Vec<(LotCode, Instant)>,
        /// How much of the grain that was promised to it is not there any more.
        lacks: Milligrams,
        /// Lots that were meant for it and may not be used any more, with what they are; nothing of what is not on hand.
        unusable: Vec<(LotCode, Option<Verdict>)>,
        /// Grain promised to it that may be used now and not when the bake weighs it out.
        lost: Vec<LostGrain>,
        /// What the accepted plan has for it, where that is less than a firm bake takes at least.
        short: Option<PlannedShort>,
        /// Whether it is baked only if grain is left.
        is_optional: bool,
        /// Whether the accepted plan leaves it out.
        is_left_out: bool,
        /// Whether the accepted plan knew what it lacks and has no grain for it: another plan has none either.
        plan_knows: bool,
        /// What follows if a stage that should be standing by now is made only now.
        made_late: Option<Box<MadeLate>>,
        /// Where the dough is mixed: the earlier stage that should be standing by now and ends last.
        needs_late: Option<Box<MadeLate>>,
        /// The cautions that belong to it: all of the bake where the grain goes in.
        cautions: Vec<Caution>,
    },
    /// A bake that should have been mixed by now: nobody wrote down what became of it.
    Overdue {
        /// The bake.
        bake: BakeCode,
        /// The name of its dough.
        formula: String,
        /// Whether the accepted plan leaves it out.
        is_left_out: bool,
    },
    /// The newest ticket of a lot is not true any more: print another.
    PrintTicket {
        /// The lot.
        lot: Box<LotAnswer>,
        /// The ticket.
        printed: TicketRecord,
        /// What it names otherwise than it is by now, beside what it says of keeping: `source`, `form` or `grist`.
        changed: Vec<&'static str>,
    },
    /// A lot that goes first.
    UseFirst {
        /// The lot.
        lot: Box<LotAnswer>,
        /// Bakes that it is promised to.
        bakes: Vec<PromisedTo>,
    },
    /// A lot that is past: throw it away.
    ThrowAway(Box<LotAnswer>),
}

/// Grain that goes into a bake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GoesIn {
    /// Its lot.
    pub lot: LotCode,
    /// What is weighed then, where a plan promised it.
    pub weighed: Option<Milligrams>,
    /// The wet grain that is still to be dried for that.
    pub to_dry: Option<Milligrams>,
}

/// What an accepted plan has for a firm bake that it has too little for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlannedShort {
    /// Dry grain that it promised; none where it has no grain for the bake.
    pub dry: Milligrams,
    /// Dry grain that the bake takes at least.
    pub least: Milligrams,
}

impl Due {
    /// Whether it is a stage of which nobody can write down that it was made: from its time on until the dough is mixed it may
    /// stand ready.
    pub const fn may_stand(&self) -> bool {
        matches!(
            self.task,
            DueTask::Bake {
                made_late: Some(_),
                ..
            }
        )
    }
}

impl DueTask {
    /// Of things that are due at one moment, what is done first.
    const fn rank(&self) -> u8 {
        match self {
            Self::Keep { .. } => 0,
            Self::WeighAgain { .. } | Self::Test { .. } => 1,
            // What comes out of a freezer makes room for what goes in.
            Self::NotThawed { .. }
            | Self::TooLate { .. }
            | Self::Grain {
                work: Work::Thaw, ..
            } => 2,
            Self::Grain { .. } => 3,
            Self::Bake { .. } => 4,
            Self::Overdue { .. } => 5,
            Self::PrintTicket { .. } => 6,
            Self::UseFirst { .. } => 7,
            Self::ThrowAway(_) => 8,
        }
    }

    /// The lot it is about.
    pub fn lot(&self) -> Option<LotCode> {
        match self {
            Self::Keep { lot, .. }
            | Self::Test { lot, .. }
            | Self::PrintTicket { lot, .. }
            | Self::UseFirst { lot, .. }
            | Self::ThrowAway(lot) => Some(lot.lot.code),
            Self::WeighAgain { lot, .. }
            | Self::Grain { lot, .. }
            | Self::TooLate { lot, .. }
            | Self::NotThawed { lot, .. } => Some(*lot),
            Self::Bake { .. } | Self::Overdue { .. } => None,
        }
    }

    /// The bake it is about.
    pub const fn bake(&self) -> Option<BakeCode> {
        match self {
            Self::Bake { bake, .. }
            | Self::Overdue { bake, .. }
            | Self::TooLate { bake, .. }
            | Self::NotThawed { bake, .. } => Some(*bake),
            Self::Grain { bake, .. } => *bake,
            Self::Test { next, .. } => Some(next.code),
            _ => None,
        }
    }

    /// The cautions that belong to it.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = match self {
            Self::Keep { lot, .. } | Self::UseFirst { lot, .. } => lot.cautions(),
            Self::ThrowAway(lot) => {
                let mut cautions = lot.cautions_of_handled(lot.wet);
                cautions.push(Caution::HopsPoisonDogs);
                cautions
            }
            Self::WeighAgain { .. } => vec![Caution::DryingASample],
            Self::Test { lot, .. } => {
                let hot = lot.may_scald.then_some(Caution::HotGrain);
                hot.into_iter().chain([Caution::DryingASample]).collect()
            }
            // Of a frozen block all comes out.
            Self::Grain {
                work, wet, block, ..
            } => Caution::of_work(*work, block.as_ref().map_or(*wet, |block| block.all)),
            Self::Bake { cautions, .. } => cautions.clone(),
            Self::TooLate { .. }
            | Self::NotThawed { .. }
            | Self::Overdue { .. }
            | Self::PrintTicket { .. } => Vec::new(),
        };
        cautions.push(Caution::DateIsARule);
        cautions.sort_unstable();
        cautions.dedup();
        cautions
    }
}

impl TodayAnswer {
    /// Puts what is due in order of time: what is late, what is to be done at once, what comes.
    pub fn new(
        (as_of, until): (Instant, Instant),
        on_hand: usize,
        unplanned: bool,
        mut due: Vec<Due>,
    ) -> Self {
        due.sort_by_cached_key(|due| {
            let code = due.task.lot().map(|lot| lot.to_string());
            let by = due.by.filter(|_| !due.may_stand()).unwrap_or(as_of);
            (by, due.task.rank(), code)
        });
        Self {
            as_of,
            until,
            on_hand,
            unplanned,
            due,
        }
    }

    /// Whether something should have been done by now.
    pub fn is_late(&self, due: &Due) -> bool {
        due.by.is_some_and(|by| by < self.as_of) && !due.may_stand()
    }

    /// The cautions that belong beside the list.
    pub fn cautions(&self) -> Vec<Caution> {
        let of_all = self.due.iter().flat_map(|due| due.task.cautions());
        let all: BTreeSet<Caution> = of_all.chain([Caution::DateIsARule]).collect();
        all.into_iter().collect()
    }
}
