//! One dough worked out, from whichever amount is fixed.

use crate::desk::dough_lots::{self, Dough, GivenScales};
use crate::desk::dough_temperatures::{GivenTemperatures, KnownTemperatures};
use crate::desk::unshown::Unshown;
use crate::desk::{Answer, Desk, Notice, Refusal, learned_thirst};
use crate::dough::batch::{Batch, Size, warmth};
use crate::dough::formula::Formula;
use crate::dough::house::House;
use crate::dough::learned_thirst::LearnedThirst;
use crate::dough::mixing_heat::MixingRise;
use crate::dough::thirst::ThirstRule;
use crate::grain::moisture_test::Unfinished;
use crate::grain::{Allergens, Form, LotCode};
use crate::quantity::{Milligrams, Uncertain};
use crate::report::Caution;
use crate::report::batch::{BatchAnswer, BatchLot};
use uom::si::f64::Mass;

/// A dough to be worked out.
pub struct BatchOf<'a> {
    /// Its formula.
    pub formula: &'a Formula,
    /// By how much mixing warms it.
    pub mixing: MixingRise,
    /// How much of it.
    pub size: Size,
    /// Grain share of total flour, a fraction.
    pub share: f64,
    /// Whether the thirst of the grain counts.
    pub thirst: ThirstRule,
    /// Scales, where they are not those of the house.
    pub scales: GivenScales,
    /// Temperatures, where the water temperature is asked for.
    pub temperatures: GivenTemperatures,
}

/// The grain of a dough.
pub struct GrainOfDough {
    moisture: Uncertain,
    /// Of its lots.
    forms: Vec<Form>,
    /// That the grists of its lots name.
    allergens: Allergens,
    from: String,
    /// Samples of its lots that are still drying.
    drying: Vec<(LotCode, Unfinished)>,
    lots: Vec<BatchLot>,
    /// Wet grain of which the lot is the limit.
    left: Option<Milligrams>,
    known: KnownTemperatures,
    /// What doughs of the house say of the thirst of such grain.
    thirst: Option<LearnedThirst>,
    house: House,
    notices: Vec<Notice>,
    /// That belong beside its lots.
    cautions: Vec<Caution>,
}

impl GrainOfDough {
    /// Grain of which only the moisture is known, in a house that told nothing of its scales.
    pub fn of_moisture(moisture: Uncertain, from: &str) -> Self {
        Self {
            moisture,
            forms: Vec::new(),
            allergens: Allergens::default(),
            from: from.to_owned(),
            drying: Vec::new(),
            lots: Vec::new(),
            left: None,
            known: KnownTemperatures::default(),
            house: House::default(),
            thirst: None,
            notices: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// The same on the scales of a house.
    #[must_use]
    pub fn in_house(self, house: House) -> Self {
        Self { house, ..self }
    }
}

impl BatchOf<'_> {
    /// The dough; `learned` is what doughs of the house say of thirst.
    fn dough(&self, learned: Option<LearnedThirst>) -> Dough<'_> {
        Dough {
            formula: self.formula,
            size: self.size,
            share: self.share,
            is_all_there_is: false,
            thirst: self.thirst.narrowed(learned),
        }
    }
}

impl Desk {
    /// Lots as the grain of a dough, used up in this order. Lots that may not be used now are refused.
    pub fn grain_of_lots(
        &self,
        codes: &[String],
        batch: &BatchOf<'_>,
    ) -> anyhow::Result<GrainOfDough> {
        let view = self.view();
        let lots = codes
            .iter()
            .map(|code| view.lot(code))
            .collect::<anyhow::Result<_>>()?;
        let lots = dough_lots::named(
            view,
            lots,
            batch.dough(None),
            (self.as_of()?, Unshown::AsKnown),
        )?;
        let short = lots
            .are_short()
            .then_some(Notice::LotsFallShort(lots.mixture.short));
        let house = view.house()?;
        let draws = lots.draws().map(|(answer, wet)| BatchLot {
            lot: answer.lot.code,
            verdict: answer.keeping.verdict,
            wet,
            left: answer.wet,
        });
        Ok(GrainOfDough {
            moisture: lots.mixture.moisture,
            forms: lots.forms(),
            allergens: lots.allergens(),
            from: lots.moisture_from(),
            drying: lots.drying(),
            lots: draws.collect(),
            left: match lots.answers.as_slice() {
                [only] => Some(only.wet),
                _ => None,
            },
            known: lots.known(&house),
            thirst: learned_thirst::of_grain(view, &lots.answers)?,
            house,
            notices: short
                .into_iter()
                .chain(lots.of_other_forms(batch.formula))
                .collect(),
            cautions: lots.draws().flat_map(|(lot, _)| lot.cautions()).collect(),
        })
    }
}

/// Works a dough out with this grain.
pub fn batch(request: &BatchOf<'_>, grain: GrainOfDough) -> Result<Answer<BatchAnswer>, Refusal> {
    let temperatures = request
        .temperatures
        .temperatures(request.formula, &grain.known)?;
    let weights = |size| {
        Dough {
            size,
            ..request.dough(grain.thirst)
        }
        .weights(
            grain.moisture,
            &grain.forms,
            request.scales.in_house(&grain.house),
        )
    };
    let batch = weights(request.size)?;
    let largest = grain
        .left
        .map(|left| weights(Size::Grain(left.mass())).map(|batch| batch.dough))
        .transpose()?;
    let warmth = temperatures.map(|given| warmth::work_out(&batch, &given, request.mixing));
    let answer = BatchAnswer {
        pieces: pieces(request, &batch),
        over: over(request, &batch),
        formula: request.formula.clone(),
        batch,
        lots: grain.lots,
        from: grain.from,
        drying: grain.drying,
        standard_uncertainty: grain.moisture.standard,
        largest,
        warmth,
        is_warmth_asked: request.temperatures.is_asked(),
    };
    let allergens = request.formula.allergens().and(grain.allergens);
    let mut cautions = grain.cautions;
    cautions.extend([Caution::DateIsARule, Caution::Gluten, Caution::RawDough]);
    cautions.extend(Caution::of_allergens(allergens));
    Ok(Answer::new(answer, Vec::new())
        .with_cautions(cautions)
        .with_notices(grain.notices))
}

/// Dough that is left over once the whole pieces are divided off; nothing where so many pieces were asked for.
fn over(request: &BatchOf<'_>, batch: &Batch) -> Mass {
    match (request.size, pieces(request, batch)) {
        (Size::Pieces { .. }, _) | (_, None) => Mass::default(),
        (_, Some((count, piece))) => {
            (batch.divided - piece * f64::from(count)).max(Mass::default())
        }
    }
}

/// A piece may weigh so much less than the formula says, our choice: a piece calculated from masses is rounded.
const LIGHTER_PIECES: f64 = 0.001;

/// The pieces that the dough is divided into: those asked for, or of the formula's piece.
fn pieces(request: &BatchOf<'_>, batch: &Batch) -> Option<(u32, Mass)> {
    match request.size {
        Size::Pieces { count, piece } => Some((count, piece)),
        _ => {
            let piece = request.formula.piece?.mass();
            let ratio = (batch.divided / piece).get::<uom::si::ratio::ratio>();
            let count = (ratio * (1.0 + LIGHTER_PIECES)).floor() as u32;
            (count > 0).then_some((count, piece))
        }
    }
}
