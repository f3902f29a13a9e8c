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

pub use instances::freeze;
