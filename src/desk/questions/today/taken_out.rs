//! What comes out of the freezer for bakes: a frozen block once, for all bakes that find it good then.

use crate::desk::thawing::{self, ToThaw};
use crate::dough::bake_code::BakeCode;
use crate::planning::plan::Work;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::LotAnswer;
use crate::report::today::{Due, DueTask};

/// A block, by its first bake, and what each bake takes of it.
type Job = (ToThaw, Vec<(BakeCode, Milligrams)>);

/// Grain of these lots that is taken out of the freezer for bakes, or that is not thawed in time for one any more.
pub(super) fn due(
    mut thawed: Vec<ToThaw>,
    (lots, zone): (&[LotAnswer], &Zone),
    now: Instant,
) -> Vec<Due> {
    let mut due = Vec::new();
    let mut jobs: Vec<Job> = Vec::new();
    // A block comes out for the first of its bakes.
    thawed.sort_by_key(|one| (one.by, one.bake));
    for one in thawed {
        if now > one.latest {
            due.push(not_thawed(&one, now));
            continue;
        }
        let mut facts = lots.iter().filter(|lot| lot.lot.code == one.lot);
        let lot = facts.next();
        let lasts = |by: Instant| lot.is_none_or(|lot| thawing::lasts(lot, zone, by, one.grain_at));
        let mut known = jobs.iter_mut();
        match known.find(|(first, _)| first.lot == one.lot && lasts(first.by)) {
            Some((_, takes)) => match takes.iter_mut().find(|(bake, _)| *bake == one.bake) {
                Some((_, wet)) => *wet = Milligrams::new(wet.get() + one.wet.get()),
                None => takes.push((one.bake, one.wet)),
            },
            None => {
                let takes = vec![(one.bake, one.wet)];
                jobs.push((one, takes));
            }
        }
    }
    due.extend(jobs.into_iter().map(taken_out));
    due
}

fn taken_out((first, takes): Job) -> Due {
    let block = thawing::block(first.all, takes);
    Due {
        by: Some(first.by),
        task: DueTask::Grain {
            work: Work::Thaw,
            lot: first.lot,
            wet: block.taken(),
            bake: block.bake(),
            block: Some(block),
            place: None,
            is_last_moment: true,
        },
    }
}

fn not_thawed(one: &ToThaw, now: Instant) -> Due {
    Due {
        by: None,
        task: DueTask::NotThawed {
            lot: one.lot,
            wet: one.wet,
            bake: one.bake,
            late_by: now - one.latest,
        },
    }
}
