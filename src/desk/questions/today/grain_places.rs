//! Which place each job with grain brings it to: by the same rule as in a plan, among the places that are fit now.

use crate::desk::fit_places;
use crate::ledger::View;
use crate::planning::places::{Job, deal};
use crate::planning::plan::Work;
use crate::quantity::Instant;
use crate::report::LotAnswer;
use crate::report::today::{Due, DueTask};

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
    let about = view.about();
    let (places, _) = fit_places::of(&view.places()?, &about.rules, now);
    let lies = lots.iter().filter_map(|lot| {
        let (place, _) = lot.place.as_ref()?;
        Some((lot.lot.code, place.as_str(), lot.wet))
    });
    let step = view.house()?.work.step;
    let mut dealt = deal(&places, lies, &jobs, (&about.zone, step)).into_iter();
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
        for part in dealt.next().unwrap_or_default() {
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
