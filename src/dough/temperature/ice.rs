//! Ice in place of part of the water, where tap water is too warm.

use crate::heat::freezing::LATENT_HEAT;
use crate::heat::properties::ICE;

/// The part of the water that goes in as ice, the rest from the tap, so that together they bring as
/// little heat as all of it would at the temperature asked for. Heats are above liquid water at the
/// freezing point, per unit of mass; any units, all alike.
///
/// From `(1 − x) tap − x melting = asked`, with `melting` what a unit of ice takes up until it is
/// water at the freezing point. Above 1 there is not enough water for it; the tap water never is
/// below freezing, so the sum in the denominator is more than the latent heat.
pub(super) fn ice_share(tap: f64, asked: f64, melting: f64) -> f64 {
    (tap - asked) / (tap + melting)
}

/// Heat that ice at `celsius` takes up until it is water at 0 °C, kJ/kg.
pub(super) fn melting_heat(celsius: f64) -> f64 {
    LATENT_HEAT + ICE.heat(celsius, 0.0)
}
