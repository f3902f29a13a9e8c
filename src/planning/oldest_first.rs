//! The trade's rule, first expired first out: each bake takes the oldest grain that may go into it; what
//! would spoil is frozen while there is room, then dried.
//!
//! A plan to start the search from and to compare with. Firm bakes come first, by their time, then the
//! others, which is kinder than the rule as it is lived.

use super::draft::{Draft, DraftDraw};
use super::figures::Figures;
use super::model::{Facts, expires};
use super::windows::State;

/// Below this many kilograms nothing is left: the sums are in floating point.
const NOTHING: f64 = 1e-9;

/// Makes the plan.
pub fn plan(facts: Facts<'_>) -> Draft {
    let mut hand = Hand::new(facts);
    let promised: Vec<_> = facts.situation.promised.clone();
    for promised in &promised {
        let dry = super::figures::kilograms(promised.wet) / facts.figures.wet_per_dry[promised.lot];
        for state in State::ALL {
            hand.take(promised.lot, promised.bake, state, dry);
        }
    }
    let mut order: Vec<usize> = (0..facts.situation.bakes.len()).collect();
    order.sort_by_key(|bake| {
        (
            !facts.situation.bakes[*bake].firm,
            facts.situation.bakes[*bake].mix,
            *bake,
        )
    });
    for bake in &order {
        hand.fill(*bake, &[State::AsItLies]);
    }
    for bake in &order {
        hand.fill(*bake, &[State::Thawed, State::Dried]);
    }
    hand.keep_leftovers();
    hand.draft
}

/// What is still to be given out.
struct Hand<'a> {
    facts: Facts<'a>,
    draft: Draft,
    dry: Vec<f64>,
    /// Room in the freezers at the end of each day.
    freezer: Vec<f64>,
    dryer: Vec<f64>,
    /// Lots by their last good moment.
    oldest: Vec<usize>,
}

impl<'a> Hand<'a> {
    fn new(facts: Facts<'a>) -> Self {
        let Facts {
            situation, figures, ..
        } = facts;
        let mut oldest: Vec<usize> = (0..situation.lots.len()).collect();
        oldest.sort_by_key(|lot| (expires(facts, *lot), *lot));
        let frozen: f64 = figures.frozen_now.iter().sum();
        Self {
            facts,
            draft: Draft::empty(
                situation.lots.len(),
                situation.bakes.iter().map(|bake| bake.firm),
            ),
            dry: figures.dry.clone(),
            freezer: vec![
                figures.freezer.map_or(f64::INFINITY, |room| room - frozen);
                figures.days.len()
            ],
            dryer: vec![figures.dryer; figures.days.len()],
            oldest,
        }
    }

    fn figures(&self) -> &'a Figures {
        self.facts.figures
    }

    /// Fills a bake up to what it wants. An optional one that does not reach its least is not baked.
    fn fill(&mut self, bake: usize, states: &[State]) {
        let [lowest, wanted, _] = self.figures().bakes[bake];
        let before = self.clone_state();
        for lot in self.oldest.clone() {
            for state in states {
                let wants = wanted - self.draft.got(bake);
                self.take(lot, bake, *state, wants);
            }
        }
        if !self.facts.situation.bakes[bake].firm {
            if self.draft.got(bake) + NOTHING >= lowest && lowest > 0.0 {
                self.draft.happens[bake] = true;
            } else {
                self.restore(before);
            }
        }
    }

    fn clone_state(&self) -> (Draft, Vec<f64>, Vec<f64>, Vec<f64>) {
        (
            self.draft.clone(),
            self.dry.clone(),
            self.freezer.clone(),
            self.dryer.clone(),
        )
    }

    fn restore(&mut self, state: (Draft, Vec<f64>, Vec<f64>, Vec<f64>)) {
        (self.draft, self.dry, self.freezer, self.dryer) = state;
    }

    /// Takes so much of a lot for a bake, or as much as there is and may be.
    fn take(&mut self, lot: usize, bake: usize, state: State, wants: f64) {
        let Facts {
            situation,
            windows,
            figures,
        } = self.facts;
        let window = &windows.lots[lot];
        if !window.bakes[bake].allows(state) {
            return;
        }
        let mut others = self.draft.draws.iter().filter(|draw| draw.lot == lot);
        if others.any(|draw| window.serves_one_only(draw.bake, bake)) {
            return;
        }
        let known = self.draft.given(lot, bake) > 0.0;
        let lots = (0..self.dry.len())
            .filter(|lot| self.draft.given(*lot, bake) > 0.0)
            .count();
        if !known
            && situation.bakes[bake]
                .most_lots
                .is_some_and(|most| lots >= most)
        {
            return;
        }
        let highest = figures.bakes[bake][2] - self.draft.got(bake);
        let most = self.draft.most_for_water(self.facts, (lot, bake, state));
        let mut dry = wants.min(self.dry[lot]).min(highest).min(most);
        match state {
            State::Thawed if !window.frozen => {
                let room =
                    self.room_in_freezer(lot, figures.day_out(situation, windows, lot, bake));
                dry = dry.min(room / figures.wet_per_dry[lot]);
            }
            State::Dried => dry = dry.min(self.room_in_dryer(lot)),
            _ => {}
        }
        if dry <= NOTHING || (!known && dry < figures.portion[lot]) {
            return;
        }
        self.dry[lot] -= dry;
        match state {
            State::Thawed if !window.frozen => {
                let out = figures.day_out(situation, windows, lot, bake);
                self.freeze(lot, dry, out);
            }
            State::Dried => self.dry_out(lot, dry),
            _ => {}
        }
        let same = self
            .draft
            .draws
            .iter_mut()
            .find(|draw| (draw.lot, draw.bake, draw.state) == (lot, bake, state));
        match same {
            Some(draw) => draw.dry += dry,
            None => self.draft.draws.push(DraftDraw {
                lot,
                bake,
                state,
                dry,
            }),
        }
    }

    /// Freezes what would spoil while there is room, then dries the rest.
    fn keep_leftovers(&mut self) {
        let Facts {
            windows, figures, ..
        } = self.facts;
        for lot in self.oldest.clone() {
            let window = &windows.lots[lot];
            if !window.spoils {
                continue;
            }
            if !window.freezing.is_empty() {
                let room = self.room_in_freezer(lot, figures.days.len()) / figures.wet_per_dry[lot];
                let dry = self.dry[lot].min(room);
                self.dry[lot] -= dry;
                self.freeze(lot, dry, figures.days.len());
                self.draft.frozen_unused[lot] = dry;
            }
            if window.dry_by.is_some() {
                let dry = self.dry[lot].min(self.room_in_dryer(lot));
                self.dry[lot] -= dry;
                self.dry_out(lot, dry);
                self.draft.dried_unused[lot] = dry;
            }
        }
    }

    /// Wet kilograms that fit into the freezers from when this lot is frozen until the day it is out again.
    fn room_in_freezer(&self, lot: usize, out: usize) -> f64 {
        let Some(from) = self.figures().freeze_day[lot] else {
            return 0.0;
        };
        (from..out)
            .map(|day| self.freezer[day])
            .fold(f64::INFINITY, f64::min)
            .max(0.0)
    }

    fn freeze(&mut self, lot: usize, dry: f64, out: usize) {
        let wet = dry * self.figures().wet_per_dry[lot];
        for day in self.figures().freeze_day[lot].unwrap_or(0)..out {
            self.freezer[day] -= wet;
        }
    }

    /// Kilograms of dry grain of this lot that the dryer still takes.
    fn room_in_dryer(&self, lot: usize) -> f64 {
        let water: f64 = self.figures().dry_days[lot]
            .iter()
            .map(|day| self.dryer[*day])
            .sum();
        let each = self.figures().water_per_dry[lot];
        if each > 0.0 {
            (water / each).max(0.0)
        } else {
            0.0
        }
    }

    fn dry_out(&mut self, lot: usize, dry: f64) {
        let mut water = dry * self.figures().water_per_dry[lot];
        for day in &self.figures().dry_days[lot] {
            let part = water.min(self.dryer[*day]);
            self.dryer[*day] -= part;
            water -= part;
        }
    }
}
