//! What the accepted plan promised to bakes still to come, found in the lots as they are by now: grain that was
//! frozen, parted or dried since lies in a lot of its own.

mod blocks;
mod broken;
mod left_out;
mod other_lots;

pub use blocks::Named;
pub use broken::{Promises, broken, judged, judged_of};
pub use left_out::is_left_out;

use super::facts::FactFinder;
use super::thawing::{is_worth_freezing, lies_in_freezer};
use crate::dough::bake_code::BakeCode;
use crate::dough::house::Work;
use crate::grain::{Estimate, clipped};
use crate::keeping::assess_all;
use crate::ledger::{AcceptedPlan, Making, PlanDraw, View, Which};
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotFacts;
use crate::report::bake::BakeAnswer;
use crate::report::promise::{CountedMoisture, LostGrain, PromisedGrain};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// What is promised, and the frozen blocks that bakes name without a promise.
#[derive(Default)]
pub struct Found {
    /// What is promised.
    pub grain: Vec<PromisedGrain>,
    /// What bakes without a promise name of lots in a freezer.
    pub named: Vec<Named>,
    /// What of that is past when the bake weighs it out, as the block comes out before for another.
    pub named_lost: Vec<LostGrain>,
}

/// What is promised of the lots that are on hand at a moment, where what is still to be done can be done from `now` on.
pub fn at(
    view: View<'_>,
    accepted: Option<&AcceptedPlan>,
    at: Instant,
    now: Instant,
) -> anyhow::Result<Found> {
    let _still = view.hold_still()?;
    if accepted.is_none() && !is_any_lot_named(view)? {
        return Ok(Found::default());
    }
    let mut finder = FactFinder::new(view)?;
    let facts = finder.on_hand(at)?;
    find(view, accepted, finder, (&facts, now))
}

/// What is promised now, of these lots on hand.
pub fn of(view: View<'_>, facts: &[LotFacts], now: Instant) -> anyhow::Result<Vec<PromisedGrain>> {
    match view.accepted_plan()? {
        Some(accepted) => {
            Ok(find(view, Some(&accepted), FactFinder::new(view)?, (facts, now))?.grain)
        }
        None => Ok(Vec::new()),
    }
}

/// Whether a bake to come names lots. Where none does and no plan is accepted, nothing more is asked.
fn is_any_lot_named(view: View<'_>) -> anyhow::Result<bool> {
    let open = view.bakes(Which::Open)?;
    Ok(open.iter().any(|bake| !bake.setting.lots.is_empty()))
}

/// What of these lots is promised, and how blocks come out for all bakes to come.
fn find(
    view: View<'_>,
    accepted: Option<&AcceptedPlan>,
    finder: FactFinder<'_>,
    (facts, now): (&[LotFacts], Instant),
) -> anyhow::Result<Found> {
    let mut bakes = Vec::new();
    for bake in view.bakes(Which::Open)? {
        bakes.push(BakeAnswer::of(bake)?);
    }
    let mut grain = match accepted {
        Some(plan) => of_plan(view, plan, &bakes, finder, (facts, now))?,
        None => Vec::new(),
    };
    // Grain that a bake names is its own only where the plan did not give it to others.
    let is_left_out = |bake: &&BakeAnswer| accepted.is_some_and(|plan| is_left_out(plan, bake));
    let naming = bakes.iter().filter(|bake| !is_left_out(bake));
    let named = blocks::named(naming, &grain, facts)?;
    let work = view.house()?.work;
    let house = (view.about(), &work);
    let named_lost = blocks::come_out_once(&mut grain, &named, facts, house, now);
    Ok(Found {
        grain,
        named,
        named_lost,
    })
}

/// What a plan promised and is promised still. What is baked by now, or dropped, is no promise any more. The bake that is
/// mixed first finds its grain first.
fn of_plan(
    view: View<'_>,
    accepted: &AcceptedPlan,
    bakes: &[BakeAnswer],
    finder: FactFinder<'_>,
    (facts, now): (&[LotFacts], Instant),
) -> anyhow::Result<Vec<PromisedGrain>> {
    let (mut open, mut weighed_out) = (BTreeMap::new(), BTreeMap::new());
    for answer in bakes {
        open.insert(answer.bake.code, &answer.needs);
        weighed_out.insert(answer.bake.code, answer.needs.grain_at());
    }
    let is_open = |draw: &&PlanDraw| open.contains_key(&draw.bake);
    let mut draws: Vec<&PlanDraw> = accepted.draws.iter().filter(is_open).collect();
    draws.sort_by_key(|draw| (open[&draw.bake].timetable.mix_at, draw.bake, draw.lot.code));
    let mut search = Search {
        view,
        finder,
        facts,
        accepted_by: accepted.entry,
        careful: accepted.careful,
        weighed_out,
        work: view.house()?.work,
        now,
        left: facts.iter().map(|facts| facts.wet.get()).collect(),
    };
    // A bag that was packed for a bake is its own, whichever bake is mixed first.
    let mut bags = Vec::with_capacity(draws.len());
    for draw in &draws {
        bags.push(search.bag_of_its_size(draw)?);
    }
    let name_others = other_lots::bakes_that_name_others(&draws, bakes);
    let mut found = Vec::new();
    for (draw, bag) in draws.into_iter().zip(bags) {
        let parts = match bag {
            Some((lot, wet)) => vec![(Some(lot), wet, 0)],
            None => search.find(draw)?,
        };
        let is_reweighed = search.as_wet_as_known(draw)? as i64 != draw.wet.get();
        let all: i64 = parts.iter().map(|(_, wet, _)| *wet).sum();
        for (lot, wet, missing) in parts {
            found.push(PromisedGrain {
                bake: draw.bake,
                named: draw.lot.code,
                lot: lot.map(|lot| facts[lot].lot.code),
                state: draw.state,
                wet: Milligrams::new(wet),
                missing: Milligrams::new(missing),
                is_reweighed,
                moisture: search.moisture(draw, lot, all)?,
                accepted_at: accepted.accepted_at,
                careful: accepted.careful,
                grain_at: search.weighed_out[&draw.bake],
                mix_at: open[&draw.bake].timetable.mix_at,
                form: open[&draw.bake].formula.grain.form,
                names_others: name_others.contains(&draw.bake),
                out_before: None,
            });
        }
    }
    Ok(found)
}

/// A moment, or that of the last thing that happened to a lot: the clock may have been set back since.
fn not_before_events(facts: &LotFacts, at: Instant) -> Instant {
    let events = facts.histories.iter().flat_map(|history| &history.events);
    events.fold(at, |at, event| at.max(event.at))
}

/// What drying, thawing or weighing may take from a promise before it counts as broken, our choice: grain is never
/// dried to just the weight that was planned.
pub const TOLERANCE: f64 = 0.03;

/// Milligrams that the steps of a scale may take from a promise, however small it is.
const ROUNDING: i64 = 1000;

/// What may lack of so many milligrams, or be left over of them, and nobody weighs it.
fn slack(wanted: f64) -> f64 {
    (TOLERANCE * wanted).max(ROUNDING as f64)
}

/// Lots on hand, and what of each is not found for an earlier draw.
struct Search<'a> {
    view: View<'a>,
    finder: FactFinder<'a>,
    facts: &'a [LotFacts],
    accepted_by: i64,
    careful: bool,
    /// When the grain of each bake is weighed out.
    weighed_out: BTreeMap<BakeCode, Instant>,
    work: Work,
    /// From when on something can still be done with grain.
    now: Instant,
    left: Vec<i64>,
}

impl Search<'_> {
    /// A lot that was frozen for a draw, thawed by now or not, of just its size, and how much of it; it is not found
    /// for another draw then.
    fn bag_of_its_size(&mut self, draw: &PlanDraw) -> anyhow::Result<Option<(usize, i64)>> {
        if draw.state != State::Thawed {
            return Ok(None);
        }
        let wanted = self.as_wet_as_known(draw)?;
        let off = |left: i64| (left as f64 - wanted).abs();
        let (handled, ..) = self.of_lot(draw)?;
        let bag = handled
            .into_iter()
            .filter(|lot| off(self.left[*lot]) <= slack(wanted) && !self.is_over(*lot, draw))
            // What was taken out first, and of what is alike the nearest.
            .min_by_key(|lot| {
                let off = off(self.left[*lot]).round() as i64;
                (
                    lies_in_freezer(self.facts[*lot].place.as_ref()),
                    off,
                    self.facts[*lot].lot.code,
                )
            });
        Ok(bag.map(|lot| {
            let wet = (wanted.round() as i64).min(self.left[lot]);
            self.left[lot] -= wet;
            (lot, wet)
        }))
    }

    /// Lots that hold the grain of a draw, with how much of each and how much of that is missing.
    fn find(&mut self, draw: &PlanDraw) -> anyhow::Result<Vec<(Option<usize>, i64, i64)>> {
        // In milligrams of the lot that was named; what was dried is as much dry grain in fewer of its own.
        let mut wanted = self.as_wet_as_known(draw)?;
        let candidates = self.candidates(draw, wanted)?;
        let Some(first) = candidates.first() else {
            return Ok(vec![(None, wanted as i64, wanted as i64)]);
        };
        let mut found: Vec<(Option<usize>, i64, i64)> = Vec::new();
        let enough = slack(wanted);
        for lot in &candidates {
            // What is left over where grain was handled makes good no more than rounding: it may be past by now.
            if draw.state != State::AsItLies && !found.is_empty() && wanted <= enough {
                break;
            }
            let own = self.own_per_named(draw, *lot)?;
            let wet = ((wanted * own).round() as i64).min(self.left[*lot]);
            if wet > 0 {
                self.left[*lot] -= wet;
                wanted -= wet as f64 / own;
                found.push((Some(*lot), wet, 0));
            }
        }
        let missing = (wanted * self.own_per_named(draw, *first)?).round() as i64;
        let there: i64 = found.iter().map(|(_, wet, _)| *wet).sum();
        if missing <= ROUNDING || missing as f64 <= TOLERANCE * (there + missing) as f64 {
            return Ok(found);
        }
        if missing > 0 {
            match found.iter_mut().find(|(lot, ..)| *lot == Some(*first)) {
                Some((_, wet, lacks)) => (*wet, *lacks) = (*wet + missing, missing),
                None => found.push((Some(*first), missing, missing)),
            }
        }
        Ok(found)
    }

    /// The lots that may hold the grain of a draw, the likeliest first. Grain to be frozen or dried is rather in
    /// one that was made of the lot since, and thawed grain in one that was taken out, else in the smallest block that
    /// holds all of it. Crumbs, and what was thawed for an earlier bake and is over by then, only complete it. As long as a
    /// draw's own bag is still to be frozen, it is in no other.
    fn candidates(&self, draw: &PlanDraw, wanted: f64) -> anyhow::Result<Vec<usize>> {
        let (mut handled, itself, mut others) = self.of_lot(draw)?;
        if let Some(lot) = self.still_to_freeze(draw, wanted, (&handled, itself, &others)) {
            return Ok(vec![lot]);
        }
        let order = |lot: &usize| {
            let left = self.left[*lot];
            let holds_all = left as f64 + slack(wanted) >= wanted;
            let is_crumb = !holds_all && left as f64 <= slack(wanted);
            let is_frozen = lies_in_freezer(self.facts[*lot].place.as_ref());
            (
                is_crumb || self.is_over(*lot, draw),
                is_frozen,
                !holds_all,
                if holds_all { left } else { -left },
                Reverse(self.facts[*lot].lot.code),
            )
        };
        handled.sort_by_cached_key(order);
        if handled.is_empty() && itself.is_none() {
            others.sort_by_cached_key(order);
            return Ok(others);
        }
        if draw.state == State::AsItLies {
            return Ok(itself.into_iter().chain(handled).collect());
        }
        let completes = |lot: &usize| draw.state == State::Thawed && order(lot).0;
        let (last, first): (Vec<usize>, Vec<usize>) = handled.into_iter().partition(completes);
        Ok(first.into_iter().chain(itself).chain(last).collect())
    }

    /// The lot in which the bag of a draw lies that is still to be frozen: it holds all of it, and freezing it helps. What was
    /// frozen in another size is for other bakes or for none, unless it was taken out and lasts until the draw.
    fn still_to_freeze(
        &self,
        draw: &PlanDraw,
        wanted: f64,
        (handled, itself, others): (&[usize], Option<usize>, &[usize]),
    ) -> Option<usize> {
        // By what is known of the moisture now it may be another size than when it was packed.
        let planned = draw.wet.get() as f64;
        let is_its_bag = |lot: usize| (self.left[lot] as f64 - planned).abs() <= slack(planned);
        let holds_all = |lot: usize| self.left[lot] as f64 + slack(wanted) >= wanted;
        let is_out = |lot: usize| {
            !lies_in_freezer(self.facts[lot].place.as_ref())
                && holds_all(lot)
                && !self.is_over(lot, draw)
        };
        if draw.state != State::Thawed || handled.iter().any(|lot| is_its_bag(*lot) || is_out(*lot))
        {
            return None;
        }
        let grain_at = self.weighed_out[&draw.bake];
        let mut unfrozen = itself.into_iter().chain(others.iter().copied());
        unfrozen.find(|lot| {
            let facts = &self.facts[*lot];
            facts.lot.form == draw.lot.form
                && !lies_in_freezer(facts.place.as_ref())
                && holds_all(*lot)
                && is_worth_freezing(facts, self.view.about(), &self.work, self.now, grain_at)
        })
    }

    /// The lots on hand that hold grain of a draw's lot: those in the state that it takes, the lot itself where it is
    /// none of them, and all others that were made of it.
    fn of_lot(&self, draw: &PlanDraw) -> anyhow::Result<(Vec<usize>, Option<usize>, Vec<usize>)> {
        let (mut handled, mut itself, mut others) = (Vec::new(), None, Vec::new());
        for (index, facts) in self.facts.iter().enumerate() {
            let is_itself = facts.lot.code == draw.lot.code;
            if !is_itself
                && !self
                    .view
                    .is_made_of(&facts.lot, &draw.lot, self.accepted_by)?
            {
                continue;
            }
            let is_handled = match draw.state {
                State::AsItLies => {
                    !is_itself
                        && !lies_in_freezer(facts.place.as_ref())
                        && facts.lot.form == draw.lot.form
                }
                State::Thawed => {
                    let mut histories = facts.histories.iter();
                    histories.all(|history| history.frozen_at().next().is_some())
                }
                State::Dried => !is_itself && facts.lot.form.is_dry(),
            };
            if is_handled {
                handled.push(index);
            } else if is_itself {
                itself = Some(index);
            } else {
                others.push(index);
            }
        }
        Ok((handled, itself, others))
    }

    /// Whether grain that is out of the freezer for a draw may not be used any more when it is weighed out.
    fn is_over(&self, lot: usize, draw: &PlanDraw) -> bool {
        let facts = &self.facts[lot];
        if draw.state != State::Thawed || lies_in_freezer(facts.place.as_ref()) {
            return false;
        }
        // An overdue bake takes it as it is by now.
        let at = not_before_events(facts, self.weighed_out[&draw.bake]);
        let about = self.view.about();
        !assess_all(&facts.histories, &about.rules, &about.zone, at)
            .verdict
            .may_be_used()
    }

    /// Milligrams of the named lot that hold the dry grain that the plan counted on, by what is known of its moisture
    /// now, counted as the plan did: as the plan said it, or in whole grams where that is another mass.
    fn as_wet_as_known(&mut self, draw: &PlanDraw) -> anyhow::Result<f64> {
        let said = draw.wet.get() as f64;
        let Some(dry) = draw.dry else {
            return Ok(said);
        };
        let wet = dry.get() as f64 / counted(&self.finder.estimate(&draw.lot)?, self.careful);
        let gram = ROUNDING as f64;
        Ok(if (wet - said).abs() < gram / 2.0 {
            said
        } else {
            (wet / gram).round() * gram
        })
    }

    /// The moisture that the plan counted on in a lot that holds grain of a draw, and what is known of it now. `all` is what all
    /// such lots hold for the draw.
    fn moisture(
        &self,
        draw: &PlanDraw,
        lot: Option<usize>,
        all: i64,
    ) -> anyhow::Result<Option<CountedMoisture>> {
        let (Some(dry), Some(lot)) = (draw.dry, lot) else {
            return Ok(None);
        };
        let own = &self.facts[lot];
        // Of grain that was dried since, the plan counted on as much dry grain in what it weighs now.
        let was_dried = own.lot.form.is_dry() != draw.lot.form.is_dry();
        let wet = if was_dried { all } else { draw.wet.get() };
        Ok(Some(CountedMoisture {
            then: 1.0 - dry.get() as f64 / wet as f64,
            now: 1.0 - counted(&own.estimate()?, self.careful),
        }))
    }

    /// Milligrams of a lot that hold as much dry grain as one of the lot that a draw names.
    fn own_per_named(&mut self, draw: &PlanDraw, lot: usize) -> anyhow::Result<f64> {
        let own = &self.facts[lot];
        if own.lot.form.is_dry() == draw.lot.form.is_dry() {
            return Ok(1.0);
        }
        // What was really made of it counts, whatever was planned and however its moisture is estimated.
        if let (_, Making::Treatment(of, record)) = self.view.making(&own.lot)?
            && of.form.is_dry() == draw.lot.form.is_dry()
        {
            let treatment = &record.treatment;
            return Ok(treatment.wet_out.get() as f64 / treatment.wet_in.get() as f64);
        }
        let named = self.finder.estimate(&draw.lot)?;
        Ok(dry_fraction(&named) / dry_fraction(&own.estimate()?))
    }
}

fn dry_fraction(estimate: &Estimate) -> f64 {
    counted(estimate, false)
}

/// Dry ÷ wet as a plan counts it: by the estimate, or at the wet end of its range.
pub(super) fn counted(estimate: &Estimate, careful: bool) -> f64 {
    let moisture = if careful {
        clipped(estimate.moisture.range().1)
    } else {
        estimate.wet_basis()
    };
    moisture.dry_fraction().get()
}
