//! A spoilage-speed indicator. It may make a verdict worse, never better.
//!
//! Square-root model of Ratkowsky and others (1982, Journal of Bacteriology 149:1): growth speed goes
//! with the square of the temperature above a least one. The least temperature of −10 °C for chilled
//! spoilage flora is that of Olley and Ratkowsky, from memory. Spoilage organisms are not pathogens:
//! the model says nothing about safety.

use super::timeline::{Class, Interval};
use crate::quantity::{Instant, Temperature};
use chrono::Duration;

/// Temperature at which growth stops, °C.
const LEAST: f64 = -10.0;
/// Temperature the indicator is expressed at, °C.
const REFERENCE: f64 = 4.0;

/// Spoilage speed relative to that at 4 °C; nothing grows at or below −10 °C.
fn relative_speed(temperature: Temperature) -> f64 {
    let above = (temperature.degrees_celsius() - LEAST).max(0.0);
    (above / (REFERENCE - LEAST)).powi(2)
}

/// The moment at which the grain has aged as much as `age` at 4 °C.
///
/// `unmeasured` is the temperature taken for time with the source after it was said to be cold.
pub(super) fn reaches(
    intervals: &[Interval],
    age: Duration,
    unmeasured: Temperature,
) -> Option<Instant> {
    let mut left = age.num_seconds() as f64;
    for interval in intervals {
        let speed = match interval.class {
            Class::Hot | Class::Frozen => continue,
            Class::Warm | Class::Cold | Class::Unmeasured => {
                relative_speed(interval.warmest.unwrap_or(unmeasured))
            }
        };
        if speed <= 0.0 {
            continue;
        }
        let takes = left / speed;
        match interval.to {
            Some(to) if ((to - interval.from).num_seconds() as f64) < takes => {
                left -= (to - interval.from).num_seconds() as f64 * speed;
            }
            _ => return Some(interval.from + Duration::seconds(takes.ceil() as i64)),
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Weights at reference 4 °C, arithmetic on Ratkowsky and others 1982 with a least temperature of −10 °C.
    #[test]
    fn relative_speed_follows_the_square_root_model() {
        for (degrees, weight) in [
            (0, 0.51),
            (4, 1.0),
            (5, 1.15),
            (7, 1.47),
            (10, 2.04),
            (20, 4.59),
            (30, 8.16),
        ] {
            let found = relative_speed(Temperature::celsius(degrees));
            assert!((found - weight).abs() < 0.006, "{degrees}: {found}");
        }
        assert_eq!(relative_speed(Temperature::celsius(-18)), 0.0);
    }
}
