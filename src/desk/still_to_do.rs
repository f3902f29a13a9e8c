//! What an accepted plan still has to do with promised grain, and what the grain is once that is done.

use super::facts::FactFinder;
use super::thawing::{lies_in_freezer, once_frozen, taken_out};
use crate::dough::house;
use crate::grain::dry_matter::dry_range;
use crate::grain::{Estimate, Evidence, Form, LotCode, Step, Treatment};
use crate::keeping::{Advice, Assessment, History, What, assess_all};
use crate::ledger::{About, PlanTask, View};
use crate::planning::condition::shown_in_time;
use crate::planning::plan::Work;
use crate::planning::windows::{State, dried, then};
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::promise::PromisedGrain;
use crate::report::sheet::StillTo;
use crate::report::{LotAnswer, LotFacts};

/// What an accepted plan asked for, and the house in which it is done.
pub struct Planned<'a> {
    /// The book's rules and zone.
    pub about: &'a About,
    /// How the house freezes, thaws and dries.
    pub work: &'a house::Work,
    /// The tasks of the plan.
    pub tasks: &'a [PlanTask],
}

impl Planned<'_> {
    /// The next time by which the plan does this with some of a lot, or the last one.
    fn by(&self, work: Work, lot: LotCode, now: Instant) -> Option<Instant> {
        let tasks = self.tasks.iter();
        let tasks = tasks.filter(|task| task.work == work && task.lot.code == lot);
        tasks.map(|task| task.by).max_by_key(|by| {
            let is_over = *by < now;
            (!is_over, if is_over { *by - now } else { now - *by })
        })
    }
}

/// Grain of one lot that is promised to a bake.
pub struct Part {
    /// The lot, as it is when it is weighed out.
    pub answer: LotAnswer,
    /// Its keeping histories.
    pub(super) histories: Vec<History>,
    /// How much of it is promised.
    pub wet: Milligrams,
    /// The lot that the plan named.
    named: LotCode,
    /// In which state the plan takes it.
    state: State,
}

impl Part {
    /// Promised grain that lies in this lot and is weighed out at a moment. A frozen block is what is left of it once it came out
    /// for an earlier bake.
    pub(super) fn new(
        one: &PromisedGrain,
        mut facts: LotFacts,
        about: &About,
        at: Instant,
    ) -> Result<Self, Problem> {
        if let Some(out) = one.out_before {
            facts.histories = taken_out(&facts.histories, out.by);
        }
        Ok(Self {
            histories: facts.histories.clone(),
            answer: facts.answer(&about.rules, &about.zone, at)?,
            wet: one.wet,
            named: one.named,
            state: one.state,
        })
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
        planned: &Planned<'_>,
        (now, may_be_used): (Instant, bool),
        wanted: Option<Form>,
    ) -> Option<(Assessment, StillTo)> {
        match self.state {
            State::Dried if self.is_to_dry() => {
                if may_be_used && wanted != Some(Form::Dried) {
                    return None;
                }
                self.once_dried(planned, now)
            }
            _ if may_be_used => None,
            State::Dried => self.once_shown_dry(planned, now),
            State::Thawed => self.once_frozen(planned, now),
            State::AsItLies => None,
        }
    }

    fn once_frozen(&self, planned: &Planned<'_>, now: Instant) -> Option<(Assessment, StillTo)> {
        if lies_in_freezer(self.answer.place.as_ref()) {
            return None;
        }
        let mut frozen_at = self.histories.iter().flat_map(History::frozen_at);
        // What was frozen once and is out again is not to be frozen anew.
        if frozen_at.next().is_some() {
            return None;
        }
        let by = planned.by(Work::Freeze, self.named, now)?;
        let lot = (self.histories.as_slice(), self.answer.depth);
        let frozen = once_frozen(lot, planned.about, planned.work, now, self.answer.as_of)?;
        let may_be_used = frozen.verdict.may_be_used();
        may_be_used.then_some((frozen, StillTo::Freeze(by)))
    }

    fn once_dried(&mut self, planned: &Planned<'_>, now: Instant) -> Option<(Assessment, StillTo)> {
        let (rules, zone) = (&planned.about.rules, &planned.about.zone);
        let (work, grain_at) = (planned.work, self.answer.as_of);
        let out = now + work.drying;
        let is_drier = work.dried_moisture < self.answer.estimate.moisture.value;
        let by = planned.by(Work::Dry, self.named, now)?;
        if out > grain_at || !is_drier || lies_in_freezer(self.answer.place.as_ref()) {
            return None;
        }
        let (shown, _) = shown_in_time(&self.histories, rules, zone, now);
        let dry = dried(&shown, (rules, zone), (now, out), work.dryer_at)?;
        let keeping = assess_all(&dry, rules, zone, grain_at);
        if !keeping.verdict.may_be_used() {
            return None;
        }
        let wet = self.wet;
        self.wet = dried_to(&self.answer, wet, work);
        self.answer = as_dried(&self.answer, work);
        Some((keeping, StillTo::Dry(by, wet)))
    }

    fn once_shown_dry(&self, planned: &Planned<'_>, now: Instant) -> Option<(Assessment, StillTo)> {
        let (rules, zone) = (&planned.about.rules, &planned.about.zone);
        let asked = assess_all(&self.histories, rules, zone, now).advice;
        let Some(Advice::MeasureActivity { by: Some(by) }) = asked else {
            return None;
        };
        let aim = What::Activity(rules.dried.activity_aim);
        let weighed_out = self.answer.as_of;
        let shown = then(&self.histories, now, aim);
        let keeping = assess_all(&shown, rules, zone, weighed_out);
        let is_in_time = now <= by && keeping.verdict.may_be_used();
        // The dough does not wait: what is shown dry after that goes into no dough.
        is_in_time.then_some((keeping, StillTo::ShowDry(by.min(weighed_out))))
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
        let part = Part::new(one, finder.facts(lot)?, view.about(), at)?;
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
