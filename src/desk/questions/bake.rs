//! Planned and done bakes.

use crate::desk::facts::FactFinder;
use crate::desk::promises::{self, Promises};
use crate::desk::{Answer, Desk};
use crate::ledger::{AcceptedPlan, BakeEnd, BakeRecord, LotRecord, Which};
use crate::quantity::Instant;
use crate::report::bake::BakeAnswer;

impl Desk {
    /// One bake: its times, its grain, what it came to.
    pub fn bake(&self, code: &str) -> anyhow::Result<Answer<BakeAnswer>> {
        self.bake_as_it_stands(self.view().bake(code)?)
    }

    /// A bake as it stands.
    pub(in crate::desk) fn bake_as_it_stands(
        &self,
        bake: BakeRecord,
    ) -> anyhow::Result<Answer<BakeAnswer>> {
        let view = self.view();
        let (promised, plan) = (promises::judged(view, self.now)?, view.accepted_plan()?);
        let not_before = view.written_after(self.now)?;
        let planned = (&promised, plan.as_ref());
        let mut answer = answer(&mut FactFinder::new(view)?, planned, bake, not_before)?;
        answer.night = view.house()?.night;
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }

    /// The bakes to come, or all of them, in order of mixing.
    pub fn bakes(&self, all: bool) -> anyhow::Result<Answer<Vec<BakeAnswer>>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let mut finder = FactFinder::new(view)?;
        let (promised, plan) = (promises::judged(view, self.now)?, view.accepted_plan()?);
        let not_before = view.written_after(self.now)?;
        let planned = (&promised, plan.as_ref());
        let which = if all { Which::All } else { Which::Open };
        let mut answers = view
            .bakes(which)?
            .into_iter()
            .map(|bake| answer(&mut finder, planned, bake, not_before))
            .collect::<anyhow::Result<Vec<_>>>()?;
        answers.sort_by_key(|answer| (answer.needs.timetable.mix_at, answer.bake.code));
        Ok(Answer::new(answers, Vec::new()))
    }
}

/// A bake with its lots as they are when it is mixed, and with what the accepted plan promised to it. Where an entry was written
/// after now, nothing that is still to be mixed is mixed before that one.
fn answer(
    finder: &mut FactFinder<'_>,
    (promised, plan): (&Promises, Option<&AcceptedPlan>),
    bake: BakeRecord,
    not_before: Option<Instant>,
) -> anyhow::Result<BakeAnswer> {
    let mut answer = BakeAnswer::of(bake)?;
    let code = answer.bake.code;
    let of_bake = promised.grain.iter().filter(|one| one.bake == code);
    answer.promised = of_bake.cloned().collect();
    let lost = promised.lost.iter().filter(|one| one.bake == code);
    answer.lost = lost.copied().collect();
    answer.is_left_out = plan.is_some_and(|plan| promises::is_left_out(plan, &answer));
    let (lots, at): (Vec<LotRecord>, _) = match &answer.bake.end {
        Some(BakeEnd::Done(result)) => (
            result.draws.iter().map(|(lot, _)| lot.clone()).collect(),
            result.at,
        ),
        _ => {
            let mix_at = answer.needs.timetable.mix_at;
            (
                answer.bake.setting.lots.clone(),
                mix_at.max(not_before.unwrap_or(mix_at)),
            )
        }
    };
    answer.lots = lots
        .into_iter()
        .map(|lot| finder.answer(lot, at))
        .collect::<anyhow::Result<_>>()?;
    Ok(answer)
}
