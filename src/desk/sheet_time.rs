//! What the book knew when the sheet of a bake was made.

use crate::ledger::View;
use crate::quantity::Instant;
use crate::report::bake::BakeAnswer;

/// When grain is weighed out of which a dough is mixed at a moment: grain of a stage before the mixing was, and is judged,
/// by as much earlier.
pub fn weighed_out_at(planned: &BakeAnswer, mixed_at: Instant) -> Instant {
    mixed_at - (planned.needs.timetable.mix_at - planned.needs.grain_at())
}

/// The last entry that the sheet of a bake knew, which was mixed at a moment: the last by when its grain was weighed out, or
/// a later one that states the bake or promises it grain. A sample that was weighed after that was on no sheet.
pub fn last_known(view: View<'_>, planned: &BakeAnswer, mixed_at: Instant) -> anyhow::Result<i64> {
    let code = planned.bake.code;
    let promised = view
        .accepted_plan()?
        .filter(|plan| plan.draws.iter().any(|draw| draw.bake == code));
    Ok(view
        .last_entry_by(weighed_out_at(planned, mixed_at))?
        .max(planned.bake.stated_in())
        .max(promised.map_or(0, |plan| plan.entry)))
}
