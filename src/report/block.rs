//! A frozen block that comes out of the freezer: whole, and once for all bakes that take of it.

use crate::dough::bake_code::BakeCode;
use crate::quantity::Milligrams;

/// A block, and the bakes that it comes out for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// All of it: so much is moved.
    pub all: Milligrams,
    /// What each bake takes of it.
    pub takes: Vec<(BakeCode, Milligrams)>,
    /// Whether more is left of it than weighing leaves over.
    pub has_rest: bool,
}

impl Block {
    /// What all bakes take of it.
    pub fn taken(&self) -> Milligrams {
        Milligrams::new(self.takes.iter().map(|(_, wet)| wet.get()).sum())
    }

    /// The bake, where it comes out for one.
    pub fn bake(&self) -> Option<BakeCode> {
        match self.takes[..] {
            [(bake, _)] => Some(bake),
            _ => None,
        }
    }
}
