//! The dough that grain goes into.
//!
//! Pure, and knows grain only by its mass and moisture: whether a lot may go into a dough at all is
//! asked elsewhere.

pub mod bake_code;
pub mod batch;
pub mod doneness;
pub mod formula;
pub mod hold_back;
pub mod house;
pub mod learned_thirst;
pub mod measures;
pub mod mixing_heat;
pub mod proposals;
pub mod temperature;
pub mod thirst;
pub mod timetable;

pub use hold_back::{FlourAmount, GrainAmount, HoldBack, Refusal, Request, WaysOut};
