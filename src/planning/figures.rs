//! The numbers of a situation as both the model and the oldest-first rule use them: kilograms of
//! dry grain, days counted from today.

use super::problem::Situation;
use super::windows::{Fit, State, Windows};
use crate::quantity::{Instant, Milligrams};
use chrono::NaiveDate;

/// Kilograms, hours and days of one situation.
#[derive(Debug, Clone)]
pub struct Figures {
    /// Dry grain of each lot, whole scale steps only.
    pub dry: Vec<f64>,
    /// Wet kilograms for a kilogram of dry grain, for each lot.
    pub wet_per_dry: Vec<f64>,
    /// Kilograms of water that drying takes out for a kilogram of dry grain, for each lot.
    pub water_per_dry: Vec<f64>,
    /// Least dry grain worth weighing out, for each lot.
    pub portion: Vec<f64>,
    /// What part of each lot's dry grain is there where it is as wet as it may be.
    pub wet_end: Vec<f64>,
    /// Least, wanted and most dry grain of each bake.
    pub bakes: Vec<[f64; 3]>,
    /// Most water that each bake takes with its grain, if that is known.
    pub water_room: Vec<Option<f64>>,
    /// Dates from today to the end.
    pub days: Vec<NaiveDate>,
    /// Wet kilograms that the freezers take at the end of each day, if there is a limit.
    pub freezer: Option<f64>,
    /// Wet kilograms of each lot that take room in a freezer now.
    pub frozen_now: Vec<f64>,
    /// For each lot, the last day on which it may be frozen.
    pub freeze_day: Vec<Option<usize>>,
    /// For each lot, the days on which it may be dried.
    pub dry_days: Vec<Vec<usize>>,
    /// Kilograms of water that the dryer takes in a day.
    pub dryer: f64,
}

/// Whole milligrams as kilograms.
pub fn kilograms(mass: Milligrams) -> f64 {
    mass.get() as f64 / 1e6
}

/// Kilograms as whole milligrams.
pub fn milligrams(kilograms: f64) -> Milligrams {
    Milligrams::new((kilograms * 1e6).round() as i64)
}

impl Figures {
    /// Whether any lot may turn out wetter than it is planned with.
    fn is_uncertain(&self) -> bool {
        self.wet_end.iter().any(|part| *part < 1.0)
    }

    /// Whether a bake may turn out below its minimum though it has what it wants, and more grain would help. Who wants no
    /// more than the minimum falls below it half the time by a little, whatever is taken.
    pub fn is_at_risk(&self, bake: usize) -> bool {
        let [lowest, wanted, _] = self.bakes[bake];
        lowest < wanted && self.is_uncertain()
    }

    /// Works them out.
    pub fn of(situation: &Situation, windows: &Windows) -> Self {
        let capacity = &situation.capacity;
        let step = capacity.step.get().max(1);
        let zone = &situation.zone;
        let first = zone.date(situation.now);
        let days: Vec<NaiveDate> = first
            .iter_days()
            .take_while(|day| *day <= zone.date(situation.end))
            .collect();
        let day_of = |at: Instant| {
            usize::try_from((zone.date(at) - first).num_days())
                .unwrap_or(0)
                .min(days.len() - 1)
        };
        let fractions: Vec<f64> = situation
            .lots
            .iter()
            .map(|lot| lot.dry_fraction(situation.careful))
            .collect();
        let frozen_now: Vec<f64> = situation
            .lots
            .iter()
            .zip(&windows.lots)
            .map(|(lot, window)| {
                if window.frozen && situation.takes_room(lot) {
                    kilograms(lot.wet)
                } else {
                    0.0
                }
            })
            .collect();
        // Whole steps of it, as they are weighed out.
        let portion = kilograms(Milligrams::new(
            (capacity.portion.get() + step - 1) / step * step,
        ));
        Self {
            dry: situation
                .lots
                .iter()
                .zip(&fractions)
                .zip(&windows.lots)
                .map(|((lot, fraction), window)| {
                    let whole = lot.wet.get() / step * step;
                    if window.usable {
                        kilograms(Milligrams::new(whole)) * fraction
                    } else {
                        0.0
                    }
                })
                .collect(),
            wet_per_dry: fractions.iter().map(|fraction| fraction.recip()).collect(),
            water_per_dry: fractions
                .iter()
                .map(|fraction| {
                    (fraction.recip() - (1.0 - capacity.dried_moisture).recip()).max(0.0)
                })
                .collect(),
            portion: fractions
                .iter()
                .map(|fraction| portion * fraction)
                .collect(),
            bakes: situation
                .bakes
                .iter()
                .map(|bake| [bake.lowest, bake.wanted, bake.highest].map(kilograms))
                .collect(),
            water_room: situation
                .bakes
                .iter()
                .map(|bake| bake.water.map(|room| kilograms(room.most)))
                .collect(),
            wet_end: situation
                .lots
                .iter()
                .map(|lot| lot.wet_end(situation))
                .collect(),
            freezer: capacity.freezer.map(kilograms),
            frozen_now,
            freeze_day: windows
                .lots
                .iter()
                .map(|lot| lot.freeze_by().map(day_of))
                .collect(),
            dry_days: windows
                .lots
                .iter()
                .map(|lot| {
                    let last = lot.dry_by.map(day_of);
                    let working = |day: &usize| !capacity.hands_off.contains(&days[*day]);
                    last.map_or(Vec::new(), |last| (0..=last).filter(working).collect())
                })
                .collect(),
            dryer: kilograms(capacity.dryer_water),
            days,
        }
    }

    /// Kilograms of water that a kilogram of a lot's dry grain brings into a bake, where that matters.
    pub fn water_in_bake(
        &self,
        situation: &Situation,
        (lot, bake, state): (usize, usize, State),
    ) -> Option<f64> {
        let room = situation.bakes[bake].water?;
        Some(match state {
            State::Dried => room.water((1.0 - situation.capacity.dried_moisture).recip(), 1.0),
            // A dough is weighed out by the estimate, however carefully it is planned.
            State::AsItLies | State::Thawed => {
                let wet = self.wet_per_dry[lot];
                room.water(wet, wet * situation.lots[lot].dry_fraction(false))
            }
        })
    }

    /// The first day at whose end grain for this bake is out of the freezer.
    pub fn day_out(
        &self,
        situation: &Situation,
        windows: &Windows,
        lot: usize,
        bake: usize,
    ) -> usize {
        let at = match windows.lots[lot].bakes[bake] {
            Fit::Fits {
                thaw_at: Some(at), ..
            } => at,
            _ => situation.bakes[bake].mix,
        };
        let date = situation.zone.date(at);
        self.days
            .iter()
            .position(|day| *day >= date)
            .unwrap_or(self.days.len())
    }

    /// Money for bringing a kilogram of dry grain of this lot into a state.
    pub fn work(&self, situation: &Situation, windows: &Windows, lot: usize, state: State) -> f64 {
        match state {
            State::Thawed if !windows.lots[lot].frozen => {
                self.wet_per_dry[lot] * situation.costs.freezing_per_kg
            }
            State::Dried => self.water_per_dry[lot] * situation.costs.drying_per_kg,
            State::Thawed | State::AsItLies => 0.0,
        }
    }
}
