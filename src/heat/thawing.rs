//! How long a layer of frozen grain takes to thaw in the air of a fridge.
//!
//! Conduction by finite volumes with Chen's enthalpy ([`super::freezing`]), with air at both faces: heat goes in, the
//! enthalpy tells how warm a cell is, and no front of ice has to be followed. Equations, figures and what was compared:
//! `docs/models/thawing.md`.

use super::freezing;
use super::properties::{self, Composition, whole_grain};
use crate::quantity::Length;
use chrono::Duration;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// The fridge, °C, and the freezer that the grain comes out of (common practice, no source).
const FRIDGE: f64 = 4.0;
const FREEZER: f64 = -18.0;
/// What the air of a fridge takes to the grain, W/(m² K): where still air ends and moving air begins in the table of
/// `docs/models/cooling.md`. Judgement.
const COEFFICIENT: f64 = 10.0;
/// Widest cell, m, and fewest of them.
const CELL: f64 = 0.0025;
const FEWEST: usize = 4;
/// Longest step over the time in which neighbours even out: from a half on the scheme would not be stable.
const STEP: f64 = 0.25;
/// Conductivity of ice, W/(m K) (Choi & Okos 1986 give 2.2 at 0 °C, from memory); it hardly counts, since the heat
/// comes in through what has thawed.
const ICE_CONDUCTS: f64 = 2.2;

/// Hours of the depths that were asked for: a house has few, a plan asks for them hundreds of times, and each takes tens
/// of thousands of steps.
static REMEMBERED: Mutex<BTreeMap<i64, Duration>> = Mutex::new(BTreeMap::new());

/// How long a layer of this depth takes until its middle holds no ice, in whole hours, rounded up.
pub fn lead(depth: Length) -> Duration {
    let mut remembered = REMEMBERED.lock().unwrap_or_else(PoisonError::into_inner);
    *remembered.entry(depth.micrometres()).or_insert_with(|| {
        Duration::hours((seconds(depth.metres(), COEFFICIENT, FRIDGE) / 3600.0).ceil() as i64)
    })
}

/// The same in s, for a coefficient in W/(m² K) and air above 0 °C.
fn seconds(depth: f64, coefficient: f64, air: f64) -> f64 {
    let food = whole_grain();
    let density = properties::density(&food, 0.0);
    let thawed_conducts = properties::conductivity(&food, 0.0);
    let conducts = |celsius: f64| {
        thawed_conducts + (ICE_CONDUCTS - thawed_conducts) * freezing::ice_fraction(&food, celsius)
    };
    let cells = ((depth / 2.0 / CELL).ceil() as usize).max(FEWEST);
    let width = depth / 2.0 / cells as f64;
    let step = STEP * width * width * density * least_capacity(&food) / ICE_CONDUCTS;
    let thawed = freezing::enthalpy_of(&food, freezing::FREEZING_POINT_CELSIUS);
    let celsius_of = freezing::celsius_of(&food);
    let mut heat = vec![freezing::enthalpy_of(&food, FREEZER); cells];
    let mut flows = vec![0.0; cells + 1];
    let mut celsius = vec![FREEZER; cells];
    let mut passed = 0.0;
    // The first cell is at the middle, the last one at the face.
    while heat[0] < thawed {
        for (celsius, heat) in celsius.iter_mut().zip(&heat) {
            *celsius = celsius_of(*heat);
        }
        for (flow, pair) in flows[1..].iter_mut().zip(celsius.windows(2)) {
            let resistance = width / 2.0 * (1.0 / conducts(pair[0]) + 1.0 / conducts(pair[1]));
            *flow = (pair[1] - pair[0]) / resistance;
        }
        let face = celsius[cells - 1];
        flows[cells] = (air - face) / (1.0 / coefficient + width / 2.0 / conducts(face));
        for (heat, flow) in heat.iter_mut().zip(flows.windows(2)) {
            *heat += (flow[1] - flow[0]) * step / (width * density * 1000.0);
        }
        passed += step;
    }
    passed
}

/// The least that a kilogram takes to warm by a kelvin, J: frozen through.
fn least_capacity(food: &Composition) -> f64 {
    let frozen = freezing::enthalpy_of(food, FREEZER) - freezing::enthalpy_of(food, FREEZER - 1.0);
    frozen * 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same layers with SciPy 1.17's stiff solver (BDF, relative tolerance 1e-6) on 80 cells of the enthalpy method:
    /// depth in m, coefficient in W/(m² K), air in °C, hours.
    const BY_ANOTHER_SOLVER: [(f64, f64, f64, f64); 8] = [
        (0.01, 10.0, 4.0, 6.050),
        (0.02, 5.0, 4.0, 24.202),
        (0.02, 10.0, 3.0, 14.832),
        (0.02, 10.0, 4.0, 12.418),
        (0.02, 25.0, 4.0, 5.384),
        (0.04, 10.0, 4.0, 26.203),
        (0.06, 10.0, 4.0, 41.485),
        (0.10, 10.0, 4.0, 76.798),
    ];

    #[test]
    fn another_solver_finds_the_same_hours() {
        for (depth, coefficient, air, hours) in BY_ANOTHER_SOLVER {
            let found = seconds(depth, coefficient, air) / 3600.0;
            assert!(
                (found / hours - 1.0).abs() < 0.02,
                "{depth} {coefficient} {air}: {found} h, {hours} h"
            );
        }
    }

    /// A thin layer that conducts well takes the heat that Chen says at the rate that the air gives it: between the
    /// times at the coldest and at the warmest it gets.
    #[test]
    fn a_thin_layer_takes_as_long_as_the_air_needs() {
        let food = whole_grain();
        let heat = freezing::heat_to_thaw(&food, FREEZER) * 1000.0;
        let depth = 0.002;
        let per_kelvin = heat * properties::density(&food, 0.0) * depth / 2.0 / COEFFICIENT;
        let found = seconds(depth, COEFFICIENT, FRIDGE);
        let slowest = per_kelvin / (FRIDGE - freezing::FREEZING_POINT_CELSIUS);
        let quickest = per_kelvin / (FRIDGE - FREEZER);
        assert!(
            quickest < found && found < slowest,
            "{quickest} {found} {slowest}"
        );
    }

    /// The figures of `docs/models/thawing.md`.
    #[test]
    fn the_page_has_these_hours() {
        const PAGE: &str = include_str!("../../docs/models/thawing.md");
        for centimetres in [1, 2, 4, 6, 10] {
            let hours = lead(Length::from_micrometres(centimetres * 10_000)).num_hours();
            let line = format!("| {centimetres} cm | {hours} |");
            assert!(PAGE.contains(&line), "{line}");
        }
    }
}
