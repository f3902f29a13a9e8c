//! The answer to `plan`: which lot into which bake, what to do by when, and how it differs from what was
//! promised.

use super::Caution;
use super::bake::BakeAnswer;
use super::moisture::MoistureAnswer;
use super::promise::CountedMoisture;
use super::shelf::ToPreserve;
use super::worth_a_test::NextBake;
use crate::dough::bake_code::BakeCode;
use crate::keeping::{Advice, History, assess_all};
use crate::ledger::LotRecord;
use crate::planning::Situation;
use crate::planning::condition::Condition;
use crate::planning::crowding::{Crowded, crowded};
use crate::planning::plan::{Action, Draw, Fate, Plan, PlannedBake, Work};
use crate::planning::problem::PromisedDraw;
use crate::planning::windows::{self, State, into_fridge};
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Milligrams, Temperature, Zone};
use chrono::NaiveDate;
use std::collections::BTreeMap;

mod changes;
mod cold_dough;
mod shares;

use changes::changes;
pub use changes::{Change, Moved, all_lost};
pub use cold_dough::ColdDough;
pub use shares::Share;
use shares::shares;

/// What a plan is made from, with the records of the book behind it.
#[derive(Debug, Clone)]
pub struct PlanGround {
    /// What the planner is given.
    pub situation: Situation,
    /// The lots, in its order.
    pub lots: Vec<LotRecord>,
    /// What is known of each lot's moisture, in the same order.
    pub moistures: Vec<MoistureAnswer>,
    /// The bakes, in its order.
    pub bakes: Vec<BakeAnswer>,
    /// Bakes that should have been mixed by now, of which nobody wrote down what became of them.
    pub overdue: Vec<BakeCode>,
    /// Bakes that are mixed after the last day of the plan.
    pub later: usize,
    /// Bakes after the days asked for that hold promised grain, by time: the plan goes on to the last of them.
    pub beyond: Vec<BakeCode>,
    /// When a plan was accepted, if one was.
    pub accepted_at: Option<Instant>,
    /// What it promised to the bakes.
    pub promises: Vec<PromiseInPlan>,
    /// The last entry of the book that it was gathered from.
    pub last_entry: i64,
    /// Freezers and fridges that are too warm to hold grain frozen or cold.
    pub unfit_places: Vec<UnfitPlace>,
}

/// A freezer or fridge that a plan does not count on.
#[derive(Debug, Clone, PartialEq)]
pub struct UnfitPlace {
    /// Its name.
    pub name: String,
    /// How warm it is stated to be.
    pub at: Temperature,
    /// How warm it may be.
    pub limit: Limit,
}

/// Grain that the accepted plan promised to a bake.
#[derive(Debug, Clone)]
pub struct PromiseInPlan {
    /// Position of the bake.
    pub bake: usize,
    /// Position of the lot that holds it by now; nothing where none on hand does.
    pub lot: Option<usize>,
    /// The lot that was named.
    pub named: String,
    /// Wet grain, as the lot is now.
    pub wet: Milligrams,
    /// How much of it is not there any more.
    pub missing: Milligrams,
    /// Whether its moisture is known otherwise since, so that the wet mass is not the one that was promised.
    pub is_reweighed: bool,
    /// Its moisture, when the plan was accepted and now.
    pub moisture: Option<CountedMoisture>,
}

impl PromiseInPlan {
    /// As the planner is told of it: what is there for it. What is gone is nobody's.
    pub fn to_hold(&self) -> Option<PromisedDraw> {
        let wet = Milligrams::new(self.wet.get() - self.missing.get());
        let lot = self.lot.filter(|_| wet > Milligrams::ZERO)?;
        Some(PromisedDraw {
            lot,
            bake: self.bake,
            wet,
        })
    }
}

/// A plan and what belongs beside it.
#[derive(Debug, Clone)]
pub struct PlanAnswer {
    /// What it was made from.
    pub ground: PlanGround,
    /// The plan.
    pub plan: Plan,
    /// Where it differs from the accepted plan; nothing where there is none.
    pub changes: Option<Vec<Change>>,
    /// Whether it is accepted now.
    pub accepted: bool,
    /// When a fridge would first hold more than it takes.
    pub crowded: Option<Crowded>,
    /// For each action the bags that it is done in, each with the place that it goes into; none where its block comes out by an
    /// action before.
    shares: Vec<Vec<Share>>,
    /// What the accepted plan wanted frozen or dried by now and is not.
    pub late: Vec<ToPreserve>,
    /// Doughs whose grain is so cold that no water allowed warms them enough; none where too little is known.
    pub cold_doughs: Vec<ColdDough>,
}

/// A lot whose test would tell more exactly how much dry grain the bakes get.
#[derive(Debug, Clone)]
pub struct WorthATest {
    /// Position of the lot.
    pub lot: usize,
    /// Dry grain of it that goes into bakes, by what is likely.
    pub dry: Milligrams,
    /// By how much that may be more or less: half its 95 % range.
    pub uncertain: Milligrams,
    /// The same after one more test.
    pub after: Milligrams,
    /// The first bake that takes the lot.
    pub next: NextBake,
}

impl WorthATest {
    /// By how many kilograms less water is held back after a test.
    fn less_held(&self) -> f64 {
        (self.next.held_now - self.next.held_after).value
    }
}

impl PlanAnswer {
    /// A plan with what it changes.
    pub fn new(ground: PlanGround, plan: Plan) -> Self {
        let changes = ground.accepted_at.map(|_| changes(&ground, &plan.bakes));
        let shares = shares(&ground.situation, &plan);
        // What is thawed goes into one place, and a block by the first of its actions.
        let into: Vec<Option<&str>> = shares
            .iter()
            .map(|shares| shares.first().and_then(|share| share.place.as_deref()))
            .collect();
        let crowded = crowded(&ground.situation, &plan, &into);
        Self {
            crowded,
            shares,
            ground,
            plan,
            changes,
            accepted: false,
            late: Vec::new(),
            cold_doughs: Vec::new(),
        }
    }

    /// What the plan counts on: lot, what has to be shown, and the bakes that weigh grain of the lot out after the
    /// moment from which on it may have to be shown. A lot that is used up by then has none, nor has one that is given away
    /// as a whole.
    pub fn conditions(&self) -> Vec<(usize, Condition, Vec<usize>)> {
        let mut conditions = Vec::new();
        for (index, lot) in self.ground.situation.lots.iter().enumerate() {
            let mut left = self.plan.left.iter().filter(|left| left.lot == index);
            let is_left = left.any(|left| left.wet != lot.wet || left.fate != Fate::Spoils);
            for condition in &lot.conditions {
                let bakes = self.weigh_out(index, condition.needed_after);
                if is_left || !bakes.is_empty() {
                    conditions.push((index, *condition, bakes));
                }
            }
        }
        conditions.sort_by_key(|(lot, condition, _)| (condition.by, *lot));
        conditions
    }

    /// The bakes that weigh grain of a lot out after a moment.
    fn weigh_out(&self, lot: usize, after: Instant) -> Vec<usize> {
        let bakes = self.ground.situation.bakes.iter().zip(&self.plan.bakes);
        bakes
            .enumerate()
            .filter(|(_, (bake, planned))| {
                bake.grain_at > after && planned.draws.iter().any(|draw| draw.lot == lot)
            })
            .map(|(index, _)| index)
            .collect()
    }

    /// Lots that lie warm, of which something is to spoil, and that keep longer if they are back in the cold in time: lot,
    /// by when, and until when they keep then.
    pub fn to_go_back(&self) -> Vec<(usize, Instant, Instant)> {
        let situation = &self.ground.situation;
        let assess = |histories: &[History], at| {
            assess_all(histories, &situation.rules, &situation.zone, at)
        };
        let mut found = Vec::new();
        for left in self
            .plan
            .left
            .iter()
            .filter(|left| left.fate == Fate::Spoils)
        {
            let lot = &situation.lots[left.lot];
            let now = assess(&lot.histories, situation.now);
            let Some(Advice::BackIntoTheColdBy(by)) = now.advice else {
                continue;
            };
            if !situation.capacity.has_fridge {
                continue;
            }
            let back = windows::then(&lot.histories, situation.now, into_fridge(situation));
            let until = assess(&back, situation.now).keep_until;
            found.extend(
                until
                    .filter(|until| Some(*until) > now.keep_until)
                    .map(|until| (left.lot, by, until)),
            );
        }
        found
    }

    /// Whether a job cannot be done on a later day: thawing, and where the grain's own date ends on that day.
    pub fn is_last_moment(&self, action: &Action) -> bool {
        let situation = &self.ground.situation;
        let zone = &situation.zone;
        let lot = &situation.lots[action.lot];
        let then = assess_all(&lot.histories, &situation.rules, zone, situation.now);
        let ends_then = |until| zone.date(until) == zone.date(action.by);
        action.work == Work::Thaw || then.keep_until.is_some_and(ends_then)
    }

    /// After this, grain that a job takes out of the freezer is not thawed in time.
    pub fn latest(&self, action: &Action) -> Option<Instant> {
        let situation = &self.ground.situation;
        let bakes = self.shares(action).iter().filter_map(|share| share.bake);
        let bakes = bakes.filter(|_| action.work == Work::Thaw);
        let grain_at = bakes.map(|bake| situation.bakes[bake].grain_at).min()?;
        Some(grain_at - situation.lots[action.lot].thaw_lead)
    }

    /// When the accepted plan wanted a job done that is not done yet, where that is over.
    pub fn was_due(&self, action: &Action) -> Option<Instant> {
        let lot = self.ground.lots[action.lot].code;
        let jobs = self.late.iter();
        let late = jobs.filter(|job| job.lot == lot && job.work == action.work);
        late.map(|job| job.by).min()
    }

    /// Lots that are worth a test, the one that decides most first.
    pub fn worth_a_test(&self) -> Vec<WorthATest> {
        let mut drawn: BTreeMap<usize, (usize, i64, i64)> = BTreeMap::new();
        for (bake, planned) in self.plan.bakes.iter().enumerate() {
            // Grain that is dried first is another grain then.
            let as_it_is = |draw: &&Draw| draw.state != State::Dried;
            for draw in planned.draws.iter().filter(as_it_is) {
                let (_, wet, dry) = drawn.entry(draw.lot).or_insert((bake, 0, 0));
                *wet += draw.wet.get();
                *dry += draw.dry.get();
            }
        }
        let ground = &self.ground;
        let scale = ground.situation.capacity.step;
        let half = |wet: i64, part: f64| Milligrams::new((wet as f64 * part).round() as i64);
        let mut worth: Vec<WorthATest> = drawn
            .into_iter()
            .filter(|(lot, _)| ground.moistures[*lot].is_worth_a_test())
            .map(|(lot, (first, wet, dry))| {
                let moisture = &ground.moistures[lot];
                WorthATest {
                    lot,
                    dry: Milligrams::new(dry),
                    uncertain: half(wet, moisture.estimate.moisture.expanded()),
                    after: half(wet, moisture.estimate.after_one_more_test()),
                    next: NextBake::of(&ground.bakes[first], moisture, scale),
                }
            })
            .collect();
        worth.sort_by(|one, other| other.less_held().total_cmp(&one.less_held()));
        worth
    }

    /// Whether it is a proposal: it asks for something that no accepted plan says.
    pub fn may_be_accepted(&self) -> bool {
        let draws = self.plan.bakes.iter().any(|bake| !bake.draws.is_empty());
        let as_promised = matches!(&self.changes, Some(changes) if changes.is_empty());
        !self.accepted && !as_promised && (draws || !self.plan.actions.is_empty())
    }

    /// What is to be done, by time. A frozen block comes out by one job: the first action of it, with a share for each of its bakes.
    pub fn jobs(&self) -> impl Iterator<Item = (&Action, &[Share])> {
        let actions = self.plan.actions.iter().zip(&self.shares);
        let jobs = actions.filter(|(_, shares)| !shares.is_empty());
        jobs.map(|(action, shares)| (action, shares.as_slice()))
    }

    /// The bake that a job is for, where it is for one.
    pub fn bake_of(&self, action: &Action) -> Option<usize> {
        action.bake.filter(|_| self.shares(action).len() == 1)
    }

    /// All of the frozen block that comes out by a job, see [`Action::block`].
    pub fn block(&self, action: &Action) -> Option<Milligrams> {
        action.block(&self.ground.situation.lots)
    }

    /// The bags in which a job is done, each with the place that it goes into; of a frozen block what each bake takes of it.
    pub fn shares(&self, action: &Action) -> &[Share] {
        let actions = self.plan.actions.iter().zip(&self.shares);
        let mut same = actions.filter(|(known, _)| *known == action);
        same.next().map_or(&[][..], |(_, shares)| shares.as_slice())
    }

    /// Name of the place in which grain of a bake lies before it is weighed out; nothing where it is dried for it, or where no
    /// place is fit.
    pub fn lies_in(&self, bake: usize, draw: &Draw) -> Option<&str> {
        match draw.state {
            State::AsItLies => Some(self.ground.situation.lots[draw.lot].place.as_str()),
            State::Dried => None,
            State::Thawed => {
                let thawed = |job: &Action| (job.work, job.lot) == (Work::Thaw, draw.lot);
                let jobs = self.jobs().filter(|(job, _)| thawed(job));
                let mut shares = jobs.flat_map(|(_, shares)| shares);
                let share = shares.find(|share| share.bake == Some(bake))?;
                share.place.as_deref()
            }
        }
    }

    /// Names of the fridges that grain may be put into.
    pub fn fridges(&self) -> Vec<&str> {
        let fridges = &self.ground.situation.capacity.places.fridges;
        fridges.iter().map(|place| place.name.as_str()).collect()
    }

    /// The bags in which a job freezes grain, see [`Plan::bags`].
    pub fn bags(&self, action: &Action) -> Vec<(Option<usize>, Milligrams)> {
        let portion = self.ground.situation.capacity.portion;
        self.plan.bags(action, portion)
    }

    /// Bakes with what they get, by the time at which they are mixed.
    pub fn bakes(&self) -> impl Iterator<Item = (&BakeAnswer, &PlannedBake)> {
        self.ground.bakes.iter().zip(&self.plan.bakes)
    }

    /// What is to be done, day by day.
    pub fn days(&self, zone: &Zone) -> Vec<(NaiveDate, Vec<Action>)> {
        let mut days: Vec<(NaiveDate, Vec<Action>)> = Vec::new();
        for (action, _) in self.jobs() {
            let day = zone.date(action.by);
            match days.last_mut() {
                Some((last, actions)) if *last == day => actions.push(*action),
                _ => days.push((day, vec![*action])),
            }
        }
        days
    }

    /// The cautions that belong beside it.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = cautions_of_what_is_left(&self.plan);
        let of_lots = self.ground.lots.iter().map(LotRecord::allergens);
        cautions.extend(Caution::of_allergens(of_lots.collect()));
        for action in &self.plan.actions {
            let moved = self.block(action).unwrap_or(action.wet);
            cautions.extend(Caution::of_work(action.work, moved));
        }
        if self
            .ground
            .bakes
            .iter()
            .any(|bake| bake.bake.setting.free_of.is_some())
        {
            cautions.push(Caution::CrossContact);
        }
        cautions.sort_unstable();
        cautions.dedup();
        cautions
    }
}

/// The last moment at which a bake is looked at: the end of so many days, today counted.
pub fn end_of(now: Instant, days: u32, zone: &Zone) -> Instant {
    let last = zone.date(now) + chrono::Days::new(u64::from(days.saturating_sub(1)));
    zone.end_of_day(last) - chrono::Duration::seconds(1)
}

/// The cautions that belong beside any plan, by what no bake takes.
pub(super) fn cautions_of_what_is_left(plan: &Plan) -> Vec<Caution> {
    let mut cautions = vec![Caution::DateIsARule, Caution::Gluten];
    let left = |fate: Fate| plan.left.iter().any(|left| left.fate == fate);
    if left(Fate::Unusable) {
        cautions.push(Caution::BakingRescuesNothing);
    }
    if left(Fate::Spoils) {
        cautions.extend([Caution::FeedIsRegulated, Caution::HopsPoisonDogs]);
    }
    cautions
}
