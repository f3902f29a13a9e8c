//! The planner against brute force, another solver, a published problem, and itself.

mod baker;
mod blocks;
mod brute_force;
mod corners;
pub mod instances;
mod other_solver;
mod properties;
mod reasons;
mod weeks;
mod written;

use super::problem::Lot;
use crate::keeping::{Event, PlaceKind, What};
use crate::quantity::{Instant, Temperature};

/// Puts a lot into the freezer at a moment, in one block.
pub fn freeze(lot: &mut Lot, at: Instant) {
    lot.place_kind = PlaceKind::Freezer;
    lot.place = "freezer".to_owned();
    for history in &mut lot.histories {
        history.events.push(Event {
            at,
            what: What::Placed {
                kind: PlaceKind::Freezer,
                stated: Temperature::celsius(-18),
            },
        });
    }
}
