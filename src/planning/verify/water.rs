//! The water that the grain of a bake brings: no more than its dough takes, whole or at its least.

use super::Walk;
use crate::planning::problem::Bake;
use crate::planning::windows::State;

/// By so many steps of the scale a draw may differ from what was worked out for it, to keep to freezers or dryer.
const FEW_STEPS: i64 = 10;

impl Walk<'_> {
    pub(super) fn water(&mut self, index: usize, bake: &Bake) {
        let Some(room) = bake.water else {
            return;
        };
        let (situation, plan) = (self.situation, self.plan);
        let step = situation.capacity.step.get();
        let draws = &plan.bakes[index].draws;
        let (mut brought, mut likely) = (0.0, 0.0);
        for draw in draws {
            let (wet, dry) = (draw.wet.get() as f64, draw.dry.get() as f64);
            let (wet, dry) = match draw.state {
                State::Dried => (dry / (1.0 - situation.capacity.dried_moisture), dry),
                State::AsItLies | State::Thawed => {
                    (wet, wet * situation.lots[draw.lot].dry_fraction(false))
                }
            };
            brought += room.water(wet, dry);
            likely += dry;
        }
        let most = room.most.get() as f64;
        if brought > most + step as f64 {
            self.say(format!(
                "{}: its grain brings {brought:.0} mg of water, the dough takes {most:.0}",
                bake.code
            ));
        }
        // A dough that is short is weighed out at its least: its grain must not be too wet for that.
        let least = bake.lowest.get() as f64;
        let slack = (FEW_STEPS * step) as f64 * draws.len() as f64;
        let is_short = bake.firm && likely < least;
        if is_short && brought > most / least * (likely + slack) + slack {
            self.say(format!("{}: its grain is too wet for its least", bake.code));
        }
    }
}
