//! What is to be planned: lots on hand, bakes in the book, what freezer and dryer take, what work costs.
//!
//! Plain values that somebody else gathered. Masses are whole milligrams, moments are UTC.

use crate::dough::formula::Colour;
use crate::dough::house::Work;
use crate::grain::{Form, Grist};
use crate::keeping::{History, PlaceKind, RuleSet};
use crate::quantity::{Instant, Milligrams, Temperature, Uncertain, Zone};
use chrono::{Duration, NaiveDate, NaiveTime};

/// Everything that one plan is made from.
#[derive(Debug, Clone)]
pub struct Situation {
    /// From when on.
    pub now: Instant,
    /// Until when: bakes mixed later are not looked at, grain that keeps longer is not spoiled.
    pub end: Instant,
    /// The book's time zone, for days.
    pub zone: Zone,
    /// The book's keeping rules.
    pub rules: RuleSet,
    /// Lots on hand.
    pub lots: Vec<Lot>,
    /// Bakes to come.
    pub bakes: Vec<Bake>,
    /// Draws already promised.
    pub promised: Vec<PromisedDraw>,
    /// How hard promises hold.
    pub promises: PromiseRule,
    /// What can be handled.
    pub capacity: Capacity,
    /// What work costs and grain is worth.
    pub costs: Costs,
    /// Plans on the lower end of each lot's dry grain, not on the estimate.
    pub careful: bool,
}

/// A lot on hand.
#[derive(Debug, Clone)]
pub struct Lot {
    /// Its code.
    pub code: String,
    /// What is left.
    pub wet: Milligrams,
    /// Its moisture, wet basis.
    pub moisture: Uncertain,
    /// What happened to it: one history, or of joined grain one for each lot that went in.
    pub histories: Vec<History>,
    /// Its form.
    pub form: Form,
    /// Its colour, where the grist tells.
    pub colour: Option<Colour>,
    /// What it was mashed from, where known.
    pub grist: Option<Grist>,
    /// Name of the place it is in.
    pub place: String,
    /// Kind of that place.
    pub place_kind: PlaceKind,
}

/// A bake to come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bake {
    /// How the book calls it.
    pub code: String,
    /// When its dough is mixed: grain has to be in order until then.
    pub mix: Instant,
    /// When its grain is weighed out: not after the mixing, and before it where it goes into a soaker.
    pub grain_at: Instant,
    /// Least dry grain.
    pub lowest: Milligrams,
    /// Wanted dry grain.
    pub wanted: Milligrams,
    /// Most dry grain.
    pub highest: Milligrams,
    /// The form that it wants, if it matters.
    pub form: Option<Form>,
    /// The colour that it wants, if it matters.
    pub colour: Option<Colour>,
    /// Of how many lots it may be made at most.
    pub most_lots: Option<usize>,
    /// Codes of the only lots that it is to be made of; empty where any will do.
    pub only_of: Vec<String>,
    /// Cereals that must not be in it.
    pub free_of: Vec<String>,
    /// Promised to somebody, or baked only if there is grain for it.
    pub firm: bool,
}

/// A draw that an accepted plan promised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PromisedDraw {
    /// Position in [`Situation::lots`].
    pub lot: usize,
    /// Position in [`Situation::bakes`].
    pub bake: usize,
    /// Wet grain.
    pub wet: Milligrams,
}

/// How hard the promises of an accepted plan hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PromiseRule {
    /// Each stays as far as the lot and the bake still allow it.
    Stay,
    /// Each stays unless an aim would suffer.
    StayIfFree,
}

/// What can be handled.
#[derive(Debug, Clone)]
pub struct Capacity {
    /// Wet grain that the freezers take together; without a figure they take all.
    pub freezer: Option<Milligrams>,
    /// Wet grain that the fridges take together; without a figure they take all. Nothing is planned by it, but
    /// what would not go in is told.
    pub fridge: Option<Milligrams>,
    /// Whether there is a freezer at all.
    pub has_freezer: bool,
    /// Water that the dryer takes out in a day; nothing where there is no dryer.
    pub dryer_water: Milligrams,
    /// How long a dryer batch is warm.
    pub drying: Duration,
    /// Water left in dried grain, wet basis.
    pub dried_moisture: f64,
    /// The smallest amount of wet grain worth weighing out.
    pub portion: Milligrams,
    /// What the scale shows: every draw is a whole number of these.
    pub step: Milligrams,
    /// How long before mixing frozen grain goes into the fridge.
    pub thaw_lead: Duration,
    /// Temperature in the dryer.
    pub dryer_at: Temperature,
    /// Temperature of the freezer.
    pub freezer_at: Temperature,
    /// Temperature of the fridge.
    pub fridge_at: Temperature,
    /// Until when in the evening somebody works.
    pub evening: NaiveTime,
    /// Days on which nobody freezes, dries or thaws.
    pub hands_off: Vec<NaiveDate>,
}

/// What work costs and grain is worth, in the money of the book.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// For a kilogram of wet grain frozen.
    pub freezing_per_kg: f64,
    /// For a kilogram of water dried out.
    pub drying_per_kg: f64,
    /// What a kilogram of dry grain is worth, where somebody said so.
    pub dry_grain_per_kg: Option<f64>,
    /// How much of preserved grain that no bake takes counts as spoiled: ½ is half saved.
    pub unused_counts: f64,
}

impl Capacity {
    /// Of a house that works like this, with freezers that take everything; `days` are those of the plan.
    pub fn of(work: &Work, days: impl Iterator<Item = NaiveDate>) -> Self {
        Self {
            freezer: None,
            fridge: None,
            has_freezer: work.has_freezer,
            dryer_water: work.dryer_water.unwrap_or(Milligrams::ZERO),
            drying: work.drying,
            dried_moisture: work.dried_moisture,
            portion: work.portion,
            step: work.step,
            thaw_lead: work.thaw_lead,
            dryer_at: work.dryer_at,
            freezer_at: PlaceKind::Freezer.usual_temperature(),
            fridge_at: PlaceKind::Fridge.usual_temperature(),
            evening: work.evening,
            hands_off: days.filter(|day| work.is_free(*day)).collect(),
        }
    }
}

impl From<&Work> for Costs {
    fn from(work: &Work) -> Self {
        Self {
            freezing_per_kg: work.freezing_per_kg,
            drying_per_kg: work.drying_per_kg,
            dry_grain_per_kg: work.worth_per_kg,
            unused_counts: work.unused_counts,
        }
    }
}

impl Lot {
    /// Dry ÷ wet as it is planned with: at the estimate, or at the wet end of the moisture's range.
    pub fn dry_fraction(&self, careful: bool) -> f64 {
        let moisture = if careful {
            self.moisture.range().1
        } else {
            self.moisture.value
        };
        crate::grain::clipped(moisture).dry_fraction().get()
    }

    /// Dry grain of a wet amount, to the milligram.
    pub fn dry(&self, wet: Milligrams, careful: bool) -> Milligrams {
        Milligrams::new((wet.get() as f64 * self.dry_fraction(careful)).round() as i64)
    }
}
