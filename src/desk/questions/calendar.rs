//! Bakes and tasks of the accepted plan, for a calendar.

use super::today::grain_jobs::{self, OpenJob};
use super::today::taken_out;
use crate::desk::{Answer, Desk, Refusal, fit_places, promises, thawing};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::ledger::{AcceptedPlan, BakeEnd, PlanTask, View, Which};
use crate::planning::places::{Job, Part, spread};
use crate::planning::plan::Work;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::bake::BakeAnswer;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use crate::report::promise::{LostGrain, PromisedGrain};
use crate::report::shelf::ShelfAnswer;
use crate::report::today::DueTask;
use crate::report::{Block, Caution};
use std::collections::BTreeMap;

impl Desk {
    /// One bake, or every bake that is not done with what the accepted plan says is to be done.
    pub fn calendar(&self, bake: Option<&str>) -> anyhow::Result<Answer<CalendarAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let now = self.now;
        let found = match bake {
            Some(code) => vec![view.bake(code)?],
            None => view.bakes(Which::NotDone)?,
        };
        let mut answers = found
            .into_iter()
            .map(BakeAnswer::of)
            .collect::<Result<Vec<_>, Problem>>()?;
        if bake.is_none() {
            // A bake that was dropped stays until it would have been ready: only an event that says it is cancelled
            // takes itself off a calendar that read an earlier file (RFC 5545, 3.8.1.11).
            answers.retain(|answer| {
                answer.bake.end.is_none() || answer.needs.timetable.ready_at >= now
            });
        }
        answers.sort_by_key(|answer| (answer.needs.timetable.mix_at, answer.bake.code));
        let shelf = self.stock()?.answer;
        let only = bake.is_some().then(|| answers[0].bake.code);
        let plan = view.accepted_plan()?;
        let tasks = tasks(view, plan.as_ref(), only, &shelf)?;
        if answers.is_empty() && tasks.is_empty() {
            return Err(Refusal::NoBakesPlanned.into());
        }
        let (house, turns) = (view.house()?, view.turns_of_plan()?);
        let planned = (plan.as_ref(), turns);
        let calendar = CalendarAnswer {
            book: view.about().name.clone(),
            night: house.night,
            scale: house.work.step,
            bakes: answers
                .into_iter()
                .map(|answer| calendar_bake(answer, planned, &shelf.lost))
                .collect(),
            tasks,
            written_at: now,
        };
        let cautions = calendar.cautions();
        Ok(Answer::new(calendar, Vec::new()).with_cautions(cautions))
    }
}

/// What the accepted plan says is still to be done with grain; of one bake, where that is asked for. What is done by now, and
/// what a plan that does not hold any more said, is dropped, so that a calendar takes it off.
fn tasks(
    view: View<'_>,
    plan: Option<&AcceptedPlan>,
    only: Option<BakeCode>,
    shelf: &ShelfAnswer,
) -> anyhow::Result<Vec<CalendarTask>> {
    let in_force = plan.map(|plan| plan.entry);
    let mut jobs = to_come(view, plan, shelf)?;
    let mut found: Vec<(String, Option<Instant>, ToCome)> = Vec::new();
    for one in jobs.remove(&None).unwrap_or_default() {
        let mut promised = shelf.promised.iter().filter(|one| !one.names_others);
        let is_planned = promised.any(|it| it.lot == Some(one.lot) && one.is_for(it.bake));
        let plan = plan.filter(|_| is_planned);
        let accepted_at = plan.map(|plan| plan.accepted_at);
        found.push((id(one.work, one.lot, one.bake), accepted_at, one));
    }
    let mut positions: BTreeMap<i64, usize> = BTreeMap::new();
    let mut times: BTreeMap<(i64, String), u32> = BTreeMap::new();
    let mut of_plans = view.tasks_of_plans()?;
    // What the plan in force asks for counts, also where a newer one was struck.
    of_plans.sort_by_key(|(entry, ..)| Some(*entry) != in_force);
    for (entry, accepted_at, task) in of_plans {
        let position = positions.entry(entry).or_default();
        *position += 1;
        let position = *position - 1;
        let id = id(task.work, task.lot.code, task.bake);
        // A lot may go into the dryer on several days.
        let time = times.entry((entry, id.clone())).or_insert(0);
        *time += 1;
        let id = if *time > 1 {
            format!("{id}-{time}")
        } else {
            id
        };
        let is_in_force = in_force == Some(entry);
        let of_task = is_in_force.then(|| jobs.remove(&Some(position))).flatten();
        let of_task = of_task.unwrap_or_else(|| vec![ToCome::dropped(&task)]);
        for (index, one) in of_task.into_iter().enumerate() {
            // Its grain may lie in several lots by now.
            let id = match index {
                0 => id.clone(),
                _ => format!("{id}-{}", one.lot),
            };
            found.push((id, Some(accepted_at), one));
        }
    }
    let sequence = view.last_entry()?;
    let mut tasks: Vec<CalendarTask> = Vec::new();
    for (id, accepted_at, one) in found {
        let is_known = tasks.iter().any(|known| known.id == id);
        let is_asked = only.is_none_or(|bake| one.is_for(bake));
        if one.by >= shelf.as_of && !is_known && is_asked {
            tasks.push(one.into_task(id, (accepted_at, sequence)));
        }
    }
    tasks.sort_by(|one, other| (one.by, &one.id).cmp(&(other.by, &other.id)));
    Ok(tasks)
}

/// Tells a job from every other of the book.
fn id(work: Work, lot: LotCode, bake: Option<BakeCode>) -> String {
    match bake {
        Some(bake) => format!("{}-{lot}-{bake}", work.as_str()),
        None => format!("{}-{lot}", work.as_str()),
    }
}

/// What of a job is to come with one lot.
struct ToCome {
    work: Work,
    /// The lot that holds the grain by now.
    lot: LotCode,
    /// How much of it.
    wet: Milligrams,
    /// By when.
    by: Instant,
    /// The bake, where it is thawed for one.
    bake: Option<BakeCode>,
    /// The frozen block that comes out.
    block: Option<Block>,
    /// Its bags, each with the bake that it is for and the place that it goes into; of a block what each bake takes of it.
    /// None where it is dropped.
    bags: Vec<(Option<BakeCode>, Part)>,
}

impl ToCome {
    /// Of a job that is done, or that no plan in force asks for.
    fn dropped(task: &PlanTask) -> Self {
        Self {
            work: task.work,
            lot: task.lot.code,
            wet: task.wet,
            by: task.by,
            bake: task.bake,
            block: None,
            bags: Vec::new(),
        }
    }

    fn is_for(&self, bake: BakeCode) -> bool {
        let mut takes = self.block.iter().flat_map(|block| &block.takes);
        self.bake == Some(bake) || takes.any(|(one, _)| *one == bake)
    }

    fn into_task(
        self,
        id: String,
        (accepted_at, sequence): (Option<Instant>, i64),
    ) -> CalendarTask {
        let moved = self.block.as_ref().map_or(self.wet, |block| block.all);
        let is_dropped = self.bags.is_empty();
        let bags = self.bags.into_iter();
        CalendarTask {
            id,
            work: self.work,
            lot: self.lot.to_string(),
            wet: self.wet,
            block: self.block,
            portions: bags
                .map(|(bake, part)| (bake.map(|bake| bake.to_string()), part.wet, part.place))
                .collect(),
            by: self.by,
            bake: self.bake.map(|bake| bake.to_string()),
            cautions: Caution::of_work(self.work, moved),
            accepted_at,
            sequence,
            is_dropped,
        }
    }
}

/// A job, the position in the plan of what it does, and what bakes have of it.
struct ToDeal {
    task: Option<usize>,
    job: Job<LotCode>,
    takes: Vec<(Option<BakeCode>, Milligrams)>,
    block: Option<Block>,
}

/// What of each job of a plan is to come, with places that are fit now: what `today` asks for. Without a position in the plan stand
/// the blocks that come out for bakes and that the plan did not mean to thaw.
fn to_come(
    view: View<'_>,
    plan: Option<&AcceptedPlan>,
    shelf: &ShelfAnswer,
) -> anyhow::Result<BTreeMap<Option<usize>, Vec<ToCome>>> {
    let open = match plan {
        Some(plan) => grain_jobs::of_plan(view, plan, shelf, (shelf.as_of, Instant::MAX_UTC))?,
        None => Vec::new(),
    };
    let mut jobs = Vec::new();
    for one in &open {
        let DueTask::Grain {
            work,
            lot,
            wet,
            bake,
            ..
        } = one.due.task
        else {
            continue;
        };
        jobs.extend(one.due.by.map(|by| ToDeal {
            task: Some(one.task),
            job: Job { work, lot, wet, by },
            takes: vec![(bake, wet)],
            block: None,
        }));
    }
    jobs.extend(thawed(view, plan, shelf, &open)?);
    let to_deal: Vec<Job<LotCode>> = jobs.iter().map(|one| one.job).collect();
    let dealt = fit_places::deal(view, &to_deal, shelf.as_of)?;
    let mut found: BTreeMap<Option<usize>, Vec<ToCome>> = BTreeMap::new();
    for (one, parts) in jobs.into_iter().zip(&dealt) {
        let bags = spread(&one.takes, parts);
        let wet: i64 = one.takes.iter().map(|(_, wet)| wet.get()).sum();
        let of_task = found.entry(one.task).or_default();
        let mut known = of_task.iter_mut().filter(|_| one.block.is_none());
        if let Some(known) = known.find(|known| known.block.is_none() && known.lot == one.job.lot) {
            known.wet = Milligrams::new(known.wet.get() + wet);
            known.bags.extend(bags);
            continue;
        }
        of_task.push(ToCome {
            work: one.job.work,
            lot: one.job.lot,
            wet: Milligrams::new(wet),
            by: one.job.by,
            bake: match one.takes[..] {
                [(bake, _)] if one.job.work == Work::Thaw => bake,
                _ => None,
            },
            block: one.block,
            bags,
        });
    }
    Ok(found)
}

/// The blocks that come out of a freezer for bakes, each once, and what comes out of grain that a plan has still to freeze.
/// What is thawed comes out for its bake as that is by now.
fn thawed(
    view: View<'_>,
    plan: Option<&AcceptedPlan>,
    shelf: &ShelfAnswer,
    open: &[OpenJob],
) -> anyhow::Result<Vec<ToDeal>> {
    let (zone, work, now) = (&view.about().zone, view.house()?.work, shelf.as_of);
    let house = (&work, zone);
    let planned = plan.map(|plan| plan.tasks.as_slice()).unwrap_or_default();
    let (mut weighed_out, mut to_thaw) = (BTreeMap::new(), Vec::new());
    for record in view.bakes(Which::Open)? {
        let bake = BakeAnswer::of(record)?;
        weighed_out.insert(bake.bake.code, bake.needs.grain_at());
        if !bake.is_overdue(now) {
            to_thaw.extend(taken_out::for_bake(view, plan, &bake, shelf, house)?);
        }
    }
    let tasks = || {
        let tasks = planned.iter().enumerate();
        tasks.filter(|(_, task)| task.work == Work::Thaw)
    };
    let mut found: Vec<ToDeal> = Vec::new();
    for out in thawing::come_out(to_thaw, (&shelf.lots, zone), now) {
        let (lot, block) = (out.first.lot, out.block());
        let takes_of_it = |bake: BakeCode| block.takes.iter().any(|(one, _)| *one == bake);
        let promised = shelf.promised.iter();
        let promised = promised.filter(|one| one.lot == Some(lot) && takes_of_it(one.bake));
        let promised = promised.filter(|one| !one.names_others);
        let promised: Vec<&PromisedGrain> = promised.collect();
        let mut tasks = tasks().filter(|(_, task)| {
            let mut promised = promised.iter();
            promised.any(|one| one.named == task.lot.code && Some(one.bake) == task.bake)
        });
        let is_free = |task: usize| found.iter().all(|known| known.task != Some(task));
        let task = tasks.find(|(task, _)| is_free(*task));
        let takes = block.takes.iter();
        let takes = takes.map(|(bake, wet)| (Some(*bake), *wet)).collect();
        found.push(ToDeal {
            task: task.map(|(task, _)| task),
            job: Job {
                work: Work::Thaw,
                lot,
                wet: block.all,
                by: out.first.by,
            },
            takes,
            block: Some(block),
        });
    }
    let held = |lot: LotCode| shelf.lots.iter().find(|held| held.lot.code == lot);
    let lies_unfrozen =
        |lot: LotCode| held(lot).is_some_and(|held| !thawing::lies_in_freezer(held.place.as_ref()));
    for (index, task) in tasks() {
        let Some(grain_at) = task.bake.and_then(|bake| weighed_out.get(&bake)) else {
            continue;
        };
        // What of its grain is frozen by now comes out with its block.
        let mut left: i64 = shelf
            .promised
            .iter()
            .filter(|one| Some(one.bake) == task.bake && one.named == task.lot.code)
            .filter(|one| !one.names_others)
            .filter(|one| one.state == State::Thawed && one.lot.is_some_and(&lies_unfrozen))
            .map(|one| one.there().get())
            .sum();
        for one in open {
            let DueTask::Grain {
                work: Work::Freeze,
                lot,
                wet,
                bake,
                ..
            } = one.due.task
            else {
                continue;
            };
            let is_its = bake == task.bake && planned[one.task].lot.code == task.lot.code;
            let wet = Milligrams::new(left.min(wet.get()));
            if !is_its || wet == Milligrams::ZERO {
                continue;
            }
            left -= wet.get();
            let depth = held(lot).and_then(|held| held.depth);
            found.push(ToDeal {
                task: Some(index),
                job: Job {
                    work: Work::Thaw,
                    lot,
                    wet,
                    by: thawing::out_by(house, depth, *grain_at).unwrap_or(task.by),
                },
                takes: vec![(bake, wet)],
                block: None,
            });
        }
    }
    Ok(found)
}

fn calendar_bake(
    answer: BakeAnswer,
    (plan, turns): (Option<&AcceptedPlan>, u32),
    lost: &[LostGrain],
) -> CalendarBake {
    let is_left_out = plan.is_some_and(|plan| promises::is_left_out(plan, &answer));
    let mut cautions = answer.cautions();
    cautions.push(Caution::RawDough);
    cautions.sort_unstable();
    let setting = answer.bake.setting;
    let is_dropped = matches!(answer.bake.end, Some(BakeEnd::Dropped { .. }));
    CalendarBake {
        bake: answer.bake.code.to_string(),
        formula: answer.needs.formula,
        pieces: setting.pieces,
        piece: setting.piece.mass(),
        note: setting.note,
        timetable: answer.needs.timetable,
        cautions,
        lost: lost
            .iter()
            .filter(|one| one.bake == answer.bake.code)
            .copied()
            .collect(),
        is_left_out,
        // Dropping changes it once more, and another plan may leave it out or not.
        sequence: answer.bake.restated + u32::from(is_dropped) + turns,
        is_dropped,
    }
}
