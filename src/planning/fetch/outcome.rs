//! What an amount fetched comes to, on average over the samples.
//!
//! Each sample is planned with the very program of a plan, in two steps. First with choices in parts, whose
//! cost no plan undercuts and which is convex in the amount but for the small weights of its choices. Then
//! with the choices that this suggests held fast, which is a plan that can be carried out. Deliberately
//! absent: the search tree; hundreds of samples would take minutes.

use super::samples::{Sample, merged};
use crate::planning::aims::{Aim, Weights};
use crate::planning::draft::Draft;
use crate::planning::figures::{Figures, kilograms};
use crate::planning::model::{Choice, Facts, Held, Model};
use crate::planning::problem::{Lot, Situation};
use crate::planning::relaxation::Relaxation;
use crate::planning::windows::{State, Windows};
use crate::quantity::{Instant, Milligrams};

/// What an amount comes to, kilograms of dry grain on average over the samples.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Expected {
    /// What firm bakes lack of their least.
    pub short: f64,
    /// What optional bakes that happen lack of their least.
    pub optional_short: f64,
    /// What spoils, of this pickup and of what is on hand.
    pub spoiled: f64,
    /// What is frozen or dried and no bake takes.
    pub preserved_unused: f64,
    /// What bakes get, of this pickup and of what is on hand.
    pub given: f64,
    /// How far that is from what they want, above or below.
    pub off_wanted: f64,
    /// The part of that which is above.
    pub over_wanted: f64,
    /// Money for freezing and drying.
    pub work_cost: f64,
    /// The weighed sum of all aims.
    pub cost: f64,
}

impl Expected {
    fn add(&mut self, other: &Self, weight: f64) {
        self.short += weight * other.short;
        self.optional_short += weight * other.optional_short;
        self.spoiled += weight * other.spoiled;
        self.preserved_unused += weight * other.preserved_unused;
        self.given += weight * other.given;
        self.off_wanted += weight * other.off_wanted;
        self.over_wanted += weight * other.over_wanted;
        self.work_cost += weight * other.work_cost;
        self.cost += weight * other.cost;
    }
}

/// Where samples are played: all that does not depend on the amount or the sample.
pub struct Stage {
    situation: Situation,
    windows: Windows,
    figures: Figures,
    weights: Weights,
    /// Positions of the optional bakes, by time.
    optional: Vec<usize>,
}

impl Stage {
    /// With a further lot that is there from a moment on.
    pub fn new(situation: &Situation, lot: &Lot, at: Instant, weights: Weights) -> Self {
        let mut optional: Vec<usize> = (0..situation.bakes.len())
            .filter(|bake| !situation.bakes[*bake].firm)
            .collect();
        optional.sort_by_key(|bake| (situation.bakes[*bake].mix, &situation.bakes[*bake].code));
        let mut windows = Windows::of(situation);
        windows.add_arriving(situation, lot, at);
        let mut situation = situation.clone();
        situation.lots.push(lot.clone());
        // A bake that happens wants its grain; one that does not wants none.
        for bake in &mut situation.bakes {
            bake.firm = true;
        }
        let mut figures = Figures::of(&situation, &windows);
        // Moisture is what the samples are about.
        figures.wet_end.fill(1.0);
        let arrives = situation.zone.date(at);
        if let Some(days) = figures.dry_days.last_mut() {
            days.retain(|day| figures.days[*day] >= arrives);
        }
        Self {
            situation,
            windows,
            figures,
            weights,
            optional,
        }
    }

    /// How many bakes are optional.
    pub fn optional(&self) -> usize {
        self.optional.len()
    }

    /// The windows; that of the further lot is the last.
    pub fn windows(&self) -> &Windows {
        &self.windows
    }

    /// The most dry grain of the further lot that bakes could ever take.
    pub fn most(&self) -> f64 {
        let window = self.windows.lots.last();
        window.map_or(0.0, |window| {
            let takes = |bake: &usize| {
                State::ALL
                    .iter()
                    .any(|state| window.bakes[*bake].allows(*state))
            };
            (0..self.situation.bakes.len())
                .filter(takes)
                .map(|bake| self.figures.bakes[bake][2])
                .sum()
        })
    }

    /// What bakes want on average if an optional one happens with this chance.
    pub fn wanted(&self, chance: f64) -> f64 {
        (0..self.situation.bakes.len())
            .map(|bake| {
                let part = if self.optional.contains(&bake) {
                    chance
                } else {
                    1.0
                };
                part * self.figures.bakes[bake][1]
            })
            .sum()
    }

    /// The least cost with choices in parts.
    pub fn bound(&self, samples: &[Sample], wet: Milligrams) -> f64 {
        let mut cost = 0.0;
        let mut all = 0;
        for sample in samples {
            let figures = self.figures_of(sample, wet);
            let facts = self.facts(&figures);
            let model = self.model(facts, &|_, _| Choice::Open);
            let solved = Relaxation::of(&model.program);
            cost += sample.count as f64 * solved.map_or(f64::INFINITY, |solved| solved.cost);
            all += sample.count;
        }
        cost / all.max(1) as f64
    }

    /// What plans that can be carried out come to.
    pub fn expected(&self, samples: &[Sample], wet: Milligrams) -> Expected {
        if wet == Milligrams::ZERO
            && samples
                .iter()
                .any(|one| one.moisture != samples[0].moisture)
        {
            // Of nothing the moisture is no matter: only bakes tell samples apart.
            let alike = samples.iter().map(|one| Sample {
                moisture: samples[0].moisture,
                ..one.clone()
            });
            return self.expected(&merged(alike.collect()), wet);
        }
        let all: usize = samples.iter().map(|sample| sample.count).sum();
        let mut expected = Expected::default();
        for sample in samples {
            let weight = sample.count as f64 / all.max(1) as f64;
            expected.add(&self.outcome(sample, wet), weight);
        }
        expected
    }

    fn outcome(&self, sample: &Sample, wet: Milligrams) -> Expected {
        let figures = self.figures_of(sample, wet);
        let facts = self.facts(&figures);
        let open = self.model(facts, &|_, _| Choice::Open);
        let first = Relaxation::of(&open.program)
            .map(|solved| chosen(facts, &open.amounts_of(&solved.values)))
            .unwrap_or_default();
        let held = self.model(facts, &|lot, bake| {
            if first.contains(&(lot, bake)) {
                Choice::In
            } else {
                Choice::Out
            }
        });
        match Relaxation::of(&held.program) {
            Some(solved) => {
                let draft = held.draft(facts, &solved.values);
                self.told(facts, &draft, solved.cost)
            }
            // Nothing drawn, frozen or dried breaks no condition.
            None => {
                let firm = self.situation.bakes.iter().map(|bake| bake.firm);
                let draft = Draft::empty(self.windows.lots.len(), firm);
                let cost = open.program.cost(&open.values(facts, &draft));
                self.told(facts, &draft, cost)
            }
        }
    }

    fn told(&self, facts: Facts<'_>, draft: &Draft, cost: f64) -> Expected {
        let mut told = Expected {
            cost,
            ..Expected::default()
        };
        let figures = facts.figures;
        for bake in 0..self.situation.bakes.len() {
            let got = draft.got(bake);
            let lacks = (figures.bakes[bake][0] - got).max(0.0);
            told.given += got;
            told.off_wanted += (figures.bakes[bake][1] - got).abs();
            told.over_wanted += (got - figures.bakes[bake][1]).max(0.0);
            if self.optional.contains(&bake) {
                told.optional_short += lacks;
            } else {
                told.short += lacks;
            }
        }
        for lot in 0..self.windows.lots.len() {
            let unused = [
                (State::Thawed, draft.frozen_unused[lot]),
                (State::Dried, draft.dried_unused[lot]),
            ];
            for (state, dry) in unused {
                told.preserved_unused += dry;
                told.work_cost += dry * self.work(facts, lot, state);
            }
            if self.windows.lots[lot].spoils {
                told.spoiled += (figures.dry[lot] - draft.taken(lot)).max(0.0);
            }
        }
        for draw in &draft.draws {
            told.work_cost += draw.dry * self.work(facts, draw.lot, draw.state);
        }
        told
    }

    fn work(&self, facts: Facts<'_>, lot: usize, state: State) -> f64 {
        facts
            .figures
            .work(&self.situation, &self.windows, lot, state)
    }

    fn facts<'a>(&'a self, figures: &'a Figures) -> Facts<'a> {
        Facts {
            situation: &self.situation,
            windows: &self.windows,
            figures,
        }
    }

    fn model(&self, facts: Facts<'_>, choice: &dyn Fn(usize, usize) -> Choice) -> Model {
        let mut model = Model::build(facts, &Held::default(), self.weights, choice);
        for bake in &self.optional {
            // Baked if there is grain for it: what it lacks weighs no more than what spoils.
            model.weigh_short(*bake, self.weights.of(Aim::Spoiled));
        }
        model
    }

    /// The figures with so much of the further lot, as moist as in the sample.
    fn figures_of(&self, sample: &Sample, wet: Milligrams) -> Figures {
        let mut figures = self.figures.clone();
        let fraction = 1.0 - sample.moisture;
        let capacity = &self.situation.capacity;
        let new = self.windows.lots.len() - 1;
        figures.dry[new] = if self.windows.lots[new].usable {
            kilograms(wet) * fraction
        } else {
            0.0
        };
        figures.wet_per_dry[new] = fraction.recip();
        figures.water_per_dry[new] =
            (fraction.recip() - (1.0 - capacity.dried_moisture).recip()).max(0.0);
        figures.portion[new] = kilograms(capacity.portion) * fraction;
        for (bake, happens) in self.optional.iter().zip(&sample.happens) {
            if !happens {
                figures.bakes[*bake] = [0.0; 3];
            }
        }
        figures
    }
}

/// Which lots go into which bakes: those of which enough is drawn to weigh out, the most first, no more lots
/// than the bake may have.
fn chosen(facts: Facts<'_>, amounts: &[(usize, usize, f64)]) -> Vec<(usize, usize)> {
    let mut chosen = Vec::new();
    for (index, bake) in facts.situation.bakes.iter().enumerate() {
        let enough = |(lot, of, dry): &&(usize, usize, f64)| {
            *of == index && *dry > 0.0 && *dry >= facts.figures.portion[*lot] - 1e-9
        };
        let mut lots: Vec<&(usize, usize, f64)> = amounts.iter().filter(enough).collect();
        lots.sort_by(|one, other| other.2.total_cmp(&one.2).then(one.0.cmp(&other.0)));
        let most = bake.most_lots.unwrap_or(usize::MAX);
        chosen.extend(lots.into_iter().take(most).map(|(lot, ..)| (*lot, index)));
    }
    chosen
}
