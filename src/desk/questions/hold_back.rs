//! The water of one dough: what to pour and what to hold back.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, Refusal, guard, learned_thirst};
use crate::dough::hold_back::{self, FlourAmount, GrainAmount, HoldBack, Request};
use crate::dough::house::House;
use crate::dough::thirst::ThirstRule;
use crate::grain::LotCode;
use crate::grain::moisture_test::Unfinished;
use crate::keeping::Verdict;
use crate::quantity::{Milligrams, Uncertain, WetBasis};
use crate::report::Caution;
use crate::report::moisture::FarApart;
use std::slice;

/// A dough whose water is asked for.
#[derive(Debug, Clone, Copy)]
pub struct WaterOf {
    /// The grain.
    pub grain: GrainAmount,
    /// The flour.
    pub flour: FlourAmount,
    /// All dough water on total flour, a fraction.
    pub hydration: f64,
    /// Moisture of the flour that dry grain is counted as.
    pub flour_basis: WetBasis,
    /// Whether the thirst of the grain counts.
    pub thirst: ThirstRule,
}

/// The water of a dough, and the grain that it was worked out with.
#[derive(Debug, Clone)]
pub struct HoldBackAnswer {
    /// The sum.
    pub sum: HoldBack,
    /// The lot and its verdict; nothing where only a moisture was given.
    pub lot: Option<(LotCode, Verdict)>,
    /// Whether the lot is dried or milled.
    pub is_dry: bool,
    /// Moisture of the grain.
    pub moisture: Uncertain,
    /// Where the moisture comes from.
    pub from: &'static str,
    /// Samples of the lot that are still drying.
    pub unfinished: Unfinished,
    /// Two samples of the lot so far apart that its tests say less than none would.
    pub far_apart: Option<FarApart>,
    /// Whether the flour of the bag was given, and does not follow from all of it.
    pub is_flour_typed: bool,
    /// Smallest step of the scale of the house, on which its water is weighed.
    pub step: Milligrams,
}

impl Desk {
    /// The water of a dough with a lot that may be used now.
    pub fn hold_back(&self, lot: &str, dough: WaterOf) -> anyhow::Result<Answer<HoldBackAnswer>> {
        let view = self.view();
        let answer = FactFinder::new(view)?.answer(view.lot(lot)?, self.as_of()?)?;
        guard::refuse_unusable(&answer)?;
        guard::refuse_used_up(&answer)?;
        let house = view.house()?;
        let estimate = &answer.estimate;
        let learned = learned_thirst::of_grain(view, slice::from_ref(&answer))?;
        let dough = WaterOf {
            thirst: dough.thirst.narrowed(learned),
            ..dough
        };
        let cautions = answer.cautions();
        let found = hold_back_of(dough, estimate.moisture, estimate.from.as_key(), &house)?;
        let is_short = found.answer.sum.wet > answer.wet.mass();
        let only = is_short.then_some(Notice::OnlyLeft(answer.wet));
        Ok(found
            .map(|found| HoldBackAnswer {
                lot: Some((answer.lot.code, answer.keeping.verdict)),
                is_dry: answer.lot.form.is_dry(),
                unfinished: estimate.unfinished,
                far_apart: answer.far_apart,
                ..found
            })
            .with_cautions(cautions)
            .with_notices(only))
    }
}

/// The water of a dough with grain of this moisture, on the scale of a house.
pub fn hold_back_of(
    dough: WaterOf,
    moisture: Uncertain,
    from: &'static str,
    house: &House,
) -> Result<Answer<HoldBackAnswer>, Refusal> {
    let sum = hold_back::work_out(&Request {
        grain: dough.grain,
        flour: dough.flour,
        hydration: dough.hydration,
        moisture,
        flour_basis: dough.flour_basis,
        elsewhere: 0.0,
        thirst: dough.thirst.of_grain(),
    })
    .map_err(Refusal::Dough)?;
    let answer = HoldBackAnswer {
        sum,
        lot: None,
        is_dry: false,
        moisture,
        from,
        unfinished: Unfinished::default(),
        far_apart: None,
        is_flour_typed: matches!(dough.flour, FlourAmount::Bag(_)),
        step: house.work.step,
    };
    Ok(Answer::new(
        answer,
        vec![Caution::DateIsARule, Caution::Gluten, Caution::RawDough],
    ))
}
