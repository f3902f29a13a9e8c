//! Bakes and tasks of the accepted plan, for a calendar.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Refusal, fit_places, promises, thawing};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::keeping::PlaceKind;
use crate::ledger::{AcceptedPlan, BakeEnd, OnHand, View, Which};
use crate::planning::places::{Job, Part, spread};
use crate::planning::plan::{Work, bags};
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::bake::BakeAnswer;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use crate::report::promise::{LostGrain, PromisedGrain};
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
    let open: Vec<BakeCode> = view
        .bakes(Which::Open)?
        .iter()
        .map(|bake| bake.code)
        .collect();
    let mut jobs = match &accepted {
        Some(plan) => to_come(view, plan, (&open, promised), now)?,
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
        let (lot, block, bags) = match job {
            Some(ToCome { lot, block, bags }) => (lot, block, bags),
            None => (task.lot.code, None, Vec::new()),
        };
        let takes_of_it = |bake: &BakeCode| {
            let mut takes = block.iter().flat_map(|block| &block.takes);
            takes.any(|(one, _)| one == bake)
        };
        let is_asked =
            only.is_none() || only == task.bake || only.as_ref().is_some_and(takes_of_it);
        if task.by < now || is_known || !is_asked {
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
            by: task.by,
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
    is_block: bool,
}

/// What of each task of a plan is to come, with places that are fit now; nothing of a task whose block comes out by one before.
fn to_come(
    view: View<'_>,
    plan: &AcceptedPlan,
    (open, promised): (&[BakeCode], &[PromisedGrain]),
    now: Instant,
) -> anyhow::Result<Vec<Option<ToCome>>> {
    let on_hand = view.on_hand(now)?;
    let portion = view.house()?.work.portion;
    let mut jobs: Vec<ToDeal> = Vec::new();
    for (index, task) in plan.tasks.iter().enumerate() {
        if task.by < now || task.bake.is_some_and(|bake| !open.contains(&bake)) {
            continue;
        }
        let mut promised = promised.iter();
        let lies_in = promised.find(|one| {
            Some(one.bake) == task.bake && one.named == task.lot.code && task.work == Work::Thaw
        });
        let lot = lies_in.map_or(task.lot.code, PromisedGrain::code);
        let mut frozen = on_hand.iter().filter(|held| {
            task.work == Work::Thaw && held.lot.code == lot && held.place_kind == PlaceKind::Freezer
        });
        let block = frozen.next();
        // A block comes out once, for all bakes that find it good then.
        let mut known = jobs.iter_mut();
        let known = known.find(|known| known.is_block && known.job.lot == lot);
        if let (Some(held), Some(known), Some(bake)) = (block, known, task.bake)
            && (known.job.by == task.by || lasts(view, held, (known.job.by, bake), now)?)
        {
            known.takes.push((task.bake, task.wet));
            continue;
        }
        let takes = match task.work {
            Work::Freeze => {
                let thawed = plan.draws.iter().filter(|draw| {
                    draw.lot.code == task.lot.code
                        && draw.state == State::Thawed
                        && open.contains(&draw.bake)
                });
                bags(task.wet, thawed.map(|draw| (draw.bake, draw.wet)), portion)
            }
            Work::Dry | Work::Thaw => vec![(task.bake, task.wet)],
        };
        jobs.extend(takes.into_iter().map(|(bake, wet)| ToDeal {
            task: index,
            job: Job {
                work: task.work,
                lot,
                wet: block.map_or(wet, |block| block.wet),
                by: task.by,
            },
            takes: vec![(bake, wet)],
            is_block: block.is_some(),
        }));
    }
    let to_deal: Vec<Job<LotCode>> = jobs.iter().map(|one| one.job).collect();
    let dealt = fit_places::deal(view, &to_deal, now)?;
    let mut found: Vec<Option<ToCome>> = vec![None; plan.tasks.len()];
    for (one, parts) in jobs.iter().zip(&dealt) {
        let of_task = found[one.task].get_or_insert_with(|| ToCome {
            lot: one.job.lot,
            block: one.block(),
            bags: Vec::new(),
        });
        of_task.bags.extend(spread(&one.takes, parts));
    }
    Ok(found)
}

/// Whether a bake finds a block good that comes out by a moment.
fn lasts(
    view: View<'_>,
    block: &OnHand,
    (by, bake): (Instant, BakeCode),
    now: Instant,
) -> anyhow::Result<bool> {
    let lot = FactFinder::new(view)?.answer(block.lot.clone(), now)?;
    let bake = BakeAnswer::of(view.bake(&bake.to_string())?)?;
    let grain_at = bake.needs.grain_at();
    Ok(thawing::lasts(&lot, &view.about().zone, by, grain_at))
}

impl ToDeal {
    fn block(&self) -> Option<Block> {
        let takes = self.takes.iter();
        let takes = takes.filter_map(|(bake, wet)| Some(((*bake)?, *wet)));
        self.is_block
            .then(|| thawing::block(self.job.wet, takes.collect()))
    }
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
