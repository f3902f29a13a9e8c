//! Accepts a plan.

use crate::desk::guard::Compare;
use crate::desk::{Desk, Refusal};
use crate::ledger::{NewDraw, NewPlan, NewTask};
use crate::planning::plan::Draw;
use crate::report::plan::PlanAnswer;

impl Desk {
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
        // The new plan has times of its own.
        answer.late.clear();
        Ok(())
    }
}
