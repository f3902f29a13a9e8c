//! A plan before it is brought to the scale: kilograms of dry grain, not yet whole grams.

use super::windows::State;

/// Who gets how much of what, in kilograms of dry grain.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// What goes into bakes.
    pub draws: Vec<DraftDraw>,
    /// For each lot, what is frozen and no bake takes.
    pub frozen_unused: Vec<f64>,
    /// For each lot, what is dried and no bake takes.
    pub dried_unused: Vec<f64>,
    /// For each bake, whether it is baked.
    pub happens: Vec<bool>,
}

/// One amount of one lot for one bake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DraftDraw {
    /// Position of the lot.
    pub lot: usize,
    /// Position of the bake.
    pub bake: usize,
    /// In which state it goes in.
    pub state: State,
    /// Kilograms of dry grain.
    pub dry: f64,
}

impl Draft {
    /// Nothing into any bake; only firm bakes happen.
    pub fn empty(lots: usize, firm: impl Iterator<Item = bool>) -> Self {
        Self {
            draws: Vec::new(),
            frozen_unused: vec![0.0; lots],
            dried_unused: vec![0.0; lots],
            happens: firm.collect(),
        }
    }

    /// What a bake gets of a lot.
    pub fn given(&self, lot: usize, bake: usize) -> f64 {
        self.draws
            .iter()
            .filter(|draw| draw.lot == lot && draw.bake == bake)
            .map(|draw| draw.dry)
            .sum()
    }

    /// What a bake gets.
    pub fn got(&self, bake: usize) -> f64 {
        self.draws
            .iter()
            .filter(|draw| draw.bake == bake)
            .map(|draw| draw.dry)
            .sum()
    }

    /// What is taken of a lot, for bakes and to keep.
    pub fn taken(&self, lot: usize) -> f64 {
        let drawn: f64 = self
            .draws
            .iter()
            .filter(|draw| draw.lot == lot)
            .map(|draw| draw.dry)
            .sum();
        drawn + self.frozen_unused[lot] + self.dried_unused[lot]
    }
}
