//! What is due: from the keeping clock, the accepted plan, the bakes and the samples that are drying.

pub(super) mod grain_jobs;
mod grain_places;
mod known;
mod of_bakes;
pub(super) mod taken_out;

use crate::desk::{Answer, Desk, plan_facts, promises, thawing};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::keeping::{Advice, Verdict};
use crate::ledger::{AcceptedPlan, LotRecord, PlanTask, View, Which};
use crate::planning::plan::Work;
use crate::planning::windows::{State, Windows};
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::plan::end_of;
use crate::report::shelf::{ShelfAnswer, ToPreserve};
use crate::report::today::{Due, DueTask, TodayAnswer};
use std::collections::{BTreeMap, BTreeSet};

/// Days that are looked at, today counted: what is baked early tomorrow begins today.
pub const USUAL_DAYS: u32 = 2;

/// What weighing may take from what was to be frozen before it counts as not done, as with promises.
const NEARLY: f64 = 1.0 - promises::TOLERANCE;

impl Desk {
    /// Everything that is due in so many days, today counted, in order of time.
    pub fn today(&self, days: u32) -> anyhow::Result<Answer<TodayAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let now = self.as_of()?;
        let until = end_of(now, days, self.zone());
        let shelf = self.stock()?;
        let mut due = Vec::new();
        let mut weighed = BTreeSet::new();
        for lot in &shelf.answer.lots {
            due.extend(of_keeping(lot, &shelf.answer, until));
            if lot.estimate.unfinished.samples > 0 {
                due.extend(of_samples(view, lot, &shelf.answer, &mut weighed)?);
            }
            due.extend(of_ticket(view, lot)?);
        }
        let (accepted, work) = (view.accepted_plan()?, view.house()?.work);
        let mut has_bakes = false;
        let mut to_thaw = Vec::new();
        if let Some(plan) = &accepted {
            let open = grain_jobs::of_plan(view, plan, &shelf.answer, (now, until))?;
            due.extend(open.into_iter().map(|job| job.due));
            leave_to_the_plan(&mut due, &shelf.answer, work.step);
        }
        for bake in view.bakes(Which::Open)? {
            let answer = BakeAnswer::of(bake)?;
            let mut not_thawed = Vec::new();
            if !answer.is_overdue(now) {
                has_bakes = true;
                let house = (&work, self.zone());
                let shelf = &shelf.answer;
                let thawed = taken_out::for_bake(view, accepted.as_ref(), &answer, shelf, house)?;
                let too_late = thawed.iter().filter(|one| now > one.latest);
                not_thawed.extend(too_late.map(|one| one.lot));
                to_thaw.extend(thawed);
            }
            let plan = accepted.as_ref();
            let is_left_out = plan.is_some_and(|plan| promises::is_left_out(plan, &answer));
            let planned = (not_thawed.as_slice(), is_left_out);
            due.extend(of_bakes::of_bake(answer, planned, &shelf.answer, now));
        }
        let lots = (shelf.answer.lots.as_slice(), self.zone());
        due.extend(taken_out::due(to_thaw, lots, now));
        if let Some(plan) = &accepted {
            known::mark(view, plan, &mut due, now)?;
        }
        if has_bakes {
            due.extend(of_tests(view, &shelf.answer, now)?);
        }
        grain_places::name(view, &mut due, now)?;
        // What goes first is thought of now, however long it keeps.
        let goes_first = |due: &Due| matches!(due.task, DueTask::UseFirst { .. });
        due.retain(|due| due.by.is_none_or(|by| by <= until) || goes_first(due));
        let on_hand = shelf.answer.lots.len();
        let unplanned = accepted.is_none() && has_bakes && on_hand > 0;
        let answer = TodayAnswer::new((now, until), on_hand, unplanned, due);
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions).with_notices(shelf.notices))
    }
}

/// Whether a job of a plan is about a lot: it was asked for that lot, or for one that the lot was made of since.
pub(super) fn is_about(
    view: View<'_>,
    plan: &AcceptedPlan,
    task: &PlanTask,
    lot: &LotRecord,
) -> anyhow::Result<bool> {
    Ok(lot.code == task.lot.code || view.is_made_of(lot, &task.lot, plan.entry)?)
}

/// What the accepted plan freezes and dries of each lot on hand and is not done, all bags together.
pub(super) fn to_preserve(
    view: View<'_>,
    shelf: &ShelfAnswer,
    now: Instant,
) -> anyhow::Result<Vec<ToPreserve>> {
    let Some(plan) = view.accepted_plan()? else {
        return Ok(Vec::new());
    };
    let mut found: Vec<ToPreserve> = Vec::new();
    let open = grain_jobs::of_plan(view, &plan, shelf, (now, Instant::MAX_UTC))?;
    if open.is_empty() {
        return Ok(found);
    }
    let mut jobs: Vec<Due> = open.into_iter().map(|job| job.due).collect();
    // What comes out of a freezer makes room in it.
    let (work, zone) = (view.house()?.work, &view.about().zone);
    let mut to_thaw = Vec::new();
    for bake in view.bakes(Which::Open)? {
        let answer = BakeAnswer::of(bake)?;
        let promised = (shelf.promised.as_slice(), shelf.lost.as_slice());
        let thawed = thawing::of_bake(Some(&plan), &answer, promised, &shelf.lots, (&work, zone));
        to_thaw.extend(thawed);
    }
    jobs.extend(taken_out::due(to_thaw, (&shelf.lots, zone), now));
    grain_places::name(view, &mut jobs, now)?;
    for due in jobs {
        let (
            Some(by),
            DueTask::Grain {
                work,
                lot,
                wet,
                place,
                ..
            },
        ) = (due.by, due.task)
        else {
            continue;
        };
        if work == Work::Thaw {
            continue;
        }
        let is_same = |one: &&mut ToPreserve| (one.lot, one.work, one.by) == (lot, work, by);
        match found.iter_mut().find(is_same) {
            Some(known) => {
                known.wet = Milligrams::new(known.wet.get() + wet.get());
                let place = place.filter(|place| !known.places.contains(place));
                known.places.extend(place);
            }
            None => found.push(ToPreserve {
                lot,
                work,
                wet,
                by,
                places: place.into_iter().collect(),
            }),
        }
    }
    Ok(found)
}

/// What the keeping clock asks for of a lot, and whether it goes first or out.
fn of_keeping(lot: &LotAnswer, shelf: &ShelfAnswer, until: Instant) -> Vec<Due> {
    let keeping = &lot.keeping;
    let boxed = || Box::new(lot.clone());
    if keeping.verdict == Verdict::Past {
        let task = DueTask::ThrowAway(boxed());
        return vec![Due { by: None, task }];
    }
    let mut due = Vec::new();
    let mut hangs_on_advice = false;
    if let Some(advice) = &keeping.advice {
        let by = match advice {
            Advice::TakeTemperature { by, .. } | Advice::BackIntoTheColdBy(by) => Some(Some(*by)),
            Advice::MeasureActivity { .. } | Advice::ReadInLogger { .. } => Some(advice.by()),
            Advice::AskMashOut
            | Advice::AskWhenCooled { .. }
            | Advice::AskWhetherColdBefore { .. }
            | Advice::UseNow => Some(None),
            // Frozen grain waits.
            Advice::StraightFromTheFreezer | Advice::DaysAfterThawing(_) => None,
        };
        hangs_on_advice = by.flatten().is_some();
        // A dough does not wait for grain that is shown dry after it.
        let of_lot = shelf
            .to_show_dry
            .iter()
            .filter(|one| one.lot == lot.lot.code);
        let first = of_lot.min_by_key(|one| (one.by, one.bake));
        let taken_by = first.filter(|one| by.flatten().is_some_and(|by| one.by < by));
        due.extend(by.map(|by| Due {
            by: taken_by.map_or(by, |one| Some(one.by)),
            task: DueTask::Keep {
                lot: boxed(),
                advice: advice.clone(),
                taken_by: taken_by.map(|one| one.bake),
            },
        }));
    }
    let goes_first =
        |keep_until: Instant| keeping.verdict == Verdict::UseFirst || keep_until <= until;
    if let Some(keep_until) = keeping.keep_until
        && keeping.verdict.may_be_used()
        && !hangs_on_advice
        && goes_first(keep_until)
    {
        due.push(Due {
            by: Some(keep_until),
            task: DueTask::UseFirst {
                lot: boxed(),
                bakes: shelf.promised_of(lot.lot.code),
            },
        });
    }
    due
}

/// The newest ticket, where it is not true any more.
fn of_ticket(view: View<'_>, lot: &LotAnswer) -> anyhow::Result<Option<Due>> {
    // Of past grain nothing is printed: it is thrown away.
    let Some(printed) = view
        .ticket(&lot.lot)?
        .filter(|_| lot.keeping.verdict != Verdict::Past)
    else {
        return Ok(None);
    };
    let changed = view.changed_on_label(&lot.lot, printed.printed_at)?;
    let is_untrue = printed.says.is_untrue(&lot.keeping) || !changed.is_empty();
    Ok(is_untrue.then(|| Due {
        by: None,
        task: DueTask::PrintTicket {
            lot: Box::new(lot.clone()),
            printed,
            changed,
        },
    }))
}

/// Samples that are drying, each once: they count for the parts of a lot too, but lie in one oven.
fn of_samples(
    view: View<'_>,
    lot: &LotAnswer,
    shelf: &ShelfAnswer,
    weighed: &mut BTreeSet<i64>,
) -> anyhow::Result<Vec<Due>> {
    let mut due = Vec::new();
    for record in view.tests(&lot.lot)? {
        let taken_of = view.entry(record.entry)?.lot;
        let is_on_hand = |code| shelf.lots.iter().any(|lot| lot.lot.code == code);
        let is_told_there = taken_of.is_some_and(|code| code != lot.lot.code && is_on_hand(code));
        if !record.test.is_unfinished() || is_told_there || !weighed.insert(record.entry) {
            continue;
        }
        due.push(Due {
            by: None,
            task: DueTask::WeighAgain {
                lot: lot.lot.code,
                since: record.at,
                drying: record.test.drying(),
            },
        });
    }
    Ok(due)
}

/// Lots of which a test is worth the oven, where a sample can be dried before the bake that takes the lot next. One that is
/// frozen is tested once it is thawed; one with a sample in the oven is asked to be weighed again.
fn of_tests(view: View<'_>, shelf: &ShelfAnswer, now: Instant) -> anyhow::Result<Vec<Due>> {
    let ground = plan_facts::find(view, now, plan_facts::USUAL)?;
    let is_asked = |lot: &usize| {
        let moisture = &ground.moistures[*lot];
        moisture.is_worth_a_test() && moisture.drying() == 0
    };
    let asked: Vec<usize> = (0..ground.lots.len()).filter(is_asked).collect();
    if asked.is_empty() {
        return Ok(Vec::new());
    }
    let windows = Windows::of(&ground.situation);
    let due = asked.into_iter().filter_map(|lot| {
        let next = ground
            .next_bake(&windows, lot)
            .filter(|_| !windows.lots[lot].frozen)?;
        let by = ground.sample_by(next.grain_at).filter(|by| *by >= now)?;
        let code = ground.lots[lot].code;
        let known = shelf.lots.iter().find(|known| known.lot.code == code)?;
        let lot = Box::new(known.clone());
        Some(Due {
            by: Some(by),
            task: DueTask::Test { lot, next },
        })
    });
    Ok(due.collect())
}

/// What the plan freezes or dries of a lot is not said to go first as well, nor the bakes that it is promised to so, also
/// where it is too late for them. What a step of the scale leaves is no rest.
fn leave_to_the_plan(due: &mut Vec<Due>, shelf: &ShelfAnswer, step: Milligrams) {
    let mut kept: BTreeMap<LotCode, (i64, Vec<(State, BakeCode)>)> = BTreeMap::new();
    for due in due.iter() {
        let (work, lot, wet, bake) = match due.task {
            DueTask::Grain {
                work,
                lot,
                wet,
                bake,
                ..
            } => (work, lot, wet, bake),
            // It stays where it is, and is promised to that bake no more.
            DueTask::TooLate {
                work, lot, bake, ..
            } => (work, lot, Milligrams::ZERO, Some(bake)),
            _ => continue,
        };
        let state = match work {
            Work::Freeze => State::Thawed,
            Work::Dry => State::Dried,
            Work::Thaw => continue,
        };
        let (sum, states) = kept.entry(lot).or_default();
        *sum += wet.get();
        states.extend(bake.map(|bake| (state, bake)));
    }
    due.retain_mut(|due| {
        let DueTask::UseFirst { lot, bakes } = &mut due.task else {
            return true;
        };
        if let Some((kept, states)) = kept.get(&lot.lot.code) {
            let stays =
                shelf.promised_in(lot.lot.code, |one| !states.contains(&(one.state, one.bake)));
            let rest = lot.wet.get() - kept;
            let is_rounding = *kept as f64 >= NEARLY * lot.wet.get() as f64;
            if rest <= step.get() || is_rounding && stays.is_empty() {
                return false;
            }
            lot.wet = Milligrams::new(rest);
            *bakes = stays;
        }
        let promised: i64 = bakes.iter().map(|one| one.wet.get()).sum();
        let over = lot.wet.get() - promised;
        if promised > 0 && (1..=step.get()).contains(&over) {
            lot.wet = Milligrams::new(promised);
        }
        promised > 0 || over > step.get()
    });
}
