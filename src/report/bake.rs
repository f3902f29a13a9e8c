//! The answer about a bake: when what happens, how much grain it takes, what its lots are by then.

use super::promise::{LostGrain, PromisedGrain};
use super::{Caution, LotAnswer};
use crate::dough::batch::{self, Size};
use crate::dough::formula::{Formula, StageKind, StepKind};
use crate::dough::timetable::{self, Event, EventKind, Timetable};
use crate::ledger::{BakeRecord, BakeSetting};
use crate::quantity::{Instant, Problem};
use chrono::{Duration, DurationRound, NaiveTime};
use uom::si::f64::Mass;

/// A bake with what follows from it.
#[derive(Debug, Clone)]
pub struct BakeAnswer {
    /// The bake.
    pub bake: BakeRecord,
    /// When what happens in it, and how much grain it takes.
    pub needs: BakeNeeds,
    /// The lots it is to be made of, or was made of, as they are when it is mixed.
    pub lots: Vec<LotAnswer>,
    /// What the accepted plan promised to it.
    pub promised: Vec<PromisedGrain>,
    /// What of that may not be used when it weighs it out.
    pub lost: Vec<LostGrain>,
    /// Whether the accepted plan leaves it out.
    pub is_left_out: bool,
    /// The hours that the book calls night.
    pub night: Option<(NaiveTime, NaiveTime)>,
}

/// When what happens in a bake, and how much grain it takes.
#[derive(Debug, Clone)]
pub struct BakeNeeds {
    /// Its dough.
    pub formula: Formula,
    /// When what happens.
    pub timetable: Timetable,
    /// Dry grain it takes at least.
    pub dry_lowest: Mass,
    /// Dry grain wanted.
    pub dry_wanted: Mass,
    /// Dry grain it takes at most.
    pub dry_highest: Mass,
}

/// A stage that is made after its time: the dough waits for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MadeLate {
    /// Its position in the formula.
    pub stage: usize,
    /// When it was to be made.
    pub was_due: Instant,
    /// How long it has to stand.
    pub stands: Duration,
    /// The earliest mixing if it is made now, in whole minutes.
    pub mix_at: Instant,
}

impl BakeAnswer {
    /// The cautions that belong beside it.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::DateIsARule, Caution::Gluten];
        if self.lots.iter().any(|lot| lot.may_scald) {
            cautions.push(Caution::HotGrain);
        }
        if !self
            .lots
            .iter()
            .all(|lot| lot.keeping.verdict.may_be_used())
        {
            cautions.push(Caution::BakingRescuesNothing);
        }
        let grists = self.lots.iter().map(|lot| lot.lot.allergens());
        let allergens = grists.chain([self.needs.formula.allergens()]).collect();
        cautions.extend(Caution::of_allergens(allergens));
        if self.bake.setting.free_of.is_some() {
            cautions.push(Caution::CrossContact);
        }
        cautions.sort_unstable();
        cautions
    }
}

impl BakeNeeds {
    /// Works them out.
    pub fn of(setting: &BakeSetting) -> Result<Self, Problem> {
        let formula = setting.formula.formula()?;
        let timetable = timetable::work_out(&formula, setting.point, setting.at)?;
        let dry = |share| dry_grain(&formula, setting.size(), share);
        let (lowest, highest) = match setting.share {
            // A share that was asked for by itself is what the bake gets.
            Some(share) => (share, share),
            None => (formula.grain.lowest, formula.grain.highest),
        };
        Ok(Self {
            dry_lowest: dry(lowest)?,
            dry_wanted: dry(setting.share_of(&formula))?,
            dry_highest: dry(highest)?,
            formula,
            timetable,
        })
    }
}

impl BakeNeeds {
    /// When its grain is weighed out: not after the mixing, and before it where it goes into an earlier stage.
    pub fn grain_at(&self) -> Instant {
        let stage = EventKind::Stage(self.formula.grain.stage);
        let mut events = self.timetable.events.iter();
        let mix_at = self.timetable.mix_at;
        let first = events.find(|event| event.what == stage);
        first.map_or(mix_at, |event| event.from.min(mix_at))
    }

    /// What follows of a stage that should be standing by now, as far as anybody wrote down.
    pub fn made_late(&self, event: &Event, now: Instant) -> Option<MadeLate> {
        let EventKind::Stage(stage) = event.what else {
            return None;
        };
        let stands = self.formula.stages[stage].ripens?;
        let ready = now + stands;
        (event.from < now).then(|| MadeLate {
            stage,
            was_due: event.from,
            stands,
            mix_at: ready
                .duration_round_up(Duration::minutes(1))
                .unwrap_or(ready),
        })
    }

    /// Of the stages that should be standing by now the one that makes the dough wait longest.
    pub fn waits_longest_for(&self, now: Instant) -> Option<MadeLate> {
        let events = self.timetable.events.iter();
        let late = events.filter_map(|event| self.made_late(event, now));
        late.max_by_key(|late| late.mix_at)
    }

    /// Whether the final dough is begun with an event: with its first step, or where mixing is no step, with its stage.
    pub fn mixes(&self, event: &Event) -> bool {
        match event.what {
            EventKind::Stage(stage) => self.formula.stages[stage].kind == StageKind::Final,
            EventKind::Step(step) => step == 0 && self.formula.steps[0].kind == StepKind::Mix,
        }
    }
}

impl BakeAnswer {
    /// Works a bake out. Its lots are left out, which only the keeping clock knows of, and what is promised to it.
    pub fn of(bake: BakeRecord) -> Result<Self, Problem> {
        Ok(Self {
            needs: BakeNeeds::of(&bake.setting)?,
            lots: Vec::new(),
            promised: Vec::new(),
            lost: Vec::new(),
            is_left_out: false,
            night: None,
            bake,
        })
    }

    /// Whether it should have been mixed by now and nobody wrote down what became of it.
    pub fn is_overdue(&self, now: Instant) -> bool {
        self.bake.end.is_none() && self.needs.timetable.mix_at < now
    }
}

fn dry_grain(formula: &Formula, size: Size, share: f64) -> Result<Mass, Problem> {
    batch::dry_grain_wanted(formula, size, share)
        .ok_or_else(|| Problem::new("a bake is so many pieces, not so much grain"))
}
