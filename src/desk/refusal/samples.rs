//! Refused weights of samples.

use super::Remedy;
use crate::grain::{LotCode, OpenSample};

/// Weights that end the drying of samples were typed minutes after those before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeighedTooSoon {
    /// The entry of those before.
    pub entry: i64,
    /// How many minutes ago that was written.
    pub minutes: i64,
    /// How many minutes there have to be between them.
    pub shortest: i64,
}

/// A dried sample is none of those that are drying, and nobody said that it is another dish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownDish {
    /// The lot.
    pub lot: LotCode,
    /// Its samples that are drying.
    pub drying: Vec<OpenSample>,
}

/// A correction would make a sample one of another entry: one dish would count twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DishOfOther {
    /// The entry that was to be corrected.
    pub entry: i64,
    /// The one that has the sample.
    pub other: i64,
    /// The lot.
    pub lot: LotCode,
    /// The sample.
    pub dish: OpenSample,
}

impl UnknownDish {
    pub(super) fn remedies(&self) -> Vec<Remedy> {
        vec![
            Remedy::WeighOn(self.lot, self.drying.clone()),
            Remedy::SayNewDish,
        ]
    }
}

impl DishOfOther {
    pub(super) fn remedies(&self) -> Vec<Remedy> {
        vec![
            Remedy::StrikeAndWeighOn {
                entry: self.entry,
                lot: self.lot,
                dish: self.dish,
            },
            Remedy::SayNewDish,
        ]
    }
}
