//! Grain that is not shown cold yet, or not frozen or dried yet as its plan says, and still can be: a bake to come counts on it,
//! as a plan does, and says what has to be shown, frozen and dried by when. A dough that is mixed does not count on it.

use super::Refusal;
use super::facts::FactFinder;
use super::refusal::{BakeToCome, HasLeft};
use super::still_to_do::{Part, Planned};
use crate::grain::Form;
use crate::keeping::{Assessment, History, assess_all};
use crate::ledger::{About, View};
use crate::planning::condition::{Condition, shown_in_time};
use crate::quantity::Instant;
use crate::report::LotAnswer;
use crate::report::sheet::StillTo;

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
    /// What the plan has to do with it for it to say so; nothing where it is good without.
    pub still_to: Option<StillTo>,
}

impl Judged {
    /// By what is known.
    fn as_known(answer: &LotAnswer) -> Self {
        Self {
            keeping: answer.keeping.clone(),
            conditions: Vec::new(),
            still_to: None,
        }
    }

    /// As if it were shown in time, as far as that is still possible now. Nothing has to be shown of grain that is good
    /// without.
    fn once_shown(about: &About, answer: &LotAnswer, histories: &[History], now: Instant) -> Self {
        let (at, rules, zone) = (answer.as_of, &about.rules, &about.zone);
        let mut judged = Self::as_known(answer);
        if judged.keeping.verdict.may_be_used() {
            return judged;
        }
        let (shown, mut conditions) = shown_in_time(histories, rules, zone, now);
        conditions.retain(|one| one.needed_after < at);
        if !conditions.is_empty() {
            judged.keeping = Assessment {
                // Until then it is known to be good, whatever is counted on.
                unknown_after: answer.keeping.unknown_after,
                ..assess_all(&shown, rules, zone, at)
            };
            judged.conditions = conditions;
        }
        judged
    }
}

impl Unshown {
    /// Judges a lot at the moment of its answer.
    fn judge(
        self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        answer: &LotAnswer,
    ) -> anyhow::Result<Judged> {
        match self {
            Self::CountedOn(now) if !answer.keeping.verdict.may_be_used() => {
                let histories = finder.histories(&answer.lot)?;
                Ok(Judged::once_shown(view.about(), answer, &histories, now))
            }
            _ => Ok(Judged::as_known(answer)),
        }
    }

    /// Judges grain that is promised to a bake at the moment of its answer: what the plan freezes, dries or shows dry first
    /// counts as done by then, as long as that can still be done.
    pub fn judge_promised(
        self,
        planned: &Planned<'_>,
        part: &mut Part,
        wanted: Option<Form>,
    ) -> Judged {
        let Self::CountedOn(now) = self else {
            return Judged::as_known(&part.answer);
        };
        let judged = Judged::once_shown(planned.about, &part.answer, &part.histories, now);
        let may_be_used = judged.keeping.verdict.may_be_used();
        match part.once_done(planned, (now, may_be_used), wanted) {
            Some((keeping, still_to)) => Judged {
                keeping,
                still_to: Some(still_to),
                ..judged
            },
            None => judged,
        }
    }

    /// What has to be shown of a lot for it to go into a dough. Refuses one that may not: grain that is still good now is not
    /// to be thrown away.
    pub fn conditions_or_refuse(
        self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        answer: &LotAnswer,
    ) -> anyhow::Result<Vec<Condition>> {
        let Judged {
            keeping,
            conditions,
            ..
        } = self.judge(view, finder, answer)?;
        if keeping.verdict.may_be_used() {
            return Ok(conditions);
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
