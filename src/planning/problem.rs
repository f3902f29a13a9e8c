//! What is to be planned: lots on hand, bakes in the book, what freezer and dryer take, what work costs.
//!
//! Plain values that somebody else gathered. Masses are whole milligrams, moments are UTC.

use super::condition::Condition;
use super::places::Places;
use crate::dough::formula::Colour;
use crate::dough::house::Work;
use crate::grain::{Form, Grist, clipped, possible_range};
use crate::keeping::{History, PlaceKind, RuleSet};
use crate::quantity::{Instant, Milligrams, Temperature, Uncertain, Zone};
use chrono::{Duration, NaiveDate, NaiveTime};

/// Everything that one plan is made from.
#[derive(Debug, Clone)]
pub struct Situation {
    /// From when on.
    pub now: Instant,
    /// Until when: bakes mixed later are not looked at, grain that keeps beyond it does not count as spoiled.
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
    /// What happened to it: one history, or of joined grain one for each lot that went in; as if it were shown cold
    /// in time, where it can be.
    pub histories: Vec<History>,
    /// What has to be shown for that.
    pub conditions: Vec<Condition>,
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
    /// How long before it is needed it goes from the freezer into the fridge.
    pub thaw_lead: Duration,
}

/// How much water a dough takes with its grain: what the grain weighs beyond the flour that its dry grain counts as.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterRoom {
    /// At most so much.
    pub most: Milligrams,
    /// Flour that a part of dry grain counts as, with the water that flour holds by itself.
    pub flour_per_dry: f64,
}

impl WaterRoom {
    /// Water that comes with so much wet grain, which holds so much dry grain.
    pub fn water(self, wet: f64, dry: f64) -> f64 {
        wet - dry * self.flour_per_dry
    }
}

/// A bake to come.
#[derive(Debug, Clone, PartialEq)]
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
    /// How much water it takes with its grain, where that is known.
    pub water: Option<WaterRoom>,
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

/// What can be handled.
#[derive(Debug, Clone)]
pub struct Capacity {
    /// Wet grain that the freezers take together, without those that hold more than they take; without a figure they take all.
    pub freezer: Option<Milligrams>,
    /// Whether there is a freezer in which anything may be frozen.
    pub has_freezer: bool,
    /// Whether there is a fridge that holds grain cold. Without one nothing is thawed.
    pub has_fridge: bool,
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
    /// The chance with which a bake may turn out below its minimum, where there is grain for less.
    pub risk: f64,
    /// How long before it is needed grain goes from the freezer into the fridge, where nothing else is known of it.
    pub thaw_lead: Duration,
    /// The freezers and fridges, where they are known by name.
    pub places: Places,
    /// Names of the freezers that hold more than they take: nothing goes into them, and what comes out makes no room.
    pub overfull: Vec<String>,
    /// Temperature in the dryer.
    pub dryer_at: Temperature,
    /// Temperature of the freezer.
    pub freezer_at: Temperature,
    /// Temperature of the fridge.
    pub fridge_at: Temperature,
    /// Until when in the evening somebody works.
    pub evening: NaiveTime,
    /// Days on which nobody freezes, dries or thaws, those soon after the plan among them.
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
    /// How much of preserved grain that no bake takes counts as spoiled where several weeks are averaged: ½ is half
    /// saved.
    pub unused_counts: f64,
    /// Even doughs come before grain saved.
    pub even_first: bool,
}

impl Situation {
    /// Whether anything may be frozen at all: there is a freezer that does not hold more than it takes. One that is full to
    /// the gram has room once something comes out of it.
    pub fn may_freeze(&self) -> bool {
        self.capacity.has_freezer && self.room_now().is_none_or(|room| room >= 0)
    }

    /// Whether the freezers hold as much as they take, or more, to a step of the scale.
    pub fn are_freezers_full(&self) -> bool {
        let is_full = |room: i64| room < self.capacity.step.get();
        if self.capacity.has_freezer {
            self.room_now().is_some_and(is_full)
        } else {
            !self.capacity.overfull.is_empty()
        }
    }

    /// Whether a lot that lies in a freezer lies in one that grain may be frozen in, so that it takes room there: not in one
    /// that is too warm, closed or overfull.
    pub fn takes_room(&self, lot: &Lot) -> bool {
        let Capacity {
            places, overfull, ..
        } = &self.capacity;
        let mut freezers = places.freezers.iter();
        let is_known = freezers.any(|place| place.name == lot.place);
        places.freezers.is_empty() || is_known && !overfull.contains(&lot.place)
    }

    /// Milligrams that the freezers take now beside what they hold; less than nothing where they hold more.
    fn room_now(&self) -> Option<i64> {
        let in_freezers = self
            .lots
            .iter()
            .filter(|lot| lot.place_kind == PlaceKind::Freezer && self.takes_room(lot));
        let held: i64 = in_freezers.map(|lot| lot.wet.get()).sum();
        Some(self.capacity.freezer?.get() - held)
    }
}

/// A freezer or fridge that holds grain frozen or cold.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Its name.
    pub name: String,
    /// How warm it is stated to be.
    pub at: Temperature,
    /// Wet grain that it takes; without a figure it takes all.
    pub takes: Option<Milligrams>,
}

impl Capacity {
    /// With these freezers and fridges, which hold so many milligrams by name: what they take together, as warm as the
    /// warmest of each. A freezer that holds more than it takes leaves what is over in it: nothing is planned into it.
    #[must_use]
    pub fn with_places(self, places: Places, held: impl Fn(&str) -> i64) -> Self {
        let is_overfull = |place: &&Place| {
            let takes = place.takes.map(Milligrams::get);
            takes.is_some_and(|takes| held(&place.name) > takes)
        };
        let freezers = places.freezers.iter().filter(|_| self.has_freezer);
        let (overfull, open): (Vec<&Place>, Vec<&Place>) = freezers.partition(is_overfull);
        // One of them without a figure takes all there is.
        let takes: Option<Vec<i64>> = open
            .iter()
            .map(|place| place.takes.map(Milligrams::get))
            .collect();
        let warmest = |places: &[Place], otherwise: Temperature| {
            let all = places.iter().map(|place| place.at);
            let warmest = all.max_by_key(|at| at.milli_celsius());
            warmest.unwrap_or(otherwise)
        };
        Self {
            freezer: takes.map(|takes| Milligrams::new(takes.iter().sum())),
            has_freezer: !open.is_empty(),
            has_fridge: !places.fridges.is_empty(),
            freezer_at: warmest(&places.freezers, self.freezer_at),
            fridge_at: warmest(&places.fridges, self.fridge_at),
            overfull: overfull
                .into_iter()
                .map(|place| place.name.clone())
                .collect(),
            places,
            ..self
        }
    }

    /// Of a house that works like this, with freezers that take everything; `days` are those of the plan and later.
    pub fn of(work: &Work, days: impl Iterator<Item = NaiveDate>) -> Self {
        Self {
            freezer: None,
            has_freezer: work.has_freezer,
            has_fridge: true,
            dryer_water: work.dryer_water.unwrap_or(Milligrams::ZERO),
            drying: work.drying,
            dried_moisture: work.dried_moisture,
            portion: work.portion,
            step: work.step,
            risk: work.risk,
            thaw_lead: work.thaw.lead(),
            places: Places::default(),
            overfull: Vec::new(),
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
            even_first: work.even_first,
        }
    }
}

impl Lot {
    /// Dry ÷ wet as it is planned with: at the estimate, or at the wet end of the moisture's range.
    pub fn dry_fraction(&self, careful: bool) -> f64 {
        let moisture = if careful {
            possible_range(&self.moisture).1
        } else {
            clipped(self.moisture.value)
        };
        moisture.dry_fraction().get()
    }

    /// What part of its planned dry grain is there where it is as wet as it is with the chance of a shortfall: all of
    /// it in a careful plan, which counts on the wet end alone.
    pub fn wet_end(&self, situation: &Situation) -> f64 {
        if situation.careful {
            return 1.0;
        }
        let moisture = self.moisture.quantile(1.0 - situation.capacity.risk);
        let there = clipped(moisture).dry_fraction().get();
        (there / self.dry_fraction(situation.careful)).min(1.0)
    }

    /// Dry grain of a wet amount, to the milligram.
    pub fn dry(&self, wet: Milligrams, careful: bool) -> Milligrams {
        Milligrams::new((wet.get() as f64 * self.dry_fraction(careful)).round() as i64)
    }
}
