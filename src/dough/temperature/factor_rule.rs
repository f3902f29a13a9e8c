//! The usual rule of three or four temperatures, to show beside the balance.
//!
//! It takes every part for equally heavy and never sees grain (common practice; the rule without a
//! friction factor is in bakery treatises of the early 20th century).

use super::balance::{Balance, ratio};
use super::request::Request;
use super::{BOILING_CELSIUS, WORTH_A_LINE_KELVIN};
use uom::si::f64::Mass;

/// What the usual rule says, and whether the balance says otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FactorRule {
    /// How many temperatures it takes: flour, room and water, and the preferment if there is one.
    pub factors: usize,
    /// Friction factor used, K.
    pub friction_kelvin: f64,
    /// Its water temperature, °C; nothing where it is none that water has.
    pub celsius: Option<f64>,
    /// By how much the grain alone makes the water of the balance warmer than it would be with
    /// grain as warm as the dough, K.
    pub grain_kelvin: f64,
    /// Why the balance says otherwise; nothing where the two differ by no more than 2 K.
    pub why: Option<Why>,
}

/// What the rule overlooks most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The mass of grain that is colder or warmer than the dough.
    Grain,
    /// That flour, water and preferment weigh differently and take different heats, or that the
    /// room has another temperature than what lies in it.
    Masses,
}

/// The water temperature by the rule: as many times the target as there are temperatures, water's
/// among them, less the others and the friction factor. °C or °F, all alike.
pub fn water_by_factors(target: f64, others: &[f64], friction: f64) -> f64 {
    target * factors(others) as f64 - others.iter().sum::<f64>() - friction
}

/// The water's own temperature is one more.
fn factors(others: &[f64]) -> usize {
    others.len() + 1
}

/// The rule for this request, beside the water temperature that the balance has.
pub(super) fn beside(request: &Request, balance: &Balance, needed: f64) -> Option<FactorRule> {
    let room = request.room_celsius?;
    let flour = mean(request.flour.iter().map(|part| (part.mass, part.celsius)))?;
    let preferment = mean(
        request
            .preferments
            .iter()
            .map(|part| (part.mass, part.celsius)),
    );
    let others: Vec<f64> = [Some(flour), Some(room), preferment]
        .into_iter()
        .flatten()
        .collect();
    let target = request.target_celsius;
    let friction_kelvin = request
        .friction_kelvin
        .unwrap_or_else(|| factors(&others) as f64 * balance.given / balance.warming().at(target));
    let celsius = water_by_factors(target, &others, friction_kelvin);
    let difference = needed - celsius;
    let grain_kelvin = grain_kelvin(balance, target, needed);
    let grain_is_why = (difference - grain_kelvin).abs() < difference.abs();
    Some(FactorRule {
        factors: factors(&others),
        friction_kelvin,
        celsius: Some(celsius).filter(|celsius| (0.0..=BOILING_CELSIUS).contains(celsius)),
        grain_kelvin,
        why: (difference.abs() > WORTH_A_LINE_KELVIN).then_some(if grain_is_why {
            Why::Grain
        } else {
            Why::Masses
        }),
    })
}

/// Water of the balance less water for grain that takes no heat.
fn grain_kelvin(balance: &Balance, target: f64, needed: f64) -> f64 {
    let spared = balance.taken_by_grain(target) / balance.water_kilograms;
    let asked = balance.water_heat_asked(target) - spared;
    needed - balance.water.reached(0.0, asked)
}

/// Mean by mass, or nothing where there is no mass.
fn mean(parts: impl Iterator<Item = (Mass, f64)> + Clone) -> Option<f64> {
    let whole = parts
        .clone()
        .fold(Mass::default(), |sum, (mass, _)| sum + mass);
    (whole > Mass::default()).then(|| {
        parts
            .map(|(mass, celsius)| ratio(mass, whole) * celsius)
            .sum()
    })
}
