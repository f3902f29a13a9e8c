//! A plan before it is brought to the scale: kilograms of dry grain, not yet whole grams.

use super::aims::Aim;
use super::figures::{Figures, kilograms};
use super::model::{EACH_LOT, Facts, freshness, is_unshown, keeps_wet, may_go, optional_worth};
use super::windows::{State, Thawed};

/// Who gets how much of what, in kilograms of dry grain.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// What goes into bakes.
    pub draws: Vec<DraftDraw>,
    /// For each lot, what is frozen and no bake takes.
    pub frozen_unused: Vec<f64>,
    /// For each lot, what is dried and no bake takes.
    pub dried_unused: Vec<f64>,
    /// For each bake, whether it is baked.
    pub happens: Vec<bool>,
}

/// One amount of one lot for one bake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DraftDraw {
    /// Position of the lot.
    pub lot: usize,
    /// Position of the bake.
    pub bake: usize,
    /// In which state it goes in.
    pub state: State,
    /// Kilograms of dry grain.
    pub dry: f64,
}

impl Draft {
    /// Nothing into any bake; only firm bakes happen.
    pub fn empty(lots: usize, firm: impl Iterator<Item = bool>) -> Self {
        Self {
            draws: Vec::new(),
            frozen_unused: vec![0.0; lots],
            dried_unused: vec![0.0; lots],
            happens: firm.collect(),
        }
    }

    /// What a bake gets of a lot.
    pub fn given(&self, lot: usize, bake: usize) -> f64 {
        self.draws
            .iter()
            .filter(|draw| draw.lot == lot && draw.bake == bake)
            .map(|draw| draw.dry)
            .sum()
    }

    /// Water that comes into a bake with its grain, where that matters.
    pub fn water(&self, facts: Facts<'_>, bake: usize) -> f64 {
        let of_bake = self.draws.iter().filter(|draw| draw.bake == bake);
        of_bake
            .filter_map(|draw| {
                let situation = facts.situation;
                let figures = facts.figures;
                let water = figures.water_in_bake(situation, (draw.lot, bake, draw.state))?;
                Some(draw.dry * water)
            })
            .sum()
    }

    /// How much more dry grain of a lot a bake can take in this state until its grain brings all the water that the
    /// dough takes.
    pub fn most_for_water(&self, facts: Facts<'_>, of: (usize, usize, State)) -> f64 {
        let (_, bake, _) = of;
        let each = facts.figures.water_in_bake(facts.situation, of);
        match (facts.figures.water_room[bake], each) {
            (Some(room), Some(each)) if each > 0.0 => {
                ((room - self.water(facts, bake)) / each).max(0.0)
            }
            _ => f64::INFINITY,
        }
    }

    /// What a bake gets.
    pub fn got(&self, bake: usize) -> f64 {
        self.draws
            .iter()
            .filter(|draw| draw.bake == bake)
            .map(|draw| draw.dry)
            .sum()
    }

    /// What is taken of a lot, for bakes and to keep.
    pub fn taken(&self, lot: usize) -> f64 {
        let drawn: f64 = self
            .draws
            .iter()
            .filter(|draw| draw.lot == lot)
            .map(|draw| draw.dry)
            .sum();
        drawn + self.frozen_unused[lot] + self.dried_unused[lot]
    }

    /// Wet kilograms that the freezers still take at the end of each of these days, at least; without an end where
    /// nothing is frozen, since what lies in them may stay.
    pub fn room_in_freezers(&self, facts: Facts<'_>, days: std::ops::Range<usize>) -> f64 {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        let Some(takes) = figures.freezer.filter(|_| windows.may_freeze()) else {
            return f64::INFINITY;
        };
        let held = |lot: usize, day: usize| {
            let window = &windows.lots[lot];
            let is_out =
                |draw: &DraftDraw| figures.day_out(situation, windows, lot, draw.bake) <= day;
            let mine = self.draws.iter().filter(|draw| draw.lot == lot);
            let wet = figures.wet_per_dry[lot];
            if figures.frozen_now[lot] > 0.0 {
                if self.is_out_by(facts, lot, day) {
                    0.0
                } else {
                    figures.frozen_now[lot]
                }
            } else if window.frozen {
                0.0
            } else if figures.freeze_day[lot].is_some_and(|from| from <= day) {
                let waits = mine.filter(|draw| draw.state == State::Thawed && !is_out(draw));
                let waiting: f64 = waits.map(|draw| draw.dry).sum();
                (waiting + self.frozen_unused[lot]) * wet
            } else {
                0.0
            }
        };
        let room = |day: usize| {
            takes
                - (0..windows.lots.len())
                    .map(|lot| held(lot, day))
                    .sum::<f64>()
        };
        days.filter(|day| *day < figures.days.len())
            .map(room)
            .fold(f64::INFINITY, f64::min)
            .max(0.0)
    }

    /// What a bake gets where each lot is as wet as it may be.
    pub fn got_at_the_wet_end(&self, figures: &Figures, bake: usize) -> f64 {
        let draws = self.draws.iter().filter(|draw| draw.bake == bake);
        draws.map(|draw| draw.dry * figures.wet_end[draw.lot]).sum()
    }

    /// What comes of a lot that is frozen now and goes, thawed, into bakes.
    pub fn taken_out<'a>(&self, facts: Facts<'a>, lot: usize) -> Option<&'a Thawed> {
        let draws = self.draws.iter();
        let thawed = draws.filter(|draw| draw.lot == lot && draw.state == State::Thawed);
        facts.windows.lots[lot].taken_out(thawed.map(|draw| draw.bake))
    }

    /// Whether a block is out of the freezer by the end of a day.
    pub fn is_out_by(&self, facts: Facts<'_>, lot: usize, day: usize) -> bool {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        let mut mine = self.draws.iter().filter(|draw| draw.lot == lot);
        mine.any(|draw| figures.day_out(situation, windows, lot, draw.bake) <= day)
    }

    /// Whether what bakes leave of a block is past before the plan's end.
    pub fn thawed_rest_spoils(&self, facts: Facts<'_>, lot: usize) -> bool {
        self.taken_out(facts, lot)
            .is_some_and(|thawed| thawed.spoils)
    }

    /// What an aim comes to.
    pub fn value(&self, facts: Facts<'_>, aim: Aim) -> f64 {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        let bakes = || 0..situation.bakes.len();
        let firm = || bakes().filter(|bake| situation.bakes[*bake].firm);
        let under = |bake: usize| {
            let wanted = figures.bakes[bake][1];
            if wanted > 0.0 {
                (wanted - self.got(bake)).max(0.0) / wanted
            } else {
                0.0
            }
        };
        let distance = |bake: usize| {
            let wanted = figures.bakes[bake][1];
            if wanted > 0.0 && self.happens[bake] {
                (wanted - self.got(bake)).abs() / wanted
            } else {
                0.0
            }
        };
        match aim {
            Aim::Short => firm()
                .map(|bake| (figures.bakes[bake][0] - self.got(bake)).max(0.0))
                .sum(),
            Aim::Promises => situation
                .promised
                .iter()
                .filter(|promised| may_go(facts, promised.lot, promised.bake))
                .map(|promised| {
                    let dry = kilograms(promised.wet) / figures.wet_per_dry[promised.lot];
                    (dry - self.given(promised.lot, promised.bake)).max(0.0)
                })
                .sum(),
            Aim::Risk => firm()
                .filter(|bake| figures.is_at_risk(*bake))
                .map(|bake| {
                    (figures.bakes[bake][0] - self.got_at_the_wet_end(figures, bake)).max(0.0)
                })
                .sum(),
            Aim::FirmWorst => firm().map(under).fold(0.0, f64::max),
            Aim::FirmUnder => firm().map(under).sum(),
            Aim::Unshown => {
                let counts = |draw: &&DraftDraw| is_unshown(facts, draw.lot, draw.bake);
                let draws = self.draws.iter().filter(counts);
                draws.map(|draw| draw.dry).sum()
            }
            Aim::Optional => {
                let worth = optional_worth(facts).into_iter().zip(&self.happens);
                -worth
                    .filter(|(_, happens)| **happens)
                    .map(|(worth, _)| worth)
                    .sum::<f64>()
            }
            Aim::Spoiled => (0..windows.lots.len())
                .filter(|lot| windows.lots[*lot].spoils || self.thawed_rest_spoils(facts, *lot))
                .map(|lot| (figures.dry[lot] - self.taken(lot)).max(0.0))
                .sum(),
            Aim::Worst => bakes().map(distance).fold(0.0, f64::max),
            Aim::Uneven => bakes().map(distance).sum(),
            Aim::Unused => {
                let kept = self.frozen_unused.iter().chain(&self.dried_unused);
                let lots = (0..windows.lots.len()).filter(|lot| keeps_wet(facts, *lot));
                let left = lots.map(|lot| (figures.dry[lot] - self.taken(lot)).max(0.0));
                kept.copied().chain(left).sum()
            }
            Aim::Rest => rest(self, facts),
        }
    }
}

/// Work, lots and age, weighed.
fn rest(draft: &Draft, facts: Facts<'_>) -> f64 {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let work = |lot: usize, state: State| figures.work(situation, windows, lot, state);
    let drawn: f64 = draft
        .draws
        .iter()
        .map(|draw| {
            let each = work(draw.lot, draw.state) + freshness(facts, draw.lot, draw.state);
            draw.dry * each
        })
        .sum();
    let kept: f64 = (0..windows.lots.len())
        .map(|lot| {
            draft.frozen_unused[lot] * work(lot, State::Thawed)
                + draft.dried_unused[lot] * work(lot, State::Dried)
        })
        .sum();
    let mut pairs: Vec<_> = draft
        .draws
        .iter()
        .map(|draw| (draw.lot, draw.bake))
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    drawn + kept + EACH_LOT * pairs.len() as f64
}
