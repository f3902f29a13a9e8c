//! Bakes as a calendar shows them.

use super::promise::LostGrain;
use super::{Block, Caution};
use crate::dough::formula::Formula;
use crate::dough::timetable::Timetable;
use crate::planning::plan::Work;
use crate::quantity::{Instant, Milligrams};
use chrono::NaiveTime;
use uom::si::f64::Mass;

/// Bakes to put into a calendar.
#[derive(Debug, Clone)]
pub struct CalendarAnswer {
    /// The book's name. Together with the code of a bake it tells an event from every other.
    pub book: String,
    /// The bakes.
    pub bakes: Vec<CalendarBake>,
    /// Smallest step of the scale of the house.
    pub scale: Milligrams,
    /// What accepted plans say is to be done with grain, and the frozen blocks that come out for bakes.
    pub tasks: Vec<CalendarTask>,
    /// The hours that the book calls night.
    pub night: Option<(NaiveTime, NaiveTime)>,
    /// When it was asked.
    pub written_at: Instant,
}

/// One bake.
#[derive(Debug, Clone)]
pub struct CalendarBake {
    /// Its code.
    pub bake: String,
    /// Its formula.
    pub formula: Formula,
    /// How many pieces.
    pub pieces: u32,
    /// Raw weight of one.
    pub piece: Mass,
    /// What was noted about it.
    pub note: Option<String>,
    /// What happens when.
    pub timetable: Timetable,
    /// The cautions that belong to it; its event that takes the grain says them.
    pub cautions: Vec<Caution>,
    /// Promised grain that may not be used when it weighs it out; its event that takes the grain says so.
    pub lost: Vec<LostGrain>,
    /// How often the bake, or the plan that may leave it out, was changed: a calendar replaces what it holds by what has the
    /// higher number.
    pub sequence: u32,
    /// Whether the accepted plan leaves it out.
    pub is_left_out: bool,
    /// Whether the bake was dropped, so that a calendar takes its events off.
    pub is_dropped: bool,
}

impl CalendarAnswer {
    /// Those of all bakes and tasks.
    pub fn cautions(&self) -> Vec<Caution> {
        let bakes = self.bakes.iter().flat_map(|bake| &bake.cautions);
        let tasks = self.tasks.iter().flat_map(|task| &task.cautions);
        bakes.chain(tasks).copied().collect()
    }
}

/// Something to be done with grain by a moment.
#[derive(Debug, Clone)]
pub struct CalendarTask {
    /// Tells it from every other of the book, and is the same in every plan that asks for it.
    pub id: String,
    /// What.
    pub work: Work,
    /// With which lot.
    pub lot: String,
    /// How much of it.
    pub wet: Milligrams,
    /// The frozen block that comes out, and the bakes that take of it.
    pub block: Option<Block>,
    /// The bags in which it is done, each with its bake where it is for one and the place that it goes into; none where it is
    /// dropped. Of a frozen block what each bake takes of it.
    pub portions: Vec<(Option<String>, Milligrams, Option<String>)>,
    /// By when.
    pub by: Instant,
    /// For which bake, where it is for one.
    pub bake: Option<String>,
    /// The cautions that belong to it.
    pub cautions: Vec<Caution>,
    /// When the plan was accepted; nothing of a block that a bake takes without a plan.
    pub accepted_at: Option<Instant>,
    /// The later the book, the higher: a calendar replaces what it holds by what has the higher number.
    pub sequence: i64,
    /// Whether no plan in force asks for it any more, or another task takes the same block out, so that a calendar takes it off.
    pub is_dropped: bool,
}
