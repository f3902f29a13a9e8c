//! What the accepted plan said already: nobody is told to plan again for it.

use super::NEARLY;
use crate::desk::promises;
use crate::dough::bake_code::BakeCode;
use crate::ledger::{AcceptedPlan, View, Which};
use crate::quantity::{Instant, Milligrams};
use crate::report::bake::BakeAnswer;
use crate::report::today::{Due, DueTask, PlannedShort};
use std::collections::{BTreeMap, BTreeSet};

/// What the accepted plan has for a bake that it has too little for.
struct Known {
    /// When its grain is weighed out.
    grain_at: Instant,
    /// Whether nothing is promised to it.
    is_without: bool,
    /// What a firm bake lacks.
    short: Option<PlannedShort>,
}

/// Marks what is due for bakes that the plan has no grain for, or less than a firm bake takes at least. As long as nothing was
/// written to the book since, another plan has no more.
pub(super) fn mark(
    view: View<'_>,
    plan: &AcceptedPlan,
    due: &mut [Due],
    now: Instant,
) -> anyhow::Result<()> {
    let is_newest = view.last_entry()? == plan.entry;
    let mut known: BTreeMap<BakeCode, Known> = BTreeMap::new();
    for record in view.bakes(Which::Open)? {
        let answer = BakeAnswer::of(record)?;
        if let Some(one) = known_of(&answer, plan, now) {
            known.insert(answer.bake.code, one);
        }
    }
    // Said with the first that the bake asks for, and again where the grain goes in, as what is lost is.
    let (mut begun, mut weighed_out) = (BTreeSet::new(), BTreeSet::new());
    for one in due {
        match &mut one.task {
            DueTask::NotThawed {
                bake, plan_knows, ..
            } => {
                *plan_knows = is_newest && known.get(bake).is_some_and(|known| known.is_without);
            }
            DueTask::Bake {
                bake,
                event,
                lacks,
                unusable,
                lost,
                short,
                plan_knows,
                ..
            } => {
                let Some(known) = known.get(bake) else {
                    continue;
                };
                let is_first = begun.insert(*bake);
                let weighs_out = event.from >= known.grain_at && weighed_out.insert(*bake);
                *short = known.short.filter(|_| is_first || weighs_out);
                // Of promised grain that is gone since the plan knew nothing.
                let is_gone = *lacks > Milligrams::ZERO || !unusable.is_empty() || !lost.is_empty();
                *plan_knows = is_newest && (known.is_without || !is_gone);
            }
            _ => {}
        }
    }
    Ok(())
}

fn known_of(answer: &BakeAnswer, plan: &AcceptedPlan, now: Instant) -> Option<Known> {
    let code = answer.bake.code;
    let mut draws = plan.draws.iter().filter(|draw| draw.bake == code);
    let is_without = draws.clone().next().is_none();
    // Nobody planned for what was added or stated anew since; of what an older book promised no dry grain is known.
    let is_planned = answer.needs.timetable.mix_at <= plan.until;
    let dry = draws.try_fold(0, |sum, draw| Some(sum + draw.dry?.get()));
    let least = Milligrams::nearest(answer.needs.dry_lowest);
    let is_told = answer.bake.setting.firm
        && !answer.is_overdue(now)
        && (!is_without || promises::is_left_out(plan, answer));
    let short = dry
        .filter(|dry| is_told && (*dry as f64) < NEARLY * least.get() as f64)
        .map(|dry| PlannedShort {
            dry: Milligrams::new(dry),
            least,
        });
    let is_without = is_without && is_planned;
    (is_without || short.is_some()).then_some(Known {
        grain_at: answer.needs.grain_at(),
        is_without,
        short,
    })
}
