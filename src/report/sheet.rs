//! The answer to `sheet`: everything that stands on one page over the bench.

use super::Caution;
use crate::dough::batch::Batch;
use crate::dough::batch::warmth::Warmth;
use crate::dough::doneness::Core;
use crate::dough::formula::Formula;
use crate::dough::thirst::ThirstRule;
use crate::dough::timetable::{EventKind, Timetable};
use crate::grain::moisture_test::Unfinished;
use crate::grain::{Allergens, Form, LotCode};
use crate::keeping::{SpoiledPart, Verdict};
use crate::planning::condition::Condition;
use crate::quantity::{Instant, Milligrams, Temperature};
use chrono::NaiveTime;
use uom::si::f64::Mass;

/// One bake as the bench needs it.
#[derive(Debug, Clone)]
pub struct SheetAnswer {
    /// Code of the bake.
    pub bake: String,
    /// The dough.
    pub formula: Formula,
    /// Version of the formula.
    pub version: u32,
    /// How many pieces.
    pub pieces: u32,
    /// Raw weight of one.
    pub piece: Mass,
    /// Allergens other than gluten that the formula and the grists name.
    pub allergens: Allergens,
    /// A cereal or another allergen that must not be in its grain.
    pub free_of: Option<String>,
    /// Whether somebody counts on it.
    pub firm: bool,
    /// Whether the accepted plan leaves it out.
    pub is_left_out: bool,
    /// What was noted about it.
    pub note: Option<String>,
    /// Name of the book.
    pub book: String,
    /// What to weigh.
    pub batch: Batch,
    /// The grain that goes in; empty where no lot is chosen yet.
    pub draws: Vec<SheetDraw>,
    /// The fridge in which grain thaws, where one is cold enough.
    pub fridge: Option<String>,
    /// Whether more lots go in than the bake may be made of: they are parts of lots that its plan named, and count as
    /// those once they are put together.
    pub put_together: bool,
    /// Dry grain that the lots hold too little of.
    pub short: Mass,
    /// Where the moisture comes from.
    pub moisture_from: String,
    /// Samples of its lots that are still drying.
    pub drying: Vec<(LotCode, Unfinished)>,
    /// The standard uncertainty of it.
    pub moisture_standard: f64,
    /// What was asked for of the thirst of the grain.
    pub thirst: ThirstRule,
    /// The smallest step of the scale that it was asked for; nothing for that of the house.
    pub scale: Option<Milligrams>,
    /// Temperatures of what goes in that were asked with, by field; without one that it comes from the freezer.
    pub given: Vec<(&'static str, Option<Temperature>)>,
    /// Fields of the temperatures without which no water temperature is worked out.
    pub missing: Vec<&'static str>,
    /// The water temperature; nothing where it was not asked for.
    pub warmth: Option<Warmth>,
    /// What happens when.
    pub timetable: Timetable,
    /// The hours that the book calls night.
    pub night: Option<(NaiveTime, NaiveTime)>,
    /// What a thermometer tells at the bakery's altitude.
    pub core: Core,
    /// When the sheet was made.
    pub printed_at: Instant,
}

/// What the plan of a bake still has to do with grain before it may go in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StillTo {
    /// Freeze it by then.
    Freeze(Instant),
    /// Start drying so much wet grain by then.
    Dry(Instant, Milligrams),
    /// It was dried: show by then that it is dry.
    ShowDry(Instant),
}

/// Grain from one lot.
#[derive(Debug, Clone)]
pub struct SheetDraw {
    /// Code of the lot.
    pub lot: String,
    /// Wet grain to take from it.
    pub wet: Mass,
    /// Whether it may go in, at the moment at which it does, by what is known of it now.
    pub verdict: Verdict,
    /// What has to be shown in time for it to go in all the same; nothing where it is good without, or where that is too late.
    pub conditions: Vec<Condition>,
    /// Until when it may.
    pub keep_until: Option<Instant>,
    /// Where it is.
    pub place: Option<String>,
    /// What its plan still has to do with it for the bake, where it may go in only then. Of grain that is still to be dried
    /// mass and form are those of the dried grain.
    pub still_to: Option<StillTo>,
    /// By when it comes out of the freezer in which it lies, or into which it is to go.
    pub thaw_by: Option<Instant>,
    /// After this it is not thawed in time; nothing where it does not have to be.
    pub thaw_latest: Option<Instant>,
    /// It lies in a freezer and has no day left once it is thawed in time.
    pub only_frozen: bool,
    /// The last part of it, or of what it was made of, that was thrown away as spoiled, or the finding of spoilage there since.
    pub spoiled_part: Option<SpoiledPart>,
    /// Its form.
    pub form: Form,
    /// Whether it may be hot when it goes in.
    pub may_scald: bool,
}

impl SheetAnswer {
    /// When a stage is put together.
    pub fn stage_at(&self, stage: usize) -> Instant {
        self.timetable
            .events
            .iter()
            .find(|event| event.what == EventKind::Stage(stage))
            .map_or(self.timetable.mix_at, |event| event.from)
    }

    /// Whether a lot may go in when the stage that takes the grain is put together.
    pub fn may_be_used(&self, draw: &SheetDraw) -> bool {
        let goes_in_at = self.stage_at(self.formula.grain.stage);
        draw.verdict.may_be_used() && draw.keep_until.is_none_or(|until| goes_in_at <= until)
    }

    /// Whether a lot lies in a freezer by the book, too late to thaw for this bake.
    pub fn is_not_thawed(&self, draw: &SheetDraw) -> bool {
        draw.thaw_latest
            .is_some_and(|latest| latest < self.printed_at)
    }

    /// What has to be shown in time of the lots: lot and condition, the first to be shown first.
    pub fn conditions(&self) -> Vec<(&str, &Condition)> {
        let mut conditions: Vec<(&str, &Condition)> = Vec::new();
        for draw in &self.draws {
            conditions.extend(draw.conditions.iter().map(|one| (draw.lot.as_str(), one)));
        }
        conditions.sort_by_key(|(lot, condition)| (condition.by, *lot));
        // A lot may go in as it lies and dried.
        conditions.dedup();
        conditions
    }

    /// The cautions that belong on the page.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::DateIsARule, Caution::Gluten, Caution::RawDough];
        if !self.draws.iter().all(|draw| self.may_be_used(draw)) {
            cautions.push(Caution::BakingRescuesNothing);
        }
        if self.draws.iter().any(|draw| draw.form.is_dry()) {
            cautions.push(Caution::Dust);
        }
        if self.draws.iter().any(|draw| draw.may_scald) {
            cautions.push(Caution::HotGrain);
        }
        cautions.extend(Caution::of_allergens(self.allergens));
        if self.free_of.is_some() {
            cautions.push(Caution::CrossContact);
        }
        cautions.sort_unstable();
        cautions
    }
}
