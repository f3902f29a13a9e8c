//! Grain that is not shown cold yet and still can be: a bake to come counts on it, as a plan does, and says what has to be
//! shown by when. A dough that is mixed does not count on it.

use super::Refusal;
use super::facts::FactFinder;
use super::refusal::BakeToCome;
use crate::keeping::{Assessment, assess_all};
use crate::ledger::View;
use crate::planning::condition::{Condition, shown_in_time};
use crate::quantity::Instant;
use crate::report::LotAnswer;

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
        conditions.retain(|one| one.by < at);
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
            has_left: false,
        }
        .into())
    }
}
