//! How thick grain may lie by what was stated of it, or of what it was made of.

use crate::quantity::Length;

/// The thinnest and the thickest that was stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::ledger) struct Lies {
    thinnest: Length,
    thickest: Length,
    /// Whether it may lie as its place says too: it was made of grain that lay so thick.
    or_as_place: bool,
}

impl Lies {
    /// As somebody stated it.
    pub const fn stated(depth: Length) -> Self {
        Self {
            thinnest: depth,
            thickest: depth,
            or_as_place: false,
        }
    }

    /// The same once other grain was made of it. Nobody stated how thick that lies, so no depth makes it better.
    pub const fn made_of(self) -> Self {
        Self {
            or_as_place: true,
            ..self
        }
    }

    /// What holds where grain of both is in one lot.
    pub fn with(self, other: Self) -> Self {
        Self {
            thinnest: thinner(self.thinnest, other.thinnest),
            thickest: if other.thickest.metres() > self.thickest.metres() {
                other.thickest
            } else {
                self.thickest
            },
            or_as_place: true,
        }
    }

    /// How thick it lies, where that is known.
    pub fn known(self) -> Option<Length> {
        (!self.or_as_place).then_some(self.thinnest)
    }

    /// How thick it warms like, in a place with this depth.
    pub fn thin(self, of_place: Length) -> Length {
        if self.or_as_place {
            thinner(self.thinnest, of_place)
        } else {
            self.thinnest
        }
    }

    /// How thick it cools like, in m, in a place with this depth.
    pub fn thick(self, of_place: f64) -> f64 {
        self.thickest.metres().max(of_place)
    }
}

fn thinner(one: Length, other: Length) -> Length {
    if other.metres() < one.metres() {
        other
    } else {
        one
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn millimetres(depth: i64) -> Length {
        Length::from_micrometres(1000 * depth)
    }

    #[test]
    fn a_stated_depth_counts_until_other_grain_is_made_of_it() {
        let place = millimetres(20);
        for (stated, kept) in [(5, 5), (50, 20)] {
            let lies = Lies::stated(millimetres(stated));
            assert_eq!(lies.known(), Some(millimetres(stated)));
            assert_eq!(lies.thin(place), millimetres(stated));
            let made = lies.made_of();
            assert_eq!(made.known(), None);
            assert_eq!(made.thin(place), millimetres(kept));
            assert_eq!(made.thick(0.02), lies.thick(0.02));
        }
    }

    #[test]
    fn grain_of_several_depths_warms_like_the_thinnest_and_cools_like_the_thickest() {
        let [thin, thick] = [5, 50].map(|depth| Lies::stated(millimetres(depth)));
        for together in [thin.with(thick), thick.with(thin)] {
            assert_eq!(together.thin(millimetres(20)), millimetres(5));
            assert!((together.thick(0.02) - 0.05).abs() < 1e-9);
            assert_eq!(together.known(), None);
        }
    }
}
