//! Grain that is not shown cold yet, or not frozen yet as its plan says, and still can be: a bake to come counts on it, as a
//! plan does, and says what has to be shown and frozen by when. A dough that is mixed does not count on it.

use super::Refusal;
use super::facts::FactFinder;
use super::refusal::{BakeToCome, HasLeft};
use super::thawing::{lies_in_freezer, once_frozen};
use crate::keeping::{Assessment, History, assess_all};
use crate::ledger::View;
use crate::planning::condition::{Condition, shown_in_time};
use crate::planning::plan::Work;
use crate::planning::windows::State;
use crate::quantity::Instant;
use crate::report::LotAnswer;
use crate::report::promise::PromisedGrain;

/// How grain counts that is not shown cold yet.
#[derive(Clone, Copy)]
pub enum Unshown {
    /// By what is known of it when it is weighed out.
    AsKnown,
    /// As if it were shown in time, where that is still possible at this moment.
    CountedOn(Instant),
}

/// What a lot is when a dough weighs it out.
pub struct Judged {
    /// What the keeping clock says.
    pub keeping: Assessment,
    /// What has to be shown before that for it to say so.
    pub conditions: Vec<Condition>,
    /// By when the plan freezes it for it to say so; nothing where it is good without.
    pub freeze_by: Option<Instant>,
}

impl Unshown {
    /// Judges a lot at the moment of its answer. Nothing has to be shown of grain that is good without.
    pub fn judge(
        self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        answer: &LotAnswer,
    ) -> anyhow::Result<Judged> {
        let at = answer.as_of;
        let mut judged = Judged {
            keeping: answer.keeping.clone(),
            conditions: Vec::new(),
            freeze_by: None,
        };
        let Self::CountedOn(now) = self else {
            return Ok(judged);
        };
        if judged.keeping.verdict.may_be_used() {
            return Ok(judged);
        }
        let (rules, zone) = (&view.about().rules, &view.about().zone);
        let histories = finder.histories(&answer.lot)?;
        let (shown, mut conditions) = shown_in_time(&histories, rules, zone, now);
        conditions.retain(|one| one.needed_after < at);
        if !conditions.is_empty() {
            judged.keeping = Assessment {
                // Until then it is known to be good, whatever is counted on.
                unknown_after: answer.keeping.unknown_after,
                ..assess_all(&shown, rules, zone, at)
            };
            judged.conditions = conditions;
        }
        Ok(judged)
    }

    /// Judges a lot that is promised to a bake at the moment of its answer: what the plan freezes first counts as frozen and
    /// thawed by then, as long as that can still be done.
    pub fn judge_promised(
        self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        answer: &LotAnswer,
        mine: &[PromisedGrain],
    ) -> anyhow::Result<Judged> {
        let mut judged = self.judge(view, finder, answer)?;
        let mut of_lot = mine
            .iter()
            .filter(|one| one.lot == Some(answer.lot.code))
            .peekable();
        let (Self::CountedOn(now), Some(named)) = (self, of_lot.peek().map(|one| one.named)) else {
            return Ok(judged);
        };
        if judged.keeping.verdict.may_be_used()
            || lies_in_freezer(answer.place.as_ref())
            || !of_lot.all(|one| one.state == State::Thawed)
        {
            return Ok(judged);
        }
        let facts = finder.facts(answer.lot.clone())?;
        let mut frozen_at = facts.histories.iter().flat_map(History::frozen_at);
        // What was frozen once and is out again is not to be frozen anew.
        let (None, Some(plan)) = (frozen_at.next(), view.accepted_plan()?) else {
            return Ok(judged);
        };
        let tasks = plan.tasks.iter();
        let tasks = tasks.filter(|task| task.work == Work::Freeze && task.lot.code == named);
        // The next time at which the plan freezes some of it, or the last one.
        let by = tasks.map(|task| task.by).max_by_key(|by| {
            let is_over = *by < now;
            (!is_over, if is_over { *by - now } else { now - *by })
        });
        let work = view.house()?.work;
        let frozen = once_frozen(&facts, view.about(), &work, now, answer.as_of);
        if let (Some(by), Some(frozen)) = (by, frozen)
            && frozen.verdict.may_be_used()
        {
            judged.keeping = frozen;
            judged.freeze_by = Some(by);
        }
        Ok(judged)
    }

    /// Refuses a lot that may not go into a dough. Grain that is still good now is not to be thrown away.
    pub fn refuse_unusable(
        self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        answer: &LotAnswer,
    ) -> anyhow::Result<()> {
        let keeping = self.judge(view, finder, answer)?.keeping;
        if keeping.verdict.may_be_used() {
            return Ok(());
        }
        let bake = match self {
            Self::AsKnown => None,
            Self::CountedOn(now) => {
                let is_now = finder.keeping(&answer.lot, now)?.verdict;
                // Nobody typed a time here that could be a slip.
                let at = now;
                is_now
                    .may_be_used()
                    .then_some(BakeToCome { at, now, is_now })
            }
        };
        Err(Refusal::Unusable {
            lot: answer.lot.code,
            keeping: Box::new(keeping),
            as_of: answer.as_of,
            bake,
            has_left: HasLeft::No,
        }
        .into())
    }
}
