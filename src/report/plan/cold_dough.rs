//! A dough of a plan that comes out too cold.

use crate::dough::temperature::TooHot;

/// A dough with cold grain that no water allowed makes as warm as it is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdDough {
    /// Position of the bake.
    pub bake: usize,
    /// The dough wanted, °C.
    pub wanted_celsius: f64,
    /// Whether it is known by how much mixing warms it. Where it is not, nothing is calculated for it.
    pub is_mixing_known: bool,
    /// How warm it comes out, and what would be enough.
    pub why: TooHot,
}
