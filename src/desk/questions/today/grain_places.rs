//! Which place a job with grain brings it to: by the same rule as in a plan, among the places that are fit now.

use crate::desk::facts::FactFinder;
use crate::desk::{Desk, fit_places};
use crate::grain::LotCode;
use crate::ledger::View;
use crate::planning::places::{Job, Part, deal};
use crate::planning::plan::Work;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::today::{Due, DueTask};

impl Desk {
    /// The place into which so much of a lot is frozen or thawed now; nothing where no place is cold enough.
    pub fn place_for(
        &self,
        work: Work,
        lot: LotCode,
        wet: Milligrams,
    ) -> anyhow::Result<Option<String>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let now = self.as_of()?;
        let on_hand = FactFinder::new(view)?.on_hand(now)?;
        let lies = on_hand.iter().filter_map(|facts| {
            let (place, _) = facts.place.as_ref()?;
            Some((facts.lot.code, place.as_str(), facts.wet))
        });
        let job = Job {
            work,
            lot,
            wet,
            by: now,
        };
        let parts = dealt(view, &lies.collect::<Vec<_>>(), &[job], now)?;
        let first = parts.into_iter().flatten().next();
        Ok(first.and_then(|part| part.place))
    }
}

/// The parts of each job. `lies` says how much of each lot is in which place.
fn dealt(
    view: View<'_>,
    lies: &[(LotCode, &str, Milligrams)],
    jobs: &[Job<LotCode>],
    now: Instant,
) -> anyhow::Result<Vec<Vec<Part>>> {
    let about = view.about();
    let (places, _) = fit_places::of(&view.places()?, &about.rules, now);
    let step = view.house()?.work.step;
    let lies = lies.iter().copied();
    Ok(deal(&places, lies, jobs, (&about.zone, step)))
}

/// Gives every job its place. What no one place has room for becomes several jobs.
pub(super) fn name(
    view: View<'_>,
    due: &mut Vec<Due>,
    lots: &[LotAnswer],
    now: Instant,
) -> anyhow::Result<()> {
    let job = |due: &Due| match &due.task {
        DueTask::Grain {
            work,
            lot,
            wet,
            block,
            ..
        } => Some(Job {
            work: *work,
            lot: *lot,
            wet: block.unwrap_or(*wet),
            by: due.by.unwrap_or(now),
        }),
        _ => None,
    };
    let jobs: Vec<_> = due.iter().filter_map(job).collect();
    if jobs.is_empty() {
        return Ok(());
    }
    let lies = lots.iter().filter_map(|lot| {
        let (place, _) = lot.place.as_ref()?;
        Some((lot.lot.code, place.as_str(), lot.wet))
    });
    let mut parts = dealt(view, &lies.collect::<Vec<_>>(), &jobs, now)?.into_iter();
    let mut named = Vec::with_capacity(due.len());
    for mut one in due.drain(..) {
        let work = match one.task {
            DueTask::Grain { work, .. } => Some(work),
            _ => None,
        };
        let Some(work) = work else {
            named.push(one);
            continue;
        };
        for part in parts.next().unwrap_or_default() {
            if let DueTask::Grain { wet, place, .. } = &mut one.task {
                *place = part.place;
                // What else is done is done in one place.
                if work == Work::Freeze {
                    *wet = part.wet;
                }
            }
            named.push(one.clone());
        }
    }
    *due = named;
    Ok(())
}
