//! Bakes and tasks of the accepted plan, for a calendar.

use crate::desk::facts::FactFinder;
use crate::desk::thawing::{self, ComesOut};
use crate::desk::{Answer, Desk, Refusal, fit_places, promises};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::ledger::{AcceptedPlan, BakeEnd, View, Which};
use crate::planning::places::{Job, Part, spread};
use crate::planning::plan::{Work, bags};
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::bake::BakeAnswer;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use crate::report::promise::{LostGrain, PromisedGrain};
use crate::report::{Block, Caution, LotAnswer};
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
        let promised = promises::judged(view, now)?;
        let only = bake.is_some().then(|| answers[0].bake.code);
        let tasks = tasks(view, only, &promised.grain, now)?;
        if answers.is_empty() && tasks.is_empty() {
            return Err(Refusal::NoBakesPlanned.into());
        }
        let house = view.house()?;
        let calendar = CalendarAnswer {
            book: view.about().name.clone(),
            night: house.night,
            scale: house.work.step,
            bakes: answers
                .into_iter()
                .map(|answer| calendar_bake(answer, &promised.lost))
                .collect(),
            tasks,
            written_at: now,
        };
        let cautions = calendar.cautions();
        Ok(Answer::new(calendar, Vec::new()).with_cautions(cautions))
    }
}

/// What the accepted plan says is still to be done with grain; of one bake, where that is asked for. What a plan
/// that does not hold any more said is dropped, so that a calendar takes it off.
fn tasks(
    view: View<'_>,
    only: Option<BakeCode>,
    promised: &[PromisedGrain],
    now: Instant,
) -> anyhow::Result<Vec<CalendarTask>> {
    let accepted = view.accepted_plan()?;
    let mut jobs = match &accepted {
        Some(plan) => to_come(view, plan, promised, now)?,
        None => Vec::new(),
    };
    let mut positions: BTreeMap<i64, usize> = BTreeMap::new();
    let sequence = view.last_entry()?;
    let mut times: BTreeMap<(i64, String), u32> = BTreeMap::new();
    let mut tasks: Vec<CalendarTask> = Vec::new();
    let in_force = accepted.as_ref().map(|plan| plan.entry);
    let mut of_plans = view.tasks_of_plans()?;
    // What the plan in force asks for counts, also where a newer one was struck.
    of_plans.sort_by_key(|(entry, ..)| Some(*entry) != in_force);
    for (entry, accepted_at, task) in of_plans {
        let position = positions.entry(entry).or_default();
        *position += 1;
        let position = *position - 1;
        let id = match task.bake {
            Some(bake) => format!("{}-{}-{bake}", task.work.as_str(), task.lot.code),
            None => format!("{}-{}", task.work.as_str(), task.lot.code),
        };
        // A lot may go into the dryer on several days.
        let time = times.entry((entry, id.clone())).or_insert(0);
        *time += 1;
        let id = if *time > 1 {
            format!("{id}-{time}")
        } else {
            id
        };
        let is_known = tasks.iter().any(|known| known.id == id);
        let is_in_force = in_force == Some(entry);
        let job = is_in_force.then(|| jobs[position].take()).flatten();
        let (lot, by, block, bags) = match job {
            Some(one) => (one.lot, one.by, one.block, one.bags),
            None => (task.lot.code, task.by, None, Vec::new()),
        };
        let takes_of_it = |bake: &BakeCode| {
            let mut takes = block.iter().flat_map(|block| &block.takes);
            takes.any(|(one, _)| one == bake)
        };
        let is_asked =
            only.is_none() || only == task.bake || only.as_ref().is_some_and(takes_of_it);
        if by < now || is_known || !is_asked {
            continue;
        }
        let (wet, bake) = match &block {
            Some(block) => (block.taken(), block.bake()),
            None => (task.wet, task.bake),
        };
        let moved = block.as_ref().map_or(wet, |block| block.all);
        let is_dropped = bags.is_empty();
        let bags = bags.into_iter();
        tasks.push(CalendarTask {
            id,
            work: task.work,
            lot: lot.to_string(),
            wet,
            block,
            portions: bags
                .map(|(bake, part)| (bake.map(|bake| bake.to_string()), part.wet, part.place))
                .collect(),
            by,
            bake: bake.map(|bake| bake.to_string()),
            cautions: Caution::of_work(task.work, moved),
            accepted_at,
            sequence,
            is_dropped,
        });
    }
    tasks.sort_by(|one, other| (one.by, &one.id).cmp(&(other.by, &other.id)));
    Ok(tasks)
}

/// What of a task of a plan is to come.
#[derive(Clone)]
struct ToCome {
    /// The lot that holds its grain by now.
    lot: LotCode,
    /// By when.
    by: Instant,
    /// The frozen block that comes out.
    block: Option<Block>,
    /// Its bags, each with the bake that it is for and the place that it goes into; of a block what each bake takes of it.
    bags: Vec<(Option<BakeCode>, Part)>,
}

/// A job, the position of the first task that it does, and what bakes have of it.
struct ToDeal {
    task: usize,
    job: Job<LotCode>,
    takes: Vec<(Option<BakeCode>, Milligrams)>,
    block: Option<Block>,
}

/// What of each task of a plan is to come, with places that are fit now; nothing of a task whose block comes out by one before.
/// What is thawed comes out for its bake as that is by now.
fn to_come(
    view: View<'_>,
    plan: &AcceptedPlan,
    promised: &[PromisedGrain],
    now: Instant,
) -> anyhow::Result<Vec<Option<ToCome>>> {
    let (about, work) = (view.about(), view.house()?.work);
    let house = (&work, &about.zone);
    let lots = FactFinder::new(view)?.on_hand(now)?.into_iter();
    let lots = lots.map(|facts| facts.answer(&about.rules, &about.zone, now));
    let lots = lots.collect::<Result<Vec<LotAnswer>, Problem>>()?;
    let (mut open, mut thawed) = (BTreeMap::new(), Vec::new());
    for record in view.bakes(Which::Open)? {
        let bake = BakeAnswer::of(record)?;
        open.insert(bake.bake.code, bake.needs.grain_at());
        if !bake.is_overdue(now) {
            thawed.extend(thawing::of_bake(&bake, promised, &lots, house));
        }
    }
    let mut blocks = thawing::come_out(thawed, (&lots, &about.zone), now);
    let mut jobs: Vec<ToDeal> = Vec::new();
    for (index, task) in plan.tasks.iter().enumerate() {
        let grain_at = task.bake.and_then(|bake| open.get(&bake));
        if task.bake.is_some() && grain_at.is_none() {
            continue;
        }
        let mut promised = promised.iter();
        let lies_in = promised.find(|one| {
            Some(one.bake) == task.bake && one.named == task.lot.code && task.work == Work::Thaw
        });
        let lot = lies_in.map_or(task.lot.code, PromisedGrain::code);
        let held = lots.iter().find(|held| held.lot.code == lot);
        let (mut by, mut block) = (task.by, None);
        if let (Work::Thaw, Some(held)) = (task.work, held) {
            if thawing::lies_in_freezer(held.place.as_ref()) {
                // It comes out once, for all bakes that find it good then.
                let is_its = |out: &ComesOut| {
                    out.first.lot == lot
                        && out.takes.iter().any(|(bake, _)| Some(*bake) == task.bake)
                };
                let Some(place) = blocks.iter().position(is_its) else {
                    continue;
                };
                let out = blocks.swap_remove(place);
                by = out.first.by;
                block = Some(out.block());
            } else if let Some(grain_at) = grain_at {
                by = thawing::out_by(house, held.depth, *grain_at).unwrap_or(by);
            }
        }
        if by < now {
            continue;
        }
        let takes: Vec<Vec<(Option<BakeCode>, Milligrams)>> = match (&block, task.work) {
            (Some(block), _) => {
                let takes = block.takes.iter();
                vec![takes.map(|(bake, wet)| (Some(*bake), *wet)).collect()]
            }
            (None, Work::Freeze) => {
                let thawed = plan.draws.iter().filter(|draw| {
                    draw.lot.code == task.lot.code
                        && draw.state == State::Thawed
                        && open.contains_key(&draw.bake)
                });
                let thawed = thawed.map(|draw| (draw.bake, draw.wet));
                let bags = bags(task.wet, thawed, work.portion).into_iter();
                bags.map(|bag| vec![bag]).collect()
            }
            (None, Work::Dry | Work::Thaw) => vec![vec![(task.bake, task.wet)]],
        };
        let moved = |takes: &[(Option<BakeCode>, Milligrams)]| {
            let all: i64 = takes.iter().map(|(_, wet)| wet.get()).sum();
            block
                .as_ref()
                .map_or(Milligrams::new(all), |block| block.all)
        };
        jobs.extend(takes.into_iter().map(|takes| ToDeal {
            task: index,
            job: Job {
                work: task.work,
                lot,
                wet: moved(&takes),
                by,
            },
            takes,
            block: block.clone(),
        }));
    }
    let to_deal: Vec<Job<LotCode>> = jobs.iter().map(|one| one.job).collect();
    let dealt = fit_places::deal(view, &to_deal, now)?;
    let mut found: Vec<Option<ToCome>> = vec![None; plan.tasks.len()];
    for (one, parts) in jobs.iter().zip(&dealt) {
        let of_task = found[one.task].get_or_insert_with(|| ToCome {
            lot: one.job.lot,
            by: one.job.by,
            block: one.block.clone(),
            bags: Vec::new(),
        });
        of_task.bags.extend(spread(&one.takes, parts));
    }
    Ok(found)
}

fn calendar_bake(answer: BakeAnswer, lost: &[LostGrain]) -> CalendarBake {
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
        // Dropping changes it once more.
        sequence: answer.bake.restated + u32::from(is_dropped),
        is_dropped,
    }
}
