//! An answer to text, JSON or CSV. Nothing is computed here beyond rounding.

pub mod bake;
pub mod batch;
pub mod check;
pub mod copies;
pub mod csv;
pub mod formula;
pub mod hold_back;
pub mod json;
pub mod log;
pub mod lot;
pub mod measures;
pub mod moisture;
pub mod numbers;
pub mod place;
pub mod settings;
pub mod shelf;
pub mod tables;
pub mod times;
pub mod usage;
pub mod water_temperature;
pub mod words;
