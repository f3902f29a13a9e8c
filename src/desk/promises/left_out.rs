//! Bakes that the accepted plan knew as they are and gave nothing.

use crate::ledger::AcceptedPlan;
use crate::report::bake::BakeAnswer;

/// Whether a plan has no grain for a bake to come that it planned as it is now.
pub fn is_left_out(plan: &AcceptedPlan, bake: &BakeAnswer) -> bool {
    let (record, mix_at) = (&bake.bake, bake.needs.timetable.mix_at);
    let is_planned = (plan.accepted_at..=plan.until).contains(&mix_at);
    record.end.is_none()
        && is_planned
        && record.stated_in() <= plan.entry
        && plan.draws.iter().all(|draw| draw.bake != record.code)
}
