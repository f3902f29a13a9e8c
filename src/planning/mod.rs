//! The planner: which lot into which bake, what to freeze or dry and by when.
//!
//! Pure: a [`Situation`] goes in, a [`Plan`] comes out. [`windows`] asks the keeping clock, [`model`]
//! writes the task as a mixed-integer program, `tree` decides its choices on a `tableau`, [`search`] improves
//! plans that are too large to prove, `round` brings draws to the steps of a scale, and [`verify`] walks through
//! the finished plan without trusting any of them. Deliberately absent: clocks, threads and a rule about keeping of
//! its own.

pub mod advise;
pub mod aims;
pub mod condition;
pub mod crowding;
mod cuts;
mod draft;
mod even;
pub mod fetch;
pub mod figures;
pub mod grain_colour;
pub mod make;
pub mod model;
pub mod oldest_first;
pub mod places;
pub mod plan;
pub mod problem;
pub mod program;
pub mod reason;
mod relaxation;
mod round;
pub mod search;
mod tableau;
mod tree;
pub mod verify;
pub mod windows;
pub mod working_hours;

pub use make::{NoPlan, make};
pub use plan::Plan;
pub use problem::Situation;
pub use search::Patience;

#[cfg(test)]
mod tests;
