use super::*;
use crate::dough::temperature::factor_rule::water_by_factors;

/// Trade example: dough 80 °F, flour 65 °F, room 75 °F, friction 35 °F: water at 65 °F. Bakery
/// treatise of the early 20th century, no friction: shop 85 °F, flour 67 °F, water 82 °F make
/// 78 °F; shop 72 °F, flour 62 °F, water 100 °F as well.
#[test]
fn the_rule_is_that_of_the_trade() {
    assert_eq!(water_by_factors(80.0, &[65.0, 75.0], 35.0), 65.0);
    assert_eq!(water_by_factors(78.0, &[85.0, 67.0], 0.0), 82.0);
    assert_eq!(water_by_factors(78.0, &[72.0, 62.0], 0.0), 100.0);
    // With a friction factor of 12 K it says 26 °C where the balance says 20 °C (arithmetic).
    assert_eq!(water_by_factors(26.0, &[20.0, 20.0], 12.0), 26.0);
    // Four: a preferment at 24 °C takes part.
    assert_eq!(water_by_factors(26.0, &[20.0, 20.0, 24.0], 12.0), 28.0);
}

fn rule(request: &Request) -> FactorRule {
    water_temperature(request).unwrap().factor_rule.unwrap()
}

/// With everything at one temperature mixing is all there is to make up for, and the friction
/// factor of a rise of 6 K is three times that. Then rule and balance agree (arithmetic).
#[test]
fn rule_and_balance_agree_where_everything_is_alike() {
    let mut request = plain_dough();
    request.mixing_heat = MixingHeat::Rise(6.0);
    let found = rule(&request);
    assert_eq!(found.factors, 3);
    close(found.friction_kelvin, 18.0, 1e-9);
    close(found.celsius.unwrap(), 20.0, 1e-9);
    // Specific heats rise a little between 20 °C and 26 °C.
    close(tempered(&request), 20.0, 0.02);
    assert_eq!(found.why, None);
    assert_eq!(found.grain_kelvin, 0.0);
}

#[test]
fn cold_grain_is_named_as_what_the_rule_overlooks() {
    let found = rule(&grain_dough(4.0));
    assert_eq!(found.why, Some(Why::Grain));
    // 0.3 · 3.62572 · 22 ÷ (0.45 · 4.186) = 12.70 K (arithmetic).
    close(found.grain_kelvin, 12.70, 0.1);
    close(found.celsius.unwrap(), 23.0, 1e-9);
    let frozen = too_hot(&grain_dough(-18.0)).factor_rule.unwrap();
    assert_eq!(frozen.why, Some(Why::Grain));
    close(frozen.celsius.unwrap(), 23.0, 1e-9);
}

#[test]
fn masses_are_named_where_there_is_no_cold_grain() {
    let mut request = plain_dough();
    request.flour[0].celsius = 5.0;
    let found = rule(&request);
    assert_eq!(found.why, Some(Why::Masses));
    assert_eq!(found.grain_kelvin, 0.0);
}

/// Grain makes the water nearly 9 K warmer here, but the rule, which counts the cold room as heavy as
/// the flour, says warmer still: without the grain it would be further off.
#[test]
fn grain_is_not_blamed_for_what_masses_do() {
    let mut request = plain_dough();
    request.flour[0].celsius = 32.0;
    request.grain = vec![grain(0.3, 4.0, 0.77)];
    request.room_celsius = Some(0.0);
    request.tap_celsius = 5.0;
    let found = rule(&request);
    assert!(found.grain_kelvin > 8.0, "{}", found.grain_kelvin);
    assert!(found.celsius.unwrap() > tempered(&request) + 2.0);
    assert_eq!(found.why, Some(Why::Masses));
}

#[test]
fn a_preferment_makes_four_factors_and_no_room_makes_no_rule() {
    let mut request = plain_dough();
    let preferment = BREAD_FLOUR.mixed_with(&crate::heat::properties::PURE_WATER, 0.5);
    request.preferments = vec![
        ingredient(0.3, 18.0, preferment),
        ingredient(0.1, 22.0, preferment),
    ];
    request.friction_kelvin = Some(12.0);
    let found = rule(&request);
    assert_eq!((found.factors, found.friction_kelvin), (4, 12.0));
    // 4 · 26 − 20 − 20 − 19 − 12, the preferments by mass at 19 °C (arithmetic).
    close(found.celsius.unwrap(), 33.0, 1e-9);
    request.room_celsius = None;
    assert_eq!(water_temperature(&request).unwrap().factor_rule, None);
}

#[test]
fn a_rule_that_asks_for_no_real_water_says_nothing() {
    let mut request = plain_dough();
    request.friction_kelvin = Some(80.0);
    assert_eq!(rule(&request).celsius, None);
}
