//! Bakes and tasks of the accepted plan, for a calendar.

use crate::desk::{Answer, Desk, Refusal, promises};
use crate::dough::bake_code::BakeCode;
use crate::ledger::{BakeEnd, View, Which};
use crate::planning::plan::{Work, bags};
use crate::planning::windows::State;
use crate::quantity::{Instant, Problem};
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
        let calendar = CalendarAnswer {
            book: view.about().name.clone(),
            night: view.house()?.night,
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
    let smallest = view.house()?.work.portion;
    let open: Vec<BakeCode> = view
        .bakes(Which::Open)?
        .iter()
        .map(|bake| bake.code)
        .collect();
    let promised = promises::now(view, now)?;
    let sequence = view.last_entry()?;
    let mut times: BTreeMap<(i64, String), u32> = BTreeMap::new();
    let mut tasks: Vec<CalendarTask> = Vec::new();
    for (entry, accepted_at, task) in view.tasks_of_plans()? {
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
        let portions = match in_force {
            Some(plan) if task.work == Work::Freeze => {
                let thawed = plan.draws.iter().filter(|draw| {
                    draw.lot.code == task.lot.code
                        && draw.state == State::Thawed
                        && open.contains(&draw.bake)
                });
                let thawed = thawed.map(|draw| (draw.bake.to_string(), draw.wet));
                bags(task.wet, thawed, smallest)
            }
            _ => Vec::new(),
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
