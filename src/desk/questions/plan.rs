//! Which lot into which bake, what to freeze or dry and by when.

use super::today;
use crate::desk::cold_doughs;
use crate::desk::plan_facts::{self, PlanOf};
use crate::desk::{Answer, Desk, NoPlanBecause, Progress, Refusal, Watch};
use crate::planning::{self, NoPlan, Patience};
use crate::report::plan::{PlanAnswer, PlanGround, all_lost};
use crate::report::shelf::ToPreserve;

impl Desk {
    /// Plans. The book is free for others while the search goes on.
    pub fn plan(
        &self,
        request: PlanOf,
        watch: &mut dyn Watch,
    ) -> anyhow::Result<Answer<PlanAnswer>> {
        let (ground, late) = self.plan_ground(request)?;
        let plan = planning::make(&ground.situation, Patience::default(), &mut |aim| {
            watch.goes_on(Progress::Plan(aim))
        })
        .map_err(|reason| no_plan(reason, &ground))?;
        let mut answer = PlanAnswer::new(ground, plan);
        answer.late = late;
        answer.cold_doughs = cold_doughs::find(self.view(), &answer)?;
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }

    /// What a plan is made from, and what the accepted plan wanted frozen or dried by now and is not.
    fn plan_ground(&self, request: PlanOf) -> anyhow::Result<(PlanGround, Vec<ToPreserve>)> {
        let view = self.view();
        let _still = view.hold_still()?;
        let ground = plan_facts::find(view, self.now, request)?;
        let mut late = Vec::new();
        if ground.accepted_at.is_some() {
            late = today::to_preserve(view, &self.stock()?.answer, self.now)?;
            late.retain(|job| job.by < self.now);
        }
        Ok((ground, late))
    }
}

/// Why there is no plan.
pub(super) fn no_plan(reason: NoPlan, ground: &PlanGround) -> anyhow::Error {
    let code = |bake: usize| ground.bakes[bake].bake.code;
    let because = match reason {
        NoPlan::NoBakes => NoPlanBecause::NoBakes {
            later: ground.later,
            overdue: ground.overdue.first().copied(),
        },
        NoPlan::NoLots => NoPlanBecause::NoLots,
        NoPlan::NothingUsable => NoPlanBecause::NothingUsable(all_lost(ground)),
        NoPlan::CrossedBounds(bake) => NoPlanBecause::CrossedBounds(code(bake)),
        NoPlan::OutsideTheDays(bake) => NoPlanBecause::OutsideTheDays(code(bake)),
        NoPlan::Faulty(findings) => {
            return anyhow::anyhow!(
                "the plan breaks what it must keep to, and is not shown: {}",
                findings.join("; ")
            );
        }
    };
    Refusal::NoPlan(because).into()
}
