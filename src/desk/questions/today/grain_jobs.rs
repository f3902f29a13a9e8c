//! What is to be done with grain: what the accepted plan asks for and is not done.

mod as_it_lies;

use super::{NEARLY, is_about};
use crate::desk::facts::FactFinder;
use crate::desk::fit_places;
use crate::desk::thawing::{is_worth_freezing, is_worth_freezing_for_later};
use crate::dough::bake_code::BakeCode;
use crate::dough::house;
use crate::grain::{Form, LotCode};
use crate::keeping::{History, PlaceKind, assess_all};
use crate::ledger::{AcceptedPlan, PlanTask, View, Which};
use crate::planning::places::Places;
use crate::planning::plan::Work;
use crate::planning::windows::{State, TO_SHOW_DRY};
use crate::quantity::{Instant, Milligrams};
use crate::report::bake::BakeAnswer;
use crate::report::shelf::ShelfAnswer;
use crate::report::today::{Due, DueTask};
use crate::report::{LotAnswer, LotFacts};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// A job of the accepted plan that is not done, or a part of one.
pub(in crate::desk::questions) struct OpenJob {
    /// Its position in the plan.
    pub task: usize,
    /// What is to be done, or which bake is to be without that grain.
    pub due: Due,
}

/// What the accepted plan freezes and dries and is not done. What it thaws is told of the bakes, for all grain that
/// lies in a freezer. A job that is late is asked for as long as it helps; after that the bake that it was for is told to
/// be without that grain, as long as it is to come.
pub(in crate::desk::questions) fn of_plan(
    view: View<'_>,
    plan: &AcceptedPlan,
    shelf: &ShelfAnswer,
    (now, until): (Instant, Instant),
) -> anyhow::Result<Vec<OpenJob>> {
    let is_asked = |task: &PlanTask| task.by <= until && task.work != Work::Thaw;
    if !plan.tasks.iter().any(is_asked) {
        return Ok(Vec::new());
    }
    let mut finder = FactFinder::new(view)?;
    let facts = finder.on_hand(now)?;
    let mut jobs = Jobs {
        view,
        places: fit_places::of(&finder.into_places(), &view.about().rules, now).0,
        plan,
        shelf,
        work: view.house()?.work,
        now,
        open: BTreeMap::new(),
        moved: BTreeMap::new(),
        left_fresh: BTreeMap::new(),
        frozen_since: facts
            .iter()
            .filter(|facts| was_frozen_since(facts, plan.accepted_at))
            .map(|facts| facts.lot.code)
            .collect(),
        facts,
        asked: BTreeMap::new(),
        taken: BTreeMap::new(),
        dried: Vec::new(),
    };
    for bake in view.bakes(Which::Open)? {
        let answer = BakeAnswer::of(bake)?;
        jobs.open.insert(answer.bake.code, answer.needs.grain_at());
        if answer.bake.stated_in() > plan.entry {
            let form = answer.needs.formula.grain.form;
            jobs.moved.insert(answer.bake.code, form);
        }
    }
    let mut open: Vec<OpenJob> = Vec::new();
    let mut told = BTreeSet::new();
    let tasks = plan.tasks.iter().enumerate();
    for (index, task) in tasks.filter(|(_, task)| is_asked(task)) {
        let job = |by, task| OpenJob {
            task: index,
            due: Due { by, task },
        };
        for part in jobs.left(task)? {
            // Nobody freezes what has to be thrown away.
            let is_usable = part.lot.keeping.verdict.may_be_used();
            if task.by < now && !(is_usable && jobs.helps(task, &part)) {
                for (bake, wet) in jobs.too_late_for(task, &part) {
                    if told.insert((task.work, part.lot.lot.code, bake)) {
                        let too_late = DueTask::TooLate {
                            work: task.work,
                            lot: part.lot.lot.code,
                            wet,
                            bake,
                        };
                        open.push(job(None, too_late));
                    }
                }
                continue;
            }
            if !is_usable {
                continue;
            }
            // What no bake takes of joined grain is one job, whichever lots it was asked for.
            let is_same = |known: &&mut OpenJob| match known.due.task {
                DueTask::Grain {
                    work, lot, bake, ..
                } => {
                    let asked = (Some(task.by), task.work, part.lot.lot.code, None);
                    (known.due.by, work, lot, bake) == asked
                }
                _ => false,
            };
            if part.bake.is_none()
                && let Some(known) = open.iter_mut().find(is_same)
                && let DueTask::Grain { wet, .. } = &mut known.due.task
            {
                *wet = Milligrams::new(wet.get() + part.wet);
                continue;
            }
            let zone = &view.about().zone;
            let last_day = part.lot.keeping.keep_until.map(|until| zone.date(until));
            let grain = DueTask::Grain {
                work: task.work,
                lot: part.lot.lot.code,
                wet: Milligrams::new(part.wet),
                block: None,
                bake: part.bake,
                place: None,
                is_last_moment: last_day == Some(zone.date(task.by)),
                latest: None,
            };
            open.push(job(Some(task.by), grain));
        }
    }
    Ok(open)
}

/// Whether grain was put into a freezer after a moment, wherever it is by now.
fn was_frozen_since(facts: &LotFacts, since: Instant) -> bool {
    let mut frozen_at = facts.histories.iter().flat_map(History::frozen_at);
    frozen_at.any(|at| at >= since)
}

struct Jobs<'a> {
    view: View<'a>,
    places: Places,
    plan: &'a AcceptedPlan,
    shelf: &'a ShelfAnswer,
    work: house::Work,
    now: Instant,
    /// Bakes that are still to come, and when their grain is weighed out.
    open: BTreeMap<BakeCode, Instant>,
    /// Those of them that were stated anew since, and the form of grain that each wants.
    moved: BTreeMap<BakeCode, Option<Form>>,
    /// What the book holds about the lots on hand.
    facts: Vec<LotFacts>,
    /// Lots that were put into a freezer since the plan was accepted.
    frozen_since: BTreeSet<LotCode>,
    /// Milligrams that earlier jobs of the plan freeze of a lot.
    asked: BTreeMap<LotCode, i64>,
    /// Milligrams of a lot on hand that earlier jobs freeze or dry, or are done with: joined grain counts for one job only.
    taken: BTreeMap<(LotCode, Work), i64>,
    /// Milligrams of a lot that earlier jobs of drying leave to bakes that take them as they lie.
    left_fresh: BTreeMap<LotCode, i64>,
    /// Lots of the earlier jobs of drying.
    dried: Vec<LotCode>,
}

/// What is to be done with a lot on hand, in one bag.
struct Part<'a> {
    lot: &'a LotAnswer,
    /// Milligrams.
    wet: i64,
    /// The bake that it is for, where it is for one.
    bake: Option<BakeCode>,
}

impl<'a> Jobs<'a> {
    /// The lots on hand that a job is still to be done with, and how many milligrams of each.
    fn left(&mut self, task: &PlanTask) -> anyhow::Result<Vec<Part<'a>>> {
        let mut heirs = Vec::new();
        for lot in &self.shelf.lots {
            if is_about(self.view, self.plan, task, &lot.lot)? {
                heirs.push(lot);
            }
        }
        if task.work != Work::Dry {
            return Ok(self.freeze_left(task, heirs));
        }
        let whole = |(lot, wet)| Part {
            lot,
            wet,
            bake: task.bake,
        };
        Ok(self
            .drying_left(task, heirs)
            .into_iter()
            .map(whole)
            .collect())
    }

    /// Whether a job that is late still saves the grain: for its bake, or where it is for none, for later.
    fn helps(&self, task: &PlanTask, part: &Part<'_>) -> bool {
        let code = part.lot.lot.code;
        let Some(facts) = self.facts.iter().find(|facts| facts.lot.code == code) else {
            return false;
        };
        let about = self.view.about();
        let bakes = self.bakes_of(task, part);
        let in_time = |grain_at: Option<Instant>| match task.work {
            Work::Dry => {
                let shown_at = self.now + self.work.drying + TO_SHOW_DRY;
                let then = assess_all(&facts.histories, &about.rules, &about.zone, shown_at);
                then.verdict.may_be_used() && grain_at.is_none_or(|at| shown_at <= at)
            }
            Work::Freeze | Work::Thaw if self.places.fridges.is_empty() => false,
            Work::Freeze | Work::Thaw => match grain_at {
                Some(at) => is_worth_freezing(facts, about, &self.work, self.now, at),
                None => {
                    let end = self.plan.until;
                    is_worth_freezing_for_later(facts, about, &self.work, self.now, end)
                }
            },
        };
        match bakes.as_slice() {
            [] => in_time(None),
            bakes => bakes.iter().any(|(bake, _)| in_time(Some(self.open[bake]))),
        }
    }

    /// The bakes to come that a job is for, with how much each takes: the one that a bag is for, or all that take dried grain
    /// of the lot.
    fn bakes_of(&self, task: &PlanTask, part: &Part<'_>) -> Vec<(BakeCode, Milligrams)> {
        if let Some(bake) = part.bake {
            let is_open = self.open.contains_key(&bake);
            return is_open
                .then_some((bake, Milligrams::new(part.wet)))
                .into_iter()
                .collect();
        }
        let draws = self.plan.draws.iter().filter(|draw| {
            task.work == Work::Dry
                && draw.lot.code == task.lot.code
                && draw.state == State::Dried
                && self.open.contains_key(&draw.bake)
                && !self.takes_as_it_lies(draw)
        });
        draws.map(|draw| (draw.bake, draw.wet)).collect()
    }

    /// Bakes whose grain is still to be weighed out, that a job was for and that cannot take the grain as it lies.
    fn too_late_for(&self, task: &PlanTask, part: &Part<'_>) -> Vec<(BakeCode, Milligrams)> {
        let mut bakes = self.bakes_of(task, part);
        bakes.retain(|(bake, _)| {
            let grain_at = self.open[bake];
            grain_at > self.now && !self.keeps_unfrozen(task, part, grain_at)
        });
        bakes
    }

    /// Whether grain that was to be frozen keeps without it until a bake weighs it out, as where its date was corrected since.
    fn keeps_unfrozen(&self, task: &PlanTask, part: &Part<'_>, grain_at: Instant) -> bool {
        let code = part.lot.lot.code;
        let about = self.view.about();
        let mut facts = self.facts.iter().filter(|facts| facts.lot.code == code);
        task.work == Work::Freeze
            && facts.any(|facts| {
                let then = facts.keeping(&about.rules, &about.zone, grain_at);
                then.verdict.may_be_used()
            })
    }

    /// The bags in which a job freezes grain, without those that are in a freezer by now: a frozen block cannot be parted.
    fn bags(&self, task: &PlanTask, done: &[&LotAnswer]) -> Vec<(BakeCode, i64)> {
        let draws = self.plan.draws.iter().filter(|draw| {
            draw.lot.code == task.lot.code
                && draw.state == State::Thawed
                && self.open.contains_key(&draw.bake)
                && !self.takes_as_it_lies(draw)
        });
        let mut bags: Vec<_> = draws.map(|draw| (draw.bake, draw.wet.get())).collect();
        for lot in done {
            let frozen = lot.wet.get() as f64;
            let is_it = |bag: &(BakeCode, i64)| (frozen / bag.1 as f64 - 1.0).abs() <= 1.0 - NEARLY;
            if let Some(place) = bags.iter().position(is_it) {
                bags.remove(place);
            }
        }
        bags
    }

    /// Drying may be asked for several times of one lot, and what comes out says how often it was done.
    fn drying_left(
        &mut self,
        task: &PlanTask,
        heirs: Vec<&'a LotAnswer>,
    ) -> Vec<(&'a LotAnswer, i64)> {
        let nth = self
            .dried
            .iter()
            .filter(|lot| **lot == task.lot.code)
            .count();
        self.dried.push(task.lot.code);
        let (done, to_do): (Vec<_>, Vec<_>) =
            heirs.into_iter().partition(|lot| lot.lot.form.is_dry());
        if done.len() > nth {
            return Vec::new();
        }
        let fresh = self.taken_as_they_lie(task.lot.code, State::Dried);
        let left_fresh = self.left_fresh.entry(task.lot.code).or_default();
        let fresh = (fresh - *left_fresh).clamp(0, task.wet.get());
        *left_fresh += fresh;
        let wanted = task.wet.get() - fresh;
        // What was frozen since, or is promised in another state, is not what is still to be dried.
        let free = |lot| (lot, self.free(lot, task.work).min(wanted));
        let found = to_do.into_iter().map(free);
        let found = found.filter(|(_, wet)| is_worth_it(*wet, task));
        let found = found.max_by_key(|(lot, wet)| (!lot.keeping.frozen, *wet, lot.wet));
        if let Some((lot, wet)) = found {
            self.take(lot, task.work, wet);
        }
        found.into_iter().collect()
    }

    /// What was frozen since counts, thawed by now or not, and what was baked of it too.
    fn freeze_left(&mut self, task: &PlanTask, heirs: Vec<&'a LotAnswer>) -> Vec<Part<'a>> {
        let is_same = |lot: &&LotAnswer| lot.lot.form.is_dry() == task.lot.form.is_dry();
        // What lies in a freezer that is too warm is not frozen.
        let is_done = |lot: &LotAnswer| match &lot.place {
            Some((name, PlaceKind::Freezer)) => {
                self.places.freezers.iter().any(|one| one.name == *name)
            }
            _ => self.frozen_since.contains(&lot.lot.code),
        };
        let heirs = heirs.into_iter().filter(is_same);
        let mut heirs: Vec<_> = heirs.map(|lot| (lot, is_done(lot))).collect();
        // What was joined with other grain comes last: the jobs of that grain find theirs there too.
        heirs.sort_by_key(|(lot, is_done)| {
            let spare = self.spare(lot, State::Thawed);
            (
                self.joined_of(lot),
                !is_done,
                Reverse((spare, lot.lot.code)),
            )
        });
        let done = heirs.iter().filter(|(_, is_done)| *is_done);
        let done: Vec<&LotAnswer> = done.map(|(lot, _)| *lot).collect();
        let draws = self.plan.draws.iter().filter(|draw| {
            draw.lot.code == task.lot.code
                && draw.state == State::Thawed
                && !self.open.contains_key(&draw.bake)
        });
        let baked: i64 = draws.map(|draw| draw.wet.get()).sum();
        // Nor is that to be frozen that a bake takes as it lies.
        let baked = baked + self.taken_as_they_lie(task.lot.code, State::Thawed);
        let asked = self.asked.entry(task.lot.code).or_default();
        let baked_of_this = (baked - *asked).max(0);
        *asked += task.wet.get();
        let mut left = (task.wet.get() - baked_of_this).max(0);
        let bags = self.bags(task, &done);
        let mut bags = bags.as_slice();
        let mut found = Vec::new();
        for (lot, is_done) in heirs {
            if is_done {
                let wet = left.min(lot.wet.get() - self.taken(lot, task.work));
                self.take(lot, task.work, wet);
                left -= wet;
                continue;
            }
            let mut wet = self.free(lot, task.work).min(left);
            if !is_bag(wet, task, bags) {
                continue;
            }
            self.take(lot, task.work, wet);
            left -= wet;
            // What is less than a portion goes into the last bag, as in the plan.
            while let [(bake, bag), later @ ..] = bags
                && *bag < wet
                && is_bag(wet - bag, task, later)
                && (!later.is_empty() || wet - bag >= self.work.portion.get())
            {
                wet -= bag;
                found.push(Part {
                    lot,
                    wet: *bag,
                    bake: Some(*bake),
                });
                bags = later;
            }
            // The last one: what no bake takes, or all of what is for one.
            let bake = bags.first().map(|(bake, _)| *bake);
            bags = bags.get(1..).unwrap_or_default();
            found.push(Part { lot, wet, bake });
        }
        found
    }

    /// Milligrams of a lot on hand that earlier jobs of one kind have.
    fn taken(&self, lot: &LotAnswer, work: Work) -> i64 {
        let taken = self.taken.get(&(lot.lot.code, work));
        taken.copied().unwrap_or(0)
    }

    fn take(&mut self, lot: &LotAnswer, work: Work, wet: i64) {
        *self.taken.entry((lot.lot.code, work)).or_default() += wet;
    }

    /// What a job may still take of a lot on hand: no more than the lot holds with all earlier jobs.
    fn free(&self, lot: &LotAnswer, work: Work) -> i64 {
        let state = if work == Work::Dry {
            State::Dried
        } else {
            State::Thawed
        };
        let all = self.taken(lot, Work::Freeze) + self.taken(lot, Work::Dry);
        let spare = self.spare(lot, state) - self.taken(lot, work);
        spare.min(lot.wet.get() - all).max(0)
    }

    /// How many lots went into one on hand, each with a history of its own.
    fn joined_of(&self, lot: &LotAnswer) -> usize {
        let mut facts = self.facts.iter();
        let facts = facts.find(|facts| facts.lot.code == lot.lot.code);
        facts.map_or(1, |facts| facts.histories.len())
    }

    /// What is left of a lot over all that bakes are promised of it in another state, as promises are now.
    fn spare(&self, lot: &LotAnswer, state: State) -> i64 {
        let promised = self.shelf.promised.iter();
        let elsewhere: i64 = promised
            .filter(|one| one.lot == Some(lot.lot.code) && one.state != state)
            .map(|one| one.wet.get() - one.missing.get())
            .sum();
        (lot.wet.get() - elsewhere).max(0)
    }
}

/// What weighing leaves over is no job.
fn is_worth_it(wet: i64, task: &PlanTask) -> bool {
    wet as f64 > (1.0 - NEARLY) * task.wet.get() as f64
}

/// Whether so much is frozen in a bag of its own. A small portion of a large lot is, as long as the bag of its bake is to be
/// packed.
fn is_bag(wet: i64, task: &PlanTask, to_pack: &[(BakeCode, i64)]) -> bool {
    let least = to_pack.iter().map(|(_, bag)| *bag).min();
    let whole = least.map_or(task.wet.get(), |least| least.min(task.wet.get()));
    wet as f64 > (1.0 - NEARLY) * whole as f64
}
