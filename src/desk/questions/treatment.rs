//! What drying or pressing to a moisture takes.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Refusal};
use crate::dough::house::Work;
use crate::grain::{Step, drying};
use crate::ledger;
use crate::quantity::{Milligrams, Problem, Temperature, Uncertain, WetBasis};
use crate::report::Caution;
use crate::report::treat_plan::{Heat, PlanAnswer, Warm};

/// How warm grain is dried where nothing is said: 60 °C, as Santos et al. 2003 dried it for 18 h.
const USUAL: Temperature = Temperature::celsius(60);

/// A treatment that is thought of.
#[derive(Debug, Clone, Copy)]
pub struct TreatmentPlan {
    step: Step,
    to: WetBasis,
    temp: Option<Temperature>,
    minutes: Option<u32>,
}

impl TreatmentPlan {
    /// A treatment to a moisture.
    ///
    /// # Errors
    ///
    /// [`Refusal::Field`] for a step that cannot be planned, or drying in frost.
    pub fn new(
        step: Step,
        to: WetBasis,
        temp: Option<Temperature>,
        minutes: Option<u32>,
    ) -> Result<Self, Refusal> {
        if !matches!(step, Step::Dry | Step::Press) {
            return Err(Refusal::NoPlanForStep(step));
        }
        let temp = match (step, temp) {
            (Step::Dry, None) => Some(USUAL),
            (_, temp) => temp,
        };
        if step == Step::Dry && temp.is_some_and(|temp| temp.degrees_celsius() <= 0.0) {
            return Err(Refusal::DryingInFrost);
        }
        Ok(Self {
            step,
            to,
            temp,
            minutes,
        })
    }

    /// What it takes, of grain of this moisture without any book.
    pub fn of_moisture(
        self,
        wet: Milligrams,
        moisture: Uncertain,
        from: &'static str,
    ) -> Result<Answer<PlanAnswer>, Problem> {
        let removal = drying::removal(wet.mass(), &moisture, self.to)?;
        let answer = PlanAnswer {
            step: self.step,
            heat: self
                .temp
                .filter(|_| self.step == Step::Dry)
                .map(|temp| Heat::new(&removal, temp)),
            lot: None,
            wet,
            moisture,
            from,
            to: self.to,
            removal,
            scale: Work::default().step,
            warm: None,
        };
        let mut cautions = vec![Caution::DateIsARule];
        if self.step == Step::Dry {
            cautions.extend([Caution::Dryer, Caution::Dust]);
        }
        Ok(Answer::new(answer, cautions))
    }
}

impl Desk {
    /// What a treatment of a lot takes, of all that is left where no amount is given.
    pub fn treatment_of_lot(
        &self,
        lot: &str,
        wet: Option<Milligrams>,
        plan: TreatmentPlan,
    ) -> anyhow::Result<Answer<PlanAnswer>> {
        let view = self.view();
        let lot = view.lot(lot)?;
        plan.step.form(lot.form)?;
        let left = view.left_or_refuse(&lot)?;
        if let Some(wanted) = wet.filter(|wet| *wet > left) {
            return Err(ledger::BookRefusal::MoreThanLeft {
                lot: lot.code,
                left,
                wanted,
            }
            .into());
        }
        let facts = FactFinder::new(view)?.facts(lot)?;
        let answer = self.shown(facts, self.as_of()?)?;
        let wet = wet.unwrap_or(left);
        let cautions = answer.cautions_of_handled(wet);
        let found =
            plan.of_moisture(wet, answer.estimate.moisture, answer.estimate.from.as_key())?;
        let (rules, work) = (&view.about().rules, view.house()?.work);
        let found = found.map(|found| PlanAnswer {
            lot: Some(answer.lot.code.to_string()),
            warm: Some(Warm::new(answer.keeping, rules, plan.temp, plan.minutes)),
            scale: work.step,
            ..found
        });
        Ok(found.with_cautions(cautions))
    }
}
