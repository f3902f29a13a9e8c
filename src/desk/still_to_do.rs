//! What an accepted plan still has to do with promised grain, and what the grain is once that is done.

use super::facts::FactFinder;
use super::thawing::{lies_in_freezer, once_frozen};
use crate::dough::house;
use crate::grain::dry_matter::dry_range;
use crate::grain::{Estimate, Evidence, Form, LotCode, Step, Treatment};
use crate::keeping::{Advice, Assessment, History, What, assess_all};
use crate::ledger::View;
use crate::planning::condition::shown_in_time;
use crate::planning::plan::Work;
use crate::planning::windows::{State, dried, then};
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::promise::PromisedGrain;
use crate::report::sheet::StillTo;

/// Grain of one lot that is promised to a bake.
pub struct Part {
    /// The lot, as it is when it is weighed out.
    pub answer: LotAnswer,
    /// How much of it is promised.
    pub wet: Milligrams,
    /// The lot that the plan named.
    named: LotCode,
    /// In which state the plan takes it.
    state: State,
}

impl Part {
    /// Promised grain that lies in this lot.
    fn new(one: &PromisedGrain, answer: LotAnswer) -> Self {
        Self {
            answer,
            wet: one.wet,
            named: one.named,
            state: one.state,
        }
    }

    /// Adds promised grain of the same lot. What the plan takes of it in several states is weighed out as it lies.
    fn add(&mut self, one: &PromisedGrain) {
        self.wet = Milligrams::new(self.wet.get() + one.wet.get());
        if self.state != one.state {
            self.state = State::AsItLies;
        }
    }

    /// Whether its plan dries it and it is not dried yet.
    fn is_to_dry(&self) -> bool {
        self.state == State::Dried && !self.answer.lot.form.is_dry()
    }

    /// What the plan still has to do with it, and what the keeping clock says once that is done; nothing where nothing helps
    /// any more. Grain that is still to be dried becomes what comes out of the dryer.
    pub(super) fn once_done(
        &mut self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        (now, may_be_used): (Instant, bool),
        wanted: Option<Form>,
    ) -> anyhow::Result<Option<(Assessment, StillTo)>> {
        match self.state {
            State::Dried if self.is_to_dry() => {
                if may_be_used && wanted != Some(Form::Dried) {
                    return Ok(None);
                }
                self.once_dried(view, finder, now)
            }
            _ if may_be_used => Ok(None),
            State::Dried => self.once_shown_dry(view, finder, now),
            State::Thawed => self.once_frozen(view, finder, now),
            State::AsItLies => Ok(None),
        }
    }

    fn once_frozen(
        &self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        now: Instant,
    ) -> anyhow::Result<Option<(Assessment, StillTo)>> {
        if lies_in_freezer(self.answer.place.as_ref()) {
            return Ok(None);
        }
        let facts = finder.facts(self.answer.lot.clone())?;
        let mut frozen_at = facts.histories.iter().flat_map(History::frozen_at);
        // What was frozen once and is out again is not to be frozen anew.
        if frozen_at.next().is_some() {
            return Ok(None);
        }
        let work = view.house()?.work;
        let frozen = once_frozen(&facts, view.about(), &work, now, self.answer.as_of);
        let frozen = frozen.filter(|frozen| frozen.verdict.may_be_used());
        let by = self.planned(view, Work::Freeze, now)?;
        Ok(frozen
            .zip(by)
            .map(|(frozen, by)| (frozen, StillTo::Freeze(by))))
    }

    fn once_dried(
        &mut self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        now: Instant,
    ) -> anyhow::Result<Option<(Assessment, StillTo)>> {
        let (rules, zone) = (&view.about().rules, &view.about().zone);
        let (work, grain_at) = (view.house()?.work, self.answer.as_of);
        let out = now + work.drying;
        let is_drier = work.dried_moisture < self.answer.estimate.moisture.value;
        let Some(by) = self.planned(view, Work::Dry, now)? else {
            return Ok(None);
        };
        if out > grain_at || !is_drier || lies_in_freezer(self.answer.place.as_ref()) {
            return Ok(None);
        }
        let histories = finder.histories(&self.answer.lot)?;
        let (shown, _) = shown_in_time(&histories, rules, zone, now);
        let dry = dried(&shown, (rules, zone), (now, out), work.dryer_at);
        let keeping = dry.map(|dry| assess_all(&dry, rules, zone, grain_at));
        let Some(keeping) = keeping.filter(|keeping| keeping.verdict.may_be_used()) else {
            return Ok(None);
        };
        let wet = self.wet;
        self.wet = dried_to(&self.answer, wet, &work);
        self.answer = as_dried(&self.answer, &work);
        Ok(Some((keeping, StillTo::Dry(by, wet))))
    }

    fn once_shown_dry(
        &self,
        view: View<'_>,
        finder: &mut FactFinder<'_>,
        now: Instant,
    ) -> anyhow::Result<Option<(Assessment, StillTo)>> {
        let (rules, zone) = (&view.about().rules, &view.about().zone);
        let histories = finder.histories(&self.answer.lot)?;
        let asked = assess_all(&histories, rules, zone, now).advice;
        let Some(Advice::MeasureActivity { by: Some(by) }) = asked else {
            return Ok(None);
        };
        let aim = What::Activity(rules.dried.activity_aim);
        let weighed_out = self.answer.as_of;
        let keeping = assess_all(&then(&histories, now, aim), rules, zone, weighed_out);
        let is_in_time = now <= by && keeping.verdict.may_be_used();
        // The dough does not wait: what is shown dry after that goes into no dough.
        Ok(is_in_time.then_some((keeping, StillTo::ShowDry(by.min(weighed_out)))))
    }

    /// The next time by which the plan does this with some of the lot, or the last one.
    fn planned(&self, view: View<'_>, work: Work, now: Instant) -> anyhow::Result<Option<Instant>> {
        let Some(plan) = view.accepted_plan()? else {
            return Ok(None);
        };
        let tasks = plan.tasks.iter();
        let tasks = tasks.filter(|task| task.work == work && task.lot.code == self.named);
        Ok(tasks.map(|task| task.by).max_by_key(|by| {
            let is_over = *by < now;
            (!is_over, if is_over { *by - now } else { now - *by })
        }))
    }
}

/// Each promised lot once, as it is then, with how much of it is promised; what is still to be dried of it by itself.
pub fn parts(
    view: View<'_>,
    finder: &mut FactFinder<'_>,
    mine: &[PromisedGrain],
    at: Instant,
) -> anyhow::Result<Vec<Part>> {
    let mut found: Vec<Part> = Vec::new();
    for one in mine {
        // What no lot on hand holds is missing, and told.
        let Some(code) = one.lot else {
            continue;
        };
        let lot = view.lot(&code.to_string())?;
        let part = Part::new(one, finder.answer(lot, at)?);
        let is_same = |known: &&mut Part| {
            known.answer.lot.code == code && known.is_to_dry() == part.is_to_dry()
        };
        match found.iter_mut().find(is_same) {
            Some(known) => known.add(one),
            None => found.push(part),
        }
    }
    Ok(found)
}

/// What so much grain of a lot weighs once it is dried as the house dries.
fn dried_to(lot: &LotAnswer, wet: Milligrams, work: &house::Work) -> Milligrams {
    let dry = lot.estimate.wet_basis().dry_fraction().get();
    Milligrams::nearest(wet.mass() * (dry / (1.0 - work.dried_moisture)))
}

/// A lot as it comes out of the dryer. What the clock says of it stays as it lies now.
fn as_dried(lot: &LotAnswer, work: &house::Work) -> LotAnswer {
    let wet = dried_to(lot, lot.wet, work);
    let treatment = Treatment {
        step: Step::Dry,
        wet_in: lot.wet,
        wet_out: wet,
        water: Milligrams::ZERO,
        left: Milligrams::ZERO,
        dry_loss: Milligrams::ZERO,
    };
    let moisture = treatment.moisture_by_cause(&lot.estimate.by_cause);
    let tested = lot.estimate.is_tested();
    let estimate = Estimate::calculated(moisture, Evidence::Treatment { tested }, Form::Dried);
    let mut record = lot.lot.clone();
    record.form = Form::Dried;
    LotAnswer {
        lot: record,
        wet,
        dry: dry_range(wet, &estimate),
        estimate,
        far_apart: None,
        place: None,
        depth: None,
        ..lot.clone()
    }
}
