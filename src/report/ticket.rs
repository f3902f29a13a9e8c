//! The answer to `ticket`: what stands on the label of a tub.

use super::{Caution, LotAnswer};
use crate::grain::LotCode;
use crate::keeping::TicketSays;
use crate::quantity::Instant;
use std::collections::BTreeSet;

/// One label.
#[derive(Debug, Clone)]
pub struct Ticket {
    /// The lot.
    pub lot: LotAnswer,
    /// From when on it goes first, as things stand; nothing where no moment is known.
    pub use_first_from: Option<Instant>,
    /// Cereals with gluten that its grist names.
    pub cereals: Vec<&'static str>,
    /// Those that it may hold, since the grist does not tell.
    pub perhaps: Vec<&'static str>,
}

impl Ticket {
    /// What it says of which lot.
    pub fn printed(&self) -> (LotCode, TicketSays) {
        (self.lot.lot.code, TicketSays::of(&self.lot.keeping))
    }
}

/// The cautions beside some labels.
pub fn cautions(tickets: &[Ticket]) -> Vec<Caution> {
    let mut all: BTreeSet<Caution> = tickets
        .iter()
        .flat_map(|ticket| ticket.lot.cautions())
        .collect();
    all.insert(Caution::Gluten);
    let of_lots = tickets.iter().map(|ticket| ticket.lot.lot.allergens());
    all.extend(Caution::of_allergens(of_lots.collect()));
    all.into_iter().collect()
}
