//! What a plan is for: the aims in their order, and how much each weighs where they are weighed.

use super::problem::{Costs, Situation};
use crate::quantity::Milligrams;

/// One aim. [`order`] says which comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Aim {
    /// Dry grain that firm bakes lack of their minimum.
    Short,
    /// Dry grain promised by the accepted plan and not given.
    Promises,
    /// Dry grain that firm bakes lack of their minimum where their lots turn out as wet as they may.
    Risk,
    /// The largest shortfall of a firm bake below what it wants, as a part of that.
    FirmWorst,
    /// The sum of these shortfalls.
    FirmUnder,
    /// Dry grain of firm bakes that is of lots which are not yet shown cold.
    Unshown,
    /// Optional bakes that are not baked: as few as can be, the earlier ones first.
    Optional,
    /// Dry grain that spoils.
    Spoiled,
    /// The largest distance of a bake from what it wants, as a part of that.
    Worst,
    /// The sum of these distances.
    Uneven,
    /// Dry grain frozen or dried that no bake takes.
    Unused,
    /// Work, lots and age, weighed.
    Rest,
}

impl Aim {
    /// Every aim, in the usual order.
    pub const ALL: [Self; 12] = [
        Self::Short,
        Self::Promises,
        Self::Risk,
        Self::FirmWorst,
        Self::FirmUnder,
        Self::Unshown,
        Self::Optional,
        Self::Spoiled,
        Self::Worst,
        Self::Uneven,
        Self::Unused,
        Self::Rest,
    ];

    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Short => "short",
            Self::Promises => "promises",
            Self::Risk => "risk",
            Self::FirmWorst => "firm-worst",
            Self::FirmUnder => "firm-under",
            Self::Unshown => "unshown",
            Self::Optional => "optional",
            Self::Spoiled => "spoiled",
            Self::Worst => "worst",
            Self::Uneven => "uneven",
            Self::Unused => "unused",
            Self::Rest => "rest",
        }
    }

    /// How much above its bound a value may be and still count as proven best: a step of the scale; of the weighed rest a lot
    /// weighed out, or a fiftieth where that is more.
    pub fn tolerance(self, situation: &Situation, value: f64) -> f64 {
        let step = situation.capacity.step.get() as f64 / 1e6;
        let wanted = situation.bakes.iter().map(|bake| bake.wanted);
        let largest = wanted.max().unwrap_or(Milligrams::ZERO).get() as f64 / 1e6;
        match self {
            Self::Short
            | Self::Promises
            | Self::Risk
            | Self::Unshown
            | Self::Spoiled
            | Self::Unused => step,
            Self::FirmWorst | Self::FirmUnder | Self::Worst | Self::Uneven => {
                step / largest.max(step)
            }
            Self::Optional => 1e-7,
            Self::Rest => REST.max(value.abs() / 50.0),
        }
    }
}

/// A lot weighed out.
const REST: f64 = super::model::EACH_LOT;

/// The aims in the order in which they count.
pub fn order(situation: &Situation) -> Vec<Aim> {
    let mut order = Aim::ALL;
    if situation.costs.even_first {
        // Even doughs before grain saved.
        order[7..10].rotate_left(1);
    }
    let is_shown = situation.lots.iter().all(|lot| lot.conditions.is_empty());
    let counts = |aim: &Aim| *aim != Aim::Unshown || !is_shown;
    order.into_iter().filter(counts).collect()
}

/// How much a unit of each aim costs in one program.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Weights {
    /// Of each aim, in the order of [`Aim::ALL`].
    pub aims: [f64; 12],
    /// Cost of each kilogram above or below what a bake wants.
    pub distance: f64,
}

impl Weights {
    /// One aim by itself.
    pub fn only(aim: Aim) -> Self {
        Self::default().with(aim, 1.0)
    }

    /// With another weight of one aim.
    #[must_use]
    pub fn with(mut self, aim: Aim, weight: f64) -> Self {
        self.aims[aim as usize] = weight;
        self
    }

    /// The weight of an aim.
    pub fn of(&self, aim: Aim) -> f64 {
        self.aims[aim as usize]
    }

    /// All of them as one sum, for questions about averages: what an amount to fetch comes to.
    pub fn weighed(costs: &Costs) -> Self {
        Self {
            distance: 0.5,
            ..Self::default()
        }
        .with(Aim::Short, 1000.0)
        .with(Aim::Promises, 100.0)
        .with(Aim::Spoiled, 10.0)
        .with(Aim::Unused, 10.0 * costs.unused_counts)
        .with(Aim::Rest, 1.0)
    }
}
