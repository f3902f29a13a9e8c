//! On which scales a dough is weighed.

use crate::dough::house::House;
use crate::quantity::Milligrams;

/// Smallest steps of the scale, and of the one for light ingredients.
#[derive(Debug, Clone, Copy)]
pub struct Scales {
    /// Of the scale that weighs flour, grain and water.
    pub coarse: Milligrams,
    /// Of the one that weighs yeast.
    pub fine: Milligrams,
}

/// Those that were given, if any.
#[derive(Debug, Clone, Copy, Default)]
pub struct GivenScales {
    /// Of the scale; else the house's.
    pub coarse: Option<Milligrams>,
    /// Of the one for light ingredients; else a tenth of a gram, or the house's scale where that is finer.
    pub fine: Option<Milligrams>,
}

const TENTH_OF_A_GRAM: Milligrams = Milligrams::new(100);

impl GivenScales {
    /// What a house has in mind that was told of its scale.
    pub fn in_house(self, house: &House) -> Scales {
        let coarse = self.coarse.unwrap_or(house.work.step);
        Scales {
            coarse,
            fine: self.fine.unwrap_or(TENTH_OF_A_GRAM.min(coarse)),
        }
    }
}
