use super::*;
use crate::quantity::mass::{from_grams, grams};

fn request(grain: GrainAmount, flour: FlourAmount, hydration: f64, moisture: Uncertain) -> Request {
    Request {
        grain,
        flour,
        hydration,
        moisture,
        flour_basis: WetBasis::new(0.0).unwrap(),
    }
}

fn close(found: Mass, expected: f64, tolerance: f64) {
    let found = grams(found);
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} g, expected {expected} g"
    );
}

/// 900 g flour and 100 g dry grain at 77 %, 75 % and 80 % moisture, 70 % hydration on 1000 g.
/// Arithmetic; common practice, no source, that dry grain counts as flour.
#[test]
fn water_to_add_follows_the_moisture() {
    for (moisture, wet, add) in [
        (0.77, 434.783, 365.217),
        (0.75, 400.0, 400.0),
        (0.80, 500.0, 300.0),
    ] {
        let dough = reckon(&request(
            GrainAmount::Share(0.10),
            FlourAmount::Total(from_grams(1000.0)),
            0.70,
            Uncertain::known(moisture, 0.0),
        ))
        .unwrap();
        close(dough.wet, wet, 0.001);
        close(dough.add_water, add, 0.001);
        close(dough.carried_water, wet - 100.0, 0.001);
        close(dough.dry, 100.0, 1e-9);
        close(dough.flour, 900.0, 1e-9);
        close(dough.pour_first, add, 0.001);
        close(dough.keep_back, 0.0, 1e-9);
        assert!(!dough.above_accepted_share);
    }
}
