//! Which place a job with grain brings it to: by the same rule as in a plan, among the places that are fit now.

use crate::desk::{Desk, fit_places};
use crate::grain::LotCode;
use crate::ledger::View;
use crate::planning::places::Job;
use crate::planning::plan::Work;
use crate::quantity::{Instant, Milligrams};
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
        let job = Job {
            work,
            lot,
            wet,
            by: now,
        };
        let parts = fit_places::deal(view, &[job], now)?;
        let first = parts.into_iter().flatten().next();
        Ok(first.and_then(|part| part.place))
    }
}

/// Gives every job its place. What no one place has room for becomes several jobs.
pub(super) fn name(view: View<'_>, due: &mut Vec<Due>, now: Instant) -> anyhow::Result<()> {
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
            wet: block.as_ref().map_or(*wet, |block| block.all),
            by: due.by.unwrap_or(now),
        }),
        _ => None,
    };
    let jobs: Vec<_> = due.iter().filter_map(job).collect();
    let mut parts = fit_places::deal(view, &jobs, now)?.into_iter();
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
