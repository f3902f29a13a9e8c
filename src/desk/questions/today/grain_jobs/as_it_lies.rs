//! Grain that a bake takes as it lies, as the bake was moved since: nobody freezes or dries it for that bake.

use super::Jobs;
use crate::grain::{Form, LotCode};
use crate::keeping::History;
use crate::ledger::PlanDraw;
use crate::planning::windows::State;
use crate::quantity::Milligrams;
use crate::report::promise::PromisedGrain;

impl Jobs<'_> {
    /// Whether a draw is of grain that is not frozen or dried by now, and that its bake finds good without.
    pub(super) fn takes_as_it_lies(&self, draw: &PlanDraw) -> bool {
        let Some(wanted) = self.moved.get(&draw.bake) else {
            return false;
        };
        if draw.state == State::Dried && *wanted == Some(Form::Dried) {
            return false;
        }
        let is_of_draw = |one: &&PromisedGrain| {
            (one.bake, one.named, one.state) == (draw.bake, draw.lot.code, draw.state)
                && one.there() > Milligrams::ZERO
        };
        let mut mine = self.shelf.promised.iter().filter(is_of_draw).peekable();
        mine.peek().is_some() && mine.all(|one| self.is_good_as_it_lies(one))
    }

    fn is_good_as_it_lies(&self, one: &PromisedGrain) -> bool {
        let mut facts = self.facts.iter();
        let Some(facts) = facts.find(|facts| one.lot == Some(facts.lot.code)) else {
            return false;
        };
        let is_handled = match one.state {
            State::Dried => facts.lot.form.is_dry(),
            State::Thawed => {
                let mut frozen_at = facts.histories.iter().flat_map(History::frozen_at);
                frozen_at.next().is_some()
            }
            State::AsItLies => true,
        };
        let about = self.view.about();
        let at = one.grain_at.max(self.now);
        let then = || facts.keeping(&about.rules, &about.zone, at).verdict;
        !is_handled && then().may_be_used()
    }

    /// Milligrams of a lot that the plan has in one state for bakes that take them as they lie.
    pub(super) fn taken_as_they_lie(&self, lot: LotCode, state: State) -> i64 {
        let draws = self.plan.draws.iter();
        let draws = draws.filter(|draw| draw.lot.code == lot && draw.state == state);
        let draws = draws.filter(|draw| self.takes_as_it_lies(draw));
        draws.map(|draw| draw.wet.get()).sum()
    }
}
