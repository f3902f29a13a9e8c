//! What the accepted plan said already: nobody is told to plan again for it.

use crate::dough::bake_code::BakeCode;
use crate::ledger::{AcceptedPlan, View, Which};
use crate::report::bake::BakeAnswer;
use crate::report::today::{Due, DueTask};
use std::collections::BTreeSet;

/// Marks what is due for bakes that the plan has no grain for, as long as nothing was written to the book since.
pub(super) fn mark(view: View<'_>, plan: &AcceptedPlan, due: &mut [Due]) -> anyhow::Result<()> {
    if view.last_entry()? != plan.entry {
        return Ok(());
    }
    let mut without: BTreeSet<BakeCode> = BTreeSet::new();
    for record in view.bakes(Which::Open)? {
        let answer = BakeAnswer::of(record)?;
        let code = answer.bake.code;
        let is_promised = plan.draws.iter().any(|draw| draw.bake == code);
        if !is_promised && answer.needs.timetable.mix_at <= plan.until {
            without.insert(code);
        }
    }
    for one in due {
        if let DueTask::NotThawed {
            bake, plan_knows, ..
        }
        | DueTask::Bake {
            bake, plan_knows, ..
        } = &mut one.task
        {
            *plan_knows = without.contains(bake);
        }
    }
    Ok(())
}
