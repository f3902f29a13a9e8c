//! The answer: what goes into each bake, what is done by when, what is left, and what each aim comes to.

use super::aims::Aim;
use super::problem::{Lot, Situation, WaterRoom};
use super::reason::Reason;
use super::windows::State;
use crate::keeping::PlaceKind;
use crate::quantity::text::one_of;
use crate::quantity::uncertain::welch_satterthwaite;
use crate::quantity::{Instant, Milligrams, Problem, Uncertain};

/// A plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// For each bake, in the order of the situation.
    pub bakes: Vec<PlannedBake>,
    /// What is to be done, by time.
    pub actions: Vec<Action>,
    /// What no bake takes.
    pub left: Vec<Leftover>,
    /// What each aim comes to.
    pub aims: Aims,
    /// What each aim would come to if the oldest grain were simply used first.
    pub oldest_first: Aims,
    /// How good the plan is.
    pub proof: Proof,
    /// Promised draws that the plan does not keep in full, with what it keeps.
    pub broken: Vec<Broken>,
}

/// What one bake gets.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedBake {
    /// Whether it is baked.
    pub happens: bool,
    /// Its grain.
    pub draws: Vec<Draw>,
    /// Dry grain of all draws.
    pub dry: Milligrams,
    /// What it lacks of its least dry grain; nothing where it is within a scale step of it.
    pub short: Milligrams,
    /// Why it lacks it, or is not baked.
    pub reason: Option<Reason>,
    /// The chance that its grain, the moisture being uncertain, is below its least.
    pub chance_below: Option<f64>,
}

impl Plan {
    /// The bags in which a job freezes grain, see [`bags`].
    pub fn bags(&self, action: &Action, portion: Milligrams) -> Vec<(Option<usize>, Milligrams)> {
        if action.work != Work::Freeze {
            return Vec::new();
        }
        let is_thawed = |draw: &&Draw| draw.lot == action.lot && draw.state == State::Thawed;
        let thawed = self.bakes.iter().enumerate().flat_map(|(bake, planned)| {
            let draws = planned.draws.iter().filter(is_thawed);
            draws.map(move |draw| (bake, draw.wet))
        });
        bags(action.wet, thawed, portion)
    }
}

/// The bags in which so much grain is frozen: one for each bake that it is thawed for, and one of what no bake takes.
/// Where that is less than the smallest portion it goes into the last bag. A frozen block cannot be parted.
pub fn bags<B>(
    frozen: Milligrams,
    thawed: impl Iterator<Item = (B, Milligrams)>,
    portion: Milligrams,
) -> Vec<(Option<B>, Milligrams)> {
    let mut spare = frozen.get();
    let mut bags: Vec<(Option<B>, Milligrams)> = Vec::new();
    for (bake, wet) in thawed {
        spare -= wet.get();
        bags.push((Some(bake), wet));
    }
    match bags.last_mut() {
        Some((_, last)) if spare == 0 || spare < portion.get() => {
            *last = Milligrams::new(last.get() + spare);
        }
        _ => bags.push((None, Milligrams::new(spare))),
    }
    bags
}

impl PlannedBake {
    /// Milligrams of water that its grain brings into a dough, by the estimate of each lot.
    pub fn water(&self, situation: &Situation, room: WaterRoom) -> f64 {
        let of = |draw: &Draw| {
            let (wet, dry) = (draw.wet.get() as f64, draw.dry.get() as f64);
            match draw.state {
                State::Dried => room.water(dry / (1.0 - situation.capacity.dried_moisture), dry),
                State::AsItLies | State::Thawed => {
                    room.water(wet, wet * situation.lots[draw.lot].dry_fraction(false))
                }
            }
        };
        self.draws.iter().map(of).sum()
    }
}

/// Milligrams of dry grain that draws hold, by the estimate of each lot; moistures of lots taken as independent.
pub fn dry_in(situation: &Situation, draws: &[Draw]) -> Uncertain {
    let mut lots: Vec<(usize, f64)> = Vec::new();
    for draw in draws {
        match lots.iter_mut().find(|(lot, _)| *lot == draw.lot) {
            Some((_, wet)) => *wet += draw.wet.get() as f64,
            None => lots.push((draw.lot, draw.wet.get() as f64)),
        }
    }
    let parts: Vec<(f64, f64)> = lots
        .iter()
        .map(|(lot, wet)| {
            let moisture = situation.lots[*lot].moisture;
            (wet * moisture.standard, moisture.freedom)
        })
        .collect();
    Uncertain {
        value: lots
            .iter()
            .map(|(lot, wet)| wet * situation.lots[*lot].dry_fraction(false))
            .sum(),
        standard: parts
            .iter()
            .map(|(standard, _)| standard * standard)
            .sum::<f64>()
            .sqrt(),
        freedom: welch_satterthwaite(&parts),
    }
}

/// Grain of one lot for one bake.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// Position of the lot.
    pub lot: usize,
    /// In which state it goes into the dough.
    pub state: State,
    /// Wet grain, as the lot is now.
    pub wet: Milligrams,
    /// Its dry grain.
    pub dry: Milligrams,
}

/// What kind of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Into the freezer.
    Freeze,
    /// Into the dryer.
    Dry,
    /// From the freezer into the fridge.
    Thaw,
}

impl Work {
    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Freeze => "freeze",
            Self::Dry => "dry",
            Self::Thaw => "thaw",
        }
    }
}

impl std::str::FromStr for Work {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        let all = [Self::Freeze, Self::Dry, Self::Thaw];
        one_of(text, "work", &all, Self::as_str)
    }
}

/// One thing to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Action {
    /// What.
    pub work: Work,
    /// Position of the lot.
    pub lot: usize,
    /// How much of it, wet as it is now.
    pub wet: Milligrams,
    /// By when.
    pub by: Instant,
    /// The bake it is for, where thawing is for one.
    pub bake: Option<usize>,
}

impl Action {
    /// All of the frozen block that comes out by it, where it is one: of a lot that lies in a freezer already. It comes out
    /// once, however many bakes take of it.
    pub fn block(&self, lots: &[Lot]) -> Option<Milligrams> {
        let lot = &lots[self.lot];
        let is_block = self.work == Work::Thaw && lot.place_kind == PlaceKind::Freezer;
        is_block.then_some(lot.wet)
    }
}

/// What becomes of grain that no bake takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// It is past before the plan's end: to be given away before that.
    Spoils,
    /// It is frozen.
    Frozen,
    /// It is dried.
    Dried,
    /// It keeps beyond the plan's end as it lies.
    Keeps,
    /// It lies in a freezer, and no day is left of it once it is thawed.
    OnlyFrozen,
    /// It may not be used for any dough even now.
    Unusable,
}

impl Fate {
    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Spoils => "spoils",
            Self::Keeps => "keeps",
            Self::OnlyFrozen => "only-frozen",
            Self::Frozen => "frozen",
            Self::Dried => "dried",
            Self::Unusable => "unusable",
        }
    }
}

/// Grain that no bake takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leftover {
    /// Position of the lot.
    pub lot: usize,
    /// How much, wet as it is now.
    pub wet: Milligrams,
    /// Its dry grain.
    pub dry: Milligrams,
    /// What becomes of it.
    pub fate: Fate,
    /// Last moment of use as it lies, where there is one.
    pub until: Option<Instant>,
    /// A bake leaves it of a block that comes out of the freezer for it.
    pub thawed: bool,
}

impl Leftover {
    /// Whether work kept it good and no bake needs it: frozen or dried, or thawed with its block and good beyond the plan's
    /// end.
    pub const fn is_unused(&self) -> bool {
        match self.fate {
            Fate::Frozen | Fate::Dried => true,
            Fate::Keeps => self.thawed,
            Fate::Spoils | Fate::OnlyFrozen | Fate::Unusable => false,
        }
    }
}

/// A promise that the plan does not keep in full.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Broken {
    /// Position of the lot.
    pub lot: usize,
    /// Position of the bake.
    pub bake: usize,
    /// What was promised.
    pub promised: Milligrams,
    /// What the plan gives.
    pub given: Milligrams,
}

/// The aims in their order, each by itself.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Aims {
    /// Dry grain that firm bakes lack of their minimum.
    pub short: Milligrams,
    /// Dry grain that was promised and is not given.
    pub promises: Milligrams,
    /// Dry grain that firm bakes lack of their minimum where their lots are wet.
    pub risk: Milligrams,
    /// Dry grain of firm bakes that is not yet shown cold.
    pub unshown: Milligrams,
    /// Work, lots and age, weighed.
    pub rest: f64,
    /// The largest shortfall of a firm bake below what it wants, as a part of that, and the sum of all.
    pub firm_under: [f64; 2],
    /// Optional bakes that are baked, and all of them.
    pub optional: [usize; 2],
    /// Dry grain that spoils.
    pub spoiled: Milligrams,
    /// The largest distance of a bake from what it wants, as a part of that, and the sum of all.
    pub uneven: [f64; 2],
    /// Dry grain preserved that no bake takes, the rests of thawed blocks that keep included.
    pub preserved_unused: Milligrams,
    /// Wet grain frozen.
    pub frozen_wet: Milligrams,
    /// Wet grain dried.
    pub dried_wet: Milligrams,
    /// What freezing and drying cost.
    pub work_cost: f64,
    /// Worth of the spoiled grain, where it is known.
    pub spoiled_cost: Option<f64>,
    /// Dry grain above or below what bakes want.
    pub distance: Milligrams,
    /// Lots of all bakes.
    pub lots: usize,
    /// Hours before it is past at which a kilogram of dry grain is used, on average; nothing where none of
    /// it has a date.
    pub hours_left: Option<f64>,
}

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Nothing is better.
    Optimal,
    /// The search ended with a gap.
    WithinGap,
    /// Somebody stopped it.
    Stopped,
}

impl Status {
    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Optimal => "optimal",
            Self::WithinGap => "within-gap",
            Self::Stopped => "stopped",
        }
    }
}

/// How good a plan is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proof {
    /// How the search ended.
    pub status: Status,
    /// The first aim, in their order, that is not proven.
    pub unproven: Option<Aim>,
    /// At most this part of it could be saved while the aims before it stay as good.
    pub gap: f64,
    /// Dry grain that firm bakes lack: at most so much less is possible.
    pub short_gap: Milligrams,
    /// Dry grain that spoils: at most so much less is possible while the aims before it stay as good.
    pub spoiled_gap: Milligrams,
}
