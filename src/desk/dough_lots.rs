//! Lots of the book that go into one dough: which may, how much of each, what they are together.

mod dough;
mod scales;
mod temperatures;

pub use dough::Dough;
pub use scales::{GivenScales, Scales};

use super::facts::FactFinder;
use super::unshown::Unshown;
use super::{Notice, Refusal, guard, thawing};
use crate::dough::batch::mixture::{self, Mixture, Offer};
use crate::dough::batch::{self, Batch};
use crate::dough::formula::Formula;
use crate::grain::dry_matter::dry_grain;
use crate::grain::moisture_test::Unfinished;
use crate::grain::{Allergens, Form, LotCode, clipped};
use crate::keeping::PlaceKind;
use crate::ledger::{BakeSetting, LotRecord, PlaceRecord, View};
use crate::planning::condition::Condition;
use crate::planning::grain_colour;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use std::collections::BTreeMap;
use uom::si::f64::Mass;

/// Lots in a dough, in the order in which they are used up, and what they are together.
pub struct LotsInDough {
    /// The lots, as they are when the dough is mixed.
    pub answers: Vec<LotAnswer>,
    /// How much of each, and their moisture together.
    pub mixture: Mixture,
    /// What has to be shown of them before that.
    pub conditions: BTreeMap<LotCode, Vec<Condition>>,
    /// Places of the book, for how cold the grain is.
    places: Vec<PlaceRecord>,
}

/// The lots that somebody named. One that may not be used at that moment is refused, and so is one of
/// which nothing is left.
pub fn named(
    view: View<'_>,
    lots: Vec<LotRecord>,
    dough: Dough<'_>,
    judged: (Instant, Unshown),
) -> anyhow::Result<LotsInDough> {
    let lots = that_went_in(view, lots, dough, judged)?;
    for answer in &lots.answers {
        guard::refuse_used_up(answer)?;
    }
    Ok(lots)
}

/// The same of a dough that is made: nothing need be left of its lots, it is in the bread.
pub fn that_went_in(
    view: View<'_>,
    lots: Vec<LotRecord>,
    dough: Dough<'_>,
    (at, unshown): (Instant, Unshown),
) -> anyhow::Result<LotsInDough> {
    let mut finder = FactFinder::new(view)?;
    let (mut answers, mut conditions) = (Vec::with_capacity(lots.len()), BTreeMap::new());
    for lot in lots {
        let answer = finder.answer(lot, at)?;
        let of_lot = unshown.conditions_or_refuse(view, &mut finder, &answer)?;
        conditions.insert(answer.lot.code, of_lot);
        answers.push(answer);
    }
    Ok(LotsInDough {
        conditions,
        ..mixed(finder.into_places(), answers, dough)?
    })
}

/// Refuses a lot that may hold a cereal which must not be in the dough.
pub fn refuse_may_hold(lot: &LotRecord, free_of: Option<&str>) -> Result<(), Refusal> {
    match free_of {
        Some(cereal) if lot.may_hold(cereal) => Err(Refusal::MayHold {
            lot: lot.code,
            cereal: cereal.to_owned(),
            grist: lot.grist.clone(),
            is_made: false,
        }),
        _ => Ok(()),
    }
}

/// Refuses a bake that names a lot which may hold by now what it is to be free of.
pub fn refuse_named_that_may_hold(setting: &BakeSetting) -> Result<(), Refusal> {
    let free_of = setting.free_of.as_deref();
    let mut lots = setting.lots.iter();
    lots.try_for_each(|lot| refuse_may_hold(lot, free_of))
}

/// The lots that a bake names.
pub fn of_bake(
    view: View<'_>,
    setting: &BakeSetting,
    dough: Dough<'_>,
    judged: (Instant, Unshown),
) -> anyhow::Result<LotsInDough> {
    let lots: Vec<LotRecord> = setting
        .lots
        .iter()
        // Asked for by code, since one may have been struck from the book since.
        .map(|lot| view.lot(&lot.code.to_string()))
        .collect::<anyhow::Result<_>>()?;
    match judged.1 {
        Unshown::AsKnown => that_went_in(view, lots, dough, judged),
        Unshown::CountedOn(_) => named(view, lots, dough, judged),
    }
}

/// What a dough asks of grain beside its mass.
#[derive(Clone, Copy)]
pub struct Wishes<'a> {
    /// The largest number of lots.
    pub most_lots: Option<u32>,
    /// A cereal or another allergen that must not be in it.
    pub free_of: Option<&'a str>,
}

impl<'a> Wishes<'a> {
    /// Of a bake.
    pub fn of(setting: &'a BakeSetting) -> Self {
        Self {
            most_lots: setting.most_lots,
            free_of: setting.free_of.as_deref(),
        }
    }
}

/// Lots on hand that suit a dough at that moment, first expired first out, as many as it takes. What is
/// frozen comes last, since it has to be thawed first and does not spoil meanwhile. What is `taken` of a lot goes
/// elsewhere.
pub fn first_expired(
    view: View<'_>,
    dough: Dough<'_>,
    wishes: Wishes<'_>,
    at: Instant,
    taken: &BTreeMap<LotCode, Milligrams>,
) -> anyhow::Result<LotsInDough> {
    let about = view.about();
    let mut answers = Vec::new();
    let mut finder = FactFinder::new(view)?;
    for mut facts in finder.on_hand(at)? {
        facts.wet = left_of((facts.lot.code, facts.wet), facts.place.as_ref(), taken);
        if facts.wet <= Milligrams::ZERO || !suits(&facts.lot, dough.formula, wishes) {
            continue;
        }
        match view.refuse_before_arrival(&facts.lot, at) {
            Err(error) if Refusal::of(&error).is_some() => continue,
            looked_up => looked_up?,
        }
        let answer = facts.answer(&about.rules, &about.zone, at)?;
        if answer.keeping.verdict.may_be_used() {
            answers.push(answer);
        }
    }
    answers.sort_by_cached_key(|answer| {
        (
            answer.keeping.frozen,
            answer.keeping.keep_until.unwrap_or(Instant::MAX_UTC),
            answer.lot.code,
        )
    });
    answers.truncate(wishes.most_lots.map_or(usize::MAX, |most| most as usize));
    let mut found = mixed(finder.into_places(), answers, dough)?;
    let enough = found
        .mixture
        .draws
        .iter()
        .rposition(|draw| Milligrams::nearest(*draw) > Milligrams::ZERO)
        .map_or(0, |last| last + 1);
    found.answers.truncate(enough);
    found.mixture.draws.truncate(enough);
    Ok(found)
}

/// What is left of so much of a lot, in that place, over what is `taken` of it. A frozen block of which some is comes out whole, so
/// none of it is free.
fn left_of(
    (lot, wet): (LotCode, Milligrams),
    place: Option<&(String, PlaceKind)>,
    taken: &BTreeMap<LotCode, Milligrams>,
) -> Milligrams {
    match taken.get(&lot).map_or(0, |taken| taken.get()) {
        taken if taken > 0 && thawing::lies_in_freezer(place) => Milligrams::ZERO,
        taken => Milligrams::new(wet.get() - taken),
    }
}

/// Whether a lot has the form and the colour that a dough wants, as the planner asks it, and is free of what it must not hold. Of a
/// lot without a grist nobody knows the colour.
pub fn suits(lot: &LotRecord, formula: &Formula, wishes: Wishes<'_>) -> bool {
    let colour = || lot.known_grist().as_ref().map(grain_colour::colour);
    formula.grain.form.is_none_or(|form| form == lot.form)
        && (formula.grain.colour).is_none_or(|wanted| colour() == Some(wanted))
        && wishes.free_of.is_none_or(|cereal| !lot.may_hold(cereal))
}

/// Lots in a dough, in this order.
pub fn mixed(
    places: Vec<PlaceRecord>,
    answers: Vec<LotAnswer>,
    dough: Dough<'_>,
) -> anyhow::Result<LotsInDough> {
    let offers: Vec<Offer> = answers
        .iter()
        .map(|answer| Offer {
            left: answer.wet,
            moisture: answer.estimate.by_cause.clone(),
        })
        .collect();
    let mixture = match batch::dry_grain_wanted(dough.formula, dough.size, dough.share) {
        Some(dry) => mixture::draw(&offers, dry),
        None if offers.len() == 1 => mixture::draw(&offers, answers[0].dry.best),
        None => {
            return Err(Refusal::GrainOfSeveralLots.into());
        }
    };
    Ok(LotsInDough {
        answers,
        mixture,
        conditions: BTreeMap::new(),
        places,
    })
}

/// Whether it is as much as a gram on paper.
fn is_weighed(wet: Mass) -> bool {
    Milligrams::nearest(wet).get() >= 500
}

impl LotsInDough {
    /// Lots with what is drawn of each.
    pub fn draws(&self) -> impl Iterator<Item = (&LotAnswer, Mass)> {
        let draws = self.answers.iter().zip(self.mixture.draws.iter().copied());
        draws.filter(|(_, draw)| is_weighed(*draw))
    }

    /// The same lots without what is `taken` of them, which goes elsewhere.
    pub fn without(
        self,
        taken: &BTreeMap<LotCode, Milligrams>,
        dough: Dough<'_>,
    ) -> anyhow::Result<Self> {
        let mut answers = self.answers;
        for answer in &mut answers {
            let all = (answer.lot.code, answer.wet);
            answer.wet = left_of(all, answer.place.as_ref(), taken);
        }
        answers.retain(|answer| answer.wet > Milligrams::ZERO);
        Ok(Self {
            conditions: self.conditions,
            ..mixed(self.places, answers, dough)?
        })
    }

    /// Lots with what the scale is to show of each, where `batch` is the dough they go into: never more than is left of
    /// it, and none of which nothing is weighed.
    pub fn on_the_scale(
        &self,
        batch: &Batch,
        scales: Scales,
    ) -> impl Iterator<Item = (&LotAnswer, Mass)> {
        let shown = mixture::on_the_scale(&self.mixture.draws, batch.grain_weight(), scales.coarse);
        self.answers
            .iter()
            .zip(shown)
            .map(|(answer, shown)| (answer, shown.min(answer.wet).mass()))
            .filter(|(_, shown)| is_weighed(*shown))
    }

    /// The dough with the sum of its lots on the line of the grain, where a step of the scale goes beyond what is left of
    /// them.
    pub fn within_what_is_left(&self, mut batch: Batch, scales: Scales) -> Batch {
        let lots = self.on_the_scale(&batch, scales);
        let weighed: i64 = lots.map(|(_, wet)| Milligrams::nearest(wet).get()).sum();
        let beyond = batch.grain_weight().get() - weighed;
        let steps = scales.coarse.get() * self.answers.len() as i64;
        if 0 < beyond && beyond < steps {
            batch.weigh_less_grain(Milligrams::new(beyond));
        }
        batch
    }

    /// What is weighed of each lot by the sheet of this dough.
    pub fn weighed_out(&self, batch: &Batch, scales: Scales) -> Vec<(LotRecord, Milligrams)> {
        self.on_the_scale(batch, scales)
            .map(|(answer, wet)| (answer.lot.clone(), Milligrams::nearest(wet)))
            .collect()
    }

    /// The same lots with the masses that really went in, in the same order.
    #[must_use]
    pub fn with_masses(mut self, masses: &[(LotRecord, Milligrams)]) -> Self {
        let offers: Vec<Offer> = self
            .answers
            .iter()
            .zip(masses)
            .map(|(answer, (_, mass))| Offer {
                left: *mass,
                moisture: answer.estimate.by_cause.clone(),
            })
            .collect();
        let all = offers
            .iter()
            .map(|offer| dry_grain(offer.left.mass(), clipped(offer.moisture.value)))
            .fold(Mass::default(), |sum, dry| sum + dry);
        self.mixture = mixture::draw(&offers, all);
        self
    }

    /// What is weighed of each lot, to the gram, never more than is left of it.
    pub fn whole_grams(&self) -> Vec<(LotRecord, Milligrams)> {
        self.draws()
            .map(|(answer, draw)| {
                let grams = (Milligrams::nearest(draw).get() + 500) / 1000;
                let wet = Milligrams::new(grams * 1000).min(answer.wet);
                (answer.lot.clone(), wet)
            })
            .filter(|(_, wet)| *wet > Milligrams::ZERO)
            .collect()
    }

    /// The dough with what they hold, where that is less than it takes.
    pub fn as_far_as_they_go<'a>(&self, dough: Dough<'a>) -> Dough<'a> {
        let wanted = batch::dry_grain_wanted(dough.formula, dough.size, dough.share);
        match wanted.filter(|_| self.are_short() && !self.answers.is_empty()) {
            Some(wanted) => dough.of_what_is_there(wanted - self.mixture.short),
            None => dough,
        }
    }

    /// Whether they hold less dry grain than the dough takes.
    pub fn are_short(&self) -> bool {
        Milligrams::nearest(self.mixture.short) > Milligrams::ZERO
    }

    /// The lots in it that have another form than the formula wants.
    pub fn of_other_forms<'a>(&'a self, formula: &'a Formula) -> impl Iterator<Item = Notice> + 'a {
        self.answers.iter().filter_map(|answer| {
            let (lot, is) = (answer.lot.code, answer.lot.form);
            let wanted = formula.grain.form.filter(|wanted| *wanted != is)?;
            Some(Notice::OtherForm {
                formula: formula.name.clone(),
                wanted,
                lot,
                is,
            })
        })
    }

    /// Allergens other than gluten that the grists name.
    pub fn allergens(&self) -> Allergens {
        let lots = self.answers.iter();
        lots.map(|answer| answer.lot.allergens()).collect()
    }

    /// The forms of the grain.
    pub fn forms(&self) -> Vec<Form> {
        self.answers.iter().map(|answer| answer.lot.form).collect()
    }

    /// Where the moisture comes from.
    pub fn moisture_from(&self) -> String {
        let mut from: Vec<&str> = self
            .answers
            .iter()
            .map(|answer| answer.estimate.from.as_key())
            .collect();
        from.dedup();
        from.join(", ")
    }

    /// Samples that are still drying, of each lot that has some.
    pub fn drying(&self) -> Vec<(LotCode, Unfinished)> {
        self.draws()
            .map(|(answer, _)| (answer.lot.code, answer.estimate.unfinished))
            .filter(|(_, unfinished)| unfinished.samples > 0)
            .collect()
    }
}
