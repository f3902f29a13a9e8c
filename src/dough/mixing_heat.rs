//! By how much mixing warms a dough, learned from doughs that were measured.
//!
//! A formula states a rise; what a thermometer showed at the mixer counts for more. Equations and
//! assumptions: `docs/models/dough_temperature.md`, "What measured doughs teach".

/// So many of the newest measured doughs count: an older mixer, flour or baker says little about the next
/// dough. Our choice.
pub const NEWEST: usize = 5;

/// Rises that a formula may state, K; what is learned stays within them.
const RANGE: std::ops::RangeInclusive<f64> = 0.0..=40.0;

/// The rise to calculate with.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MixingRise {
    /// Kelvins; nothing where the formula states none and no dough was measured.
    pub kelvin: Option<f64>,
    /// How many measured doughs it comes from; 0 is the formula's own.
    pub doughs: usize,
}

/// The mean of the newest measured rises, or what the formula states where none was measured.
///
/// `measured` are in kelvins, the newest first.
pub fn learned(stated: Option<f64>, measured: &[f64]) -> MixingRise {
    let newest = &measured[..measured.len().min(NEWEST)];
    if newest.is_empty() {
        return MixingRise {
            kelvin: stated,
            doughs: 0,
        };
    }
    let mean = newest.iter().sum::<f64>() / newest.len() as f64;
    MixingRise {
        kelvin: Some(mean.clamp(*RANGE.start(), *RANGE.end())),
        doughs: newest.len(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_measured_counts_before_what_is_stated() {
        assert_eq!(learned(Some(6.0), &[]).kelvin, Some(6.0));
        assert_eq!(learned(None, &[]).kelvin, None);
        assert_eq!(learned(Some(6.0), &[8.0, 7.0]).kelvin, Some(7.5));
        assert_eq!(learned(None, &[8.0]).doughs, 1);
    }

    #[test]
    fn only_the_newest_doughs_count() {
        let rise = learned(None, &[7.0, 7.0, 7.0, 7.0, 7.0, 30.0]);
        assert_eq!((rise.kelvin, rise.doughs), (Some(7.0), 5));
    }
}
