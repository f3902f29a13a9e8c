//! Whether the shares of a formula close, and what a baker should be told of it.

use super::{Formula, Stage, StageKind};
use crate::dough::hold_back::ACCEPTED_SHARE;
use crate::quantity::Problem;
use crate::quantity::text::percent;

/// Shares are typed with a decimal or two; this much may be left over.
const TOLERANCE: f64 = 0.0005;

impl Formula {
    /// Refuses shares that do not close and stages that take more than there is.
    pub(super) fn check(&self) -> Result<(), Problem> {
        let grain = &self.grain;
        if !(grain.lowest <= grain.wanted && grain.wanted <= grain.highest) {
            return Err(Problem::new(format!(
                "grain shares do not stand in order: lowest {}, wanted {}, highest {}",
                percent(grain.lowest),
                percent(grain.wanted),
                percent(grain.highest)
            )));
        }
        let flours: f64 = self.flours.iter().map(|flour| flour.share).sum();
        if (flours + grain.wanted - 1.0).abs() > TOLERANCE {
            return Err(Problem::new(format!(
                "flours make {} and the wanted grain {}: together {}, not 100 %",
                percent(flours),
                percent(grain.wanted),
                percent(flours + grain.wanted)
            ))
            .hint("dry grain counts as flour: flours and grain together are 100 %"));
        }
        self.check_flour()?;
        self.check_water()
    }

    /// Refuses a preferment that does not say how long it ripens: a bake would make it with the dough.
    pub fn refuse_untimed(&self) -> Result<(), Problem> {
        let untimed =
            |stage: &&Stage| stage.kind == StageKind::Preferment && stage.ripens.is_none();
        match self.stages.iter().find(untimed) {
            None => Ok(()),
            Some(stage) => Err(Problem::new(format!(
                "formula `{}`: preferment `{}` does not say how long it ripens",
                self.name, stage.name
            ))
            .hint("write it into that stage of the file, such as ripens = \"12h\"")),
        }
    }

    /// Scales the flours so that they close exactly: typed shares may leave [`TOLERANCE`] over, which would
    /// be missing from the flour of every batch.
    pub(super) fn close(&mut self) {
        let typed: f64 = self.flours.iter().map(|flour| flour.share).sum();
        for flour in self.flours.iter_mut().filter(|_| typed > 0.0) {
            flour.share *= (1.0 - self.grain.wanted) / typed;
        }
    }

    /// Flour of the bag that a flour gives at a grain share, ÷ total flour.
    pub fn flour_at(&self, flour: usize, grain_share: f64) -> f64 {
        self.flours[flour].share * (1.0 - grain_share) / (1.0 - self.grain.wanted)
    }

    fn check_flour(&self) -> Result<(), Problem> {
        for (position, stage) in self.stages.iter().enumerate() {
            if position == self.grain.stage
                && stage.kind != StageKind::Final
                && stage.flour < self.grain.highest - TOLERANCE
            {
                return Err(Problem::new(format!(
                    "stage `{}` has {} of the flour, less than the {} that the grain may be",
                    stage.name,
                    percent(stage.flour),
                    percent(self.grain.highest)
                )));
            }
        }
        // What is taken and what is there are both straight lines in the grain share.
        self.check_flour_at(self.grain.lowest)?;
        self.check_flour_at(self.grain.highest)
    }

    /// Whether there is flour for all stages where the grain is so small a part of it.
    pub fn has_flour_at(&self, share: f64) -> bool {
        self.check_flour_at(share).is_ok()
    }

    fn check_flour_at(&self, share: f64) -> Result<(), Problem> {
        for (flour, named) in self.flours.iter().enumerate() {
            let taken: f64 = self
                .stages
                .iter()
                .enumerate()
                .filter(|(_, stage)| stage.of == Some(flour))
                .map(|(position, stage)| {
                    // The grain itself is part of the flour of the stage that takes it.
                    let grain = if position == self.grain.stage {
                        share
                    } else {
                        0.0
                    };
                    (stage.flour - grain).max(0.0)
                })
                .sum();
            let there = self.flour_at(flour, share);
            if taken > there + TOLERANCE {
                return Err(Problem::new(format!(
                    "stages take {} of `{}`, and there is {} of it where the grain is {}",
                    percent(taken),
                    named.name,
                    percent(there),
                    percent(share)
                )));
            }
        }
        Ok(())
    }

    fn check_water(&self) -> Result<(), Problem> {
        if let Some(last) = self.stages.last().filter(|last| last.water < -TOLERANCE) {
            return Err(Problem::new(format!(
                "stages take {} of water, and the dough has {}",
                percent(self.hydration - last.water),
                percent(self.hydration)
            )));
        }
        for (position, stage) in self.stages.iter().enumerate() {
            let brought: f64 = self
                .ingredients
                .iter()
                .filter(|found| found.stage == position)
                .map(|found| found.share * found.kind.water())
                .sum();
            if brought > stage.water + TOLERANCE {
                return Err(Problem::new(format!(
                    "fresh yeast brings {} of water into stage `{}`, which takes {}",
                    percent(brought),
                    stage.name,
                    percent(stage.water)
                )));
            }
        }
        Ok(())
    }

    /// What a baker should know of the formula, in plain sentences with their source.
    pub fn warnings(&self) -> Vec<String> {
        let mut warnings = Vec::new();
        if self.grain.highest > ACCEPTED_SHARE + TOLERANCE {
            warnings.push(format!(
                "grain may be {} of the flour: tasters accepted bread with up to {} dry grain (Prentice and D'Appolonia 1977; Waters and others 2012)",
                percent(self.grain.highest),
                percent(ACCEPTED_SHARE)
            ));
        }
        warnings
    }
}
