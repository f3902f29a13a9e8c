//! Which lot into which bake, what to freeze or dry and by when.

use crate::desk::guard::Compare;
use crate::desk::plan_facts::{self, PlanOf};
use crate::desk::{Answer, Desk, NoPlanBecause, Progress, Refusal, Watch};
use crate::ledger::{NewDraw, NewPlan, NewTask};
use crate::planning::plan::Draw;
use crate::planning::{self, NoPlan, Patience};
use crate::report::plan::{PlanAnswer, PlanGround};

impl Desk {
    /// Plans. The book is free for others while the search goes on.
    pub fn plan(
        &self,
        request: PlanOf,
        watch: &mut dyn Watch,
    ) -> anyhow::Result<Answer<PlanAnswer>> {
        let ground = plan_facts::find(self.view(), self.now, request)?;
        let plan = planning::make(&ground.situation, Patience::default(), &mut |aim| {
            watch.goes_on(Progress::Plan(aim))
        })
        .map_err(|reason| no_plan(reason, &ground))?;
        let answer = PlanAnswer::new(ground, plan);
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }

    /// Promises a plan's grain to its bakes, unless somebody wrote to the book since it was asked for.
    pub fn accept_plan(&mut self, answer: &mut PlanAnswer) -> anyhow::Result<()> {
        let ground = &answer.ground;
        let draws = answer.bakes().flat_map(|(bake, planned)| {
            let of = |draw: &Draw| NewDraw {
                bake: &bake.bake,
                lot: &ground.lots[draw.lot],
                state: draw.state,
                wet: draw.wet,
                dry: draw.dry,
            };
            planned.draws.iter().map(of).collect::<Vec<_>>()
        });
        let tasks = answer.plan.actions.iter().map(|action| NewTask {
            work: action.work,
            lot: &ground.lots[action.lot],
            wet: action.wet,
            by: action.by,
            bake: action.bake.map(|bake| &ground.bakes[bake].bake),
        });
        let plan = NewPlan {
            until: ground.situation.end,
            careful: ground.situation.careful,
            draws: draws.collect(),
            tasks: tasks.collect(),
        };
        self.act(Compare::Nothing, |act| {
            if act.view().last_entry()? != ground.last_entry {
                return Err(Refusal::BookHasMovedOn.into());
            }
            act.accept_plan(&plan)
        })?;
        answer.accepted = true;
        Ok(())
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
        NoPlan::NothingUsable => NoPlanBecause::NothingUsable,
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
