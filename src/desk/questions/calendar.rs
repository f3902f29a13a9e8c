//! Bakes and tasks of the accepted plan, for a calendar.

use crate::desk::{Answer, Desk, Refusal, fit_places, promises};
use crate::dough::bake_code::BakeCode;
use crate::keeping::PlaceKind;
use crate::ledger::{AcceptedPlan, BakeEnd, View, Which};
use crate::planning::places::{Job, deal};
use crate::planning::plan::{Work, bags};
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::Caution;
use crate::report::bake::BakeAnswer;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use crate::report::promise::PromisedGrain;
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
        let tasks = tasks(view, bake.is_some().then(|| answers[0].bake.code), now)?;
        if answers.is_empty() && tasks.is_empty() {
            return Err(Refusal::NoBakesPlanned.into());
        }
        let house = view.house()?;
        let calendar = CalendarAnswer {
            book: view.about().name.clone(),
            night: house.night,
            scale: house.work.step,
            bakes: answers.into_iter().map(calendar_bake).collect(),
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
    now: Instant,
) -> anyhow::Result<Vec<CalendarTask>> {
    let accepted = view.accepted_plan()?;
    let open: Vec<BakeCode> = view
        .bakes(Which::Open)?
        .iter()
        .map(|bake| bake.code)
        .collect();
    let promised = promises::now(view, now)?;
    let shares = match &accepted {
        Some(plan) => shares(view, plan, &open, now)?,
        None => Vec::new(),
    };
    let mut positions: BTreeMap<i64, usize> = BTreeMap::new();
    let sequence = view.last_entry()?;
    let mut times: BTreeMap<(i64, String), u32> = BTreeMap::new();
    let mut tasks: Vec<CalendarTask> = Vec::new();
    for (entry, accepted_at, task) in view.tasks_of_plans()? {
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
        let is_asked = only.is_none() || only == task.bake;
        if task.by < now || is_known || !is_asked {
            continue;
        }
        let in_force = accepted.as_ref().filter(|plan| plan.entry == entry);
        let holds = in_force.is_some() && task.bake.is_none_or(|bake| open.contains(&bake));
        let portions = if holds {
            shares[position].clone()
        } else {
            Vec::new()
        };
        let lies_in = promised.iter().find(|one| {
            Some(one.bake) == task.bake && one.named == task.lot.code && task.work == Work::Thaw
        });
        tasks.push(CalendarTask {
            id,
            work: task.work,
            lot: lies_in
                .map_or(task.lot.code, PromisedGrain::code)
                .to_string(),
            wet: task.wet,
            portions,
            by: task.by,
            bake: task.bake.map(|bake| bake.to_string()),
            cautions: Caution::of_work(task.work, task.wet),
            accepted_at,
            sequence,
            is_dropped: !holds,
        });
    }
    tasks.sort_by(|one, other| (one.by, &one.id).cmp(&(other.by, &other.id)));
    Ok(tasks)
}

/// A bag of a job: the bake that it is for, how much it is, and the place that it goes into.
type Share = (Option<String>, Milligrams, Option<String>);

/// The bags of each job of a plan that is to come, in places that are fit now.
fn shares(
    view: View<'_>,
    plan: &AcceptedPlan,
    open: &[BakeCode],
    now: Instant,
) -> anyhow::Result<Vec<Vec<Share>>> {
    let (about, house) = (view.about(), view.house()?.work);
    let on_hand = view.on_hand(now)?;
    let mut parts: Vec<(usize, Option<BakeCode>, Milligrams)> = Vec::new();
    for (index, task) in plan.tasks.iter().enumerate() {
        if task.by < now {
            continue;
        }
        if task.work != Work::Freeze {
            parts.push((index, task.bake, task.wet));
            continue;
        }
        let thawed = plan.draws.iter().filter(|draw| {
            draw.lot.code == task.lot.code
                && draw.state == State::Thawed
                && open.contains(&draw.bake)
        });
        let thawed = thawed.map(|draw| (draw.bake, draw.wet));
        let of_task = bags(task.wet, thawed, house.portion).into_iter();
        parts.extend(of_task.map(|(bake, wet)| (index, bake, wet)));
    }
    let job = |(index, _, wet): &(usize, Option<BakeCode>, Milligrams)| {
        let task = &plan.tasks[*index];
        // A frozen block comes out whole.
        let mut blocks = on_hand.iter().filter(|lot| {
            task.work == Work::Thaw
                && lot.lot.code == task.lot.code
                && lot.place_kind == PlaceKind::Freezer
        });
        Job {
            work: task.work,
            lot: task.lot.code,
            wet: blocks.next().map_or(*wet, |lot| lot.wet),
            by: task.by,
        }
    };
    let jobs: Vec<_> = parts.iter().map(job).collect();
    let (places, _) = fit_places::of(&view.places()?, &about.rules, now);
    let lies = on_hand
        .iter()
        .map(|lot| (lot.lot.code, lot.place.as_str(), lot.wet));
    let dealt = deal(&places, lies, &jobs, (&about.zone, house.step));
    let mut shares = vec![Vec::new(); plan.tasks.len()];
    for ((index, bake, wet), dealt) in parts.into_iter().zip(dealt) {
        let bake = bake.map(|bake| bake.to_string());
        let is_one = dealt.len() == 1;
        shares[index].extend(dealt.into_iter().map(|part| {
            let wet = if is_one { wet } else { part.wet };
            (bake.clone(), wet, part.place)
        }));
    }
    Ok(shares)
}

fn calendar_bake(answer: BakeAnswer) -> CalendarBake {
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
        // Dropping changes it once more.
        sequence: answer.bake.restated + u32::from(is_dropped),
        is_dropped,
    }
}
