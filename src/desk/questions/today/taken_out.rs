//! What comes out of the freezer for bakes: a frozen block once, for all bakes that find it good then.

use crate::desk::thawing::{self, ComesOut, ToThaw};
use crate::dough::house;
use crate::ledger::{AcceptedPlan, View};
use crate::planning::plan::Work;
use crate::quantity::{Instant, Zone};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::shelf::ShelfAnswer;
use crate::report::today::{Due, DueTask};

/// What comes out of the freezer for a bake to come, by the accepted plan: of what is promised to it, of lots that it names, or of
/// what its sheet takes.
pub(in crate::desk::questions) fn for_bake(
    view: View<'_>,
    plan: Option<&AcceptedPlan>,
    bake: &BakeAnswer,
    shelf: &ShelfAnswer,
    house: (&house::Work, &Zone),
) -> anyhow::Result<Vec<ToThaw>> {
    let promised = (shelf.promised.as_slice(), shelf.lost.as_slice());
    let mut thawed = thawing::of_bake(plan, bake, promised, &shelf.lots, house);
    let mut places = shelf.lots.iter().map(|lot| lot.place.as_ref());
    if places.any(thawing::lies_in_freezer) {
        let now = shelf.as_of;
        thawed.extend(thawing::of_sheet(view, bake, &shelf.promised, now, house)?);
    }
    Ok(thawed)
}

/// Grain of these lots that is taken out of the freezer for bakes, or that is not thawed in time for one any more.
pub(super) fn due(thawed: Vec<ToThaw>, lots: (&[LotAnswer], &Zone), now: Instant) -> Vec<Due> {
    let too_late = thawed.iter().filter(|one| now > one.latest);
    let mut due: Vec<Due> = too_late.map(|one| not_thawed(one, now)).collect();
    let blocks = thawing::come_out(thawed, lots, now);
    due.extend(blocks.iter().map(taken_out));
    due
}

fn taken_out(out: &ComesOut) -> Due {
    let block = out.block();
    Due {
        by: Some(out.first.by),
        task: DueTask::Grain {
            work: Work::Thaw,
            lot: out.first.lot,
            wet: block.taken(),
            bake: block.bake(),
            block: Some(block),
            place: None,
            is_last_moment: true,
            latest: Some(out.first.latest),
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
            plan_knows: false,
        },
    }
}
