//! The answer to `bake advise`: which change to the bakes leaves less grain over or fills bakes that are short, and which lot is
//! worth a test.

use super::Caution;
use super::plan::{PlanGround, cautions_of_what_is_left};
use crate::dough::bake_code::BakeCode;
use crate::dough::timetable::Point;
use crate::planning::advise::worth::Tested;
use crate::planning::advise::{Advised, wasted};
use crate::planning::plan::Plan;
use crate::quantity::{Instant, Milligrams};

/// What is left over, and what may be done about it.
#[derive(Debug, Clone)]
pub struct AdviseAnswer {
    /// Bakes and lots.
    pub ground: PlanGround,
    /// The plan as things stand.
    pub plan: Plan,
    /// What was looked at.
    pub changes: Vec<Change>,
    /// What came of it.
    pub advised: Advised,
    /// Tests of lots that are worth the oven.
    pub tested: Tested,
    /// Bakes that take as much of what is left over as their formula allows.
    pub at_most: Vec<usize>,
}

/// A change to the bakes.
#[derive(Debug, Clone)]
pub struct Change {
    /// What is changed.
    pub what: ChangeKind,
    /// The formula.
    pub formula: String,
    /// When its dough is mixed.
    pub mix_at: Instant,
    /// How many pieces it would be.
    pub pieces: u32,
    /// Dough that it makes more.
    pub more_dough: Milligrams,
}

/// Ways to change the bakes.
#[derive(Debug, Clone)]
pub enum ChangeKind {
    /// More pieces of a bake.
    Pieces {
        /// The bake.
        bake: BakeCode,
        /// How many it is now.
        before: u32,
    },
    /// A greater share of grain in a bake.
    Share {
        /// The bake.
        bake: BakeCode,
        /// What it is now.
        before: f64,
        /// What it would be.
        share: f64,
    },
    /// A bake of more lots than it may be made of now.
    Blend {
        /// The bake.
        bake: BakeCode,
        /// Of how many lots it may be made now.
        before: u32,
        /// Of how many it could be.
        lots: u32,
    },
    /// A further bake, baked if there is grain for it.
    Add {
        /// When.
        at: Instant,
        /// What happens then.
        point: Point,
    },
}

impl ChangeKind {
    /// The word for it in files.
    pub const fn as_key(&self) -> &'static str {
        match self {
            Self::Pieces { .. } => "pieces",
            Self::Share { .. } => "share",
            Self::Blend { .. } => "blend",
            Self::Add { .. } => "add",
        }
    }

    /// The bake that is changed.
    pub const fn bake(&self) -> Option<&BakeCode> {
        match self {
            Self::Pieces { bake, .. } | Self::Share { bake, .. } | Self::Blend { bake, .. } => {
                Some(bake)
            }
            Self::Add { .. } => None,
        }
    }
}

/// How many changes are told at most.
pub const TOLD: usize = 5;

impl AdviseAnswer {
    /// Keeps the best of the changes that differ in nothing but how many pieces or how great a share.
    pub fn with_the_best_of_each(mut self) -> Self {
        let mut seen: Vec<(&'static str, Option<BakeCode>, String)> = Vec::new();
        let changes = &self.changes;
        self.advised.advice.retain(|advice| {
            let change = &changes[advice.candidate];
            let bake = change.what.bake().copied();
            let known = (change.what.as_key(), bake, change.formula.clone());
            let is_new = !seen.contains(&known);
            if is_new {
                seen.push(known);
            }
            is_new
        });
        self
    }

    /// Whether nothing spoils and nothing is preserved for nothing.
    pub fn is_all_used(&self) -> bool {
        wasted(&self.ground.situation, &self.plan)
            .iter()
            .all(|dry| *dry == Milligrams::ZERO)
    }

    /// The cautions that belong beside it.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = cautions_of_what_is_left(&self.plan);
        cautions.sort_unstable();
        cautions
    }
}
