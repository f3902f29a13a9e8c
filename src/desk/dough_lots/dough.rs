//! A dough to be, and its weights.

use super::Scales;
use crate::desk::Refusal;
use crate::dough::batch::{self, Batch, BatchRequest, Size};
use crate::dough::formula::Formula;
use crate::dough::thirst::ThirstRule;
use crate::grain::Form;
use crate::ledger::BakeSetting;
use crate::quantity::Uncertain;
use uom::si::f64::Mass;
use uom::si::ratio::ratio;

/// A dough to be.
#[derive(Clone, Copy)]
pub struct Dough<'a> {
    /// Its formula.
    pub formula: &'a Formula,
    /// How much of it.
    pub size: Size,
    /// Grain share of total flour, a fraction.
    pub share: f64,
    /// Whether that is all there is, so that it may be less than the formula's lowest.
    pub is_all_there_is: bool,
    /// Whether the thirst of the grain counts.
    pub thirst: ThirstRule,
}

impl<'a> Dough<'a> {
    /// Of a bake, whose formula this is.
    pub fn of(setting: &BakeSetting, formula: &'a Formula) -> Self {
        Self {
            formula,
            size: setting.size(),
            share: setting.share_of(formula),
            is_all_there_is: false,
            thirst: ThirstRule::default(),
        }
    }

    /// With so much dry grain, which is all there is: more flour takes the place of what is missing. Where the stages
    /// take more of a flour than there is then, the dough stays what it was.
    #[must_use]
    pub fn of_what_is_there(self, dry: Mass) -> Self {
        let whole = batch::dry_grain_wanted(self.formula, self.size, 1.0);
        let share = whole.map(|whole| (dry / whole).get::<ratio>());
        let is_less = |share: &f64| (f64::MIN_POSITIVE..self.share).contains(share);
        match share.filter(|share| is_less(share) && self.formula.has_flour_at(*share)) {
            Some(share) => Self {
                share,
                is_all_there_is: true,
                ..self
            },
            None => self,
        }
    }

    /// The weights, with grain of this moisture and these forms, on scales of these smallest steps.
    pub fn weights(
        self,
        moisture: Uncertain,
        forms: &[Form],
        scales: Scales,
    ) -> Result<Batch, Refusal> {
        let request = BatchRequest {
            formula: self.formula,
            size: self.size,
            share: self.share,
            moisture,
            thirst: self.thirst.in_dough(self.formula, forms.iter().copied()),
            scale: scales.coarse,
            fine_scale: scales.fine,
        };
        let batch = if self.is_all_there_is {
            batch::of_what_is_there(&request)
        } else {
            batch::work_out(&request)
        };
        batch.map_err(Refusal::Dough)
    }
}
