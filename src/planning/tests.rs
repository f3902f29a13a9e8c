//! The planner against brute force, another solver, a published problem, and itself.

mod baker;
mod brute_force;
mod corners;
pub mod instances;
mod other_solver;
mod properties;
mod weeks;
mod written;
