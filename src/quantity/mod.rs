//! Masses, temperatures, fractions, uncertain values and times as types.
//!
//! Text becomes a quantity here and nowhere else, so a number without its unit never gets past this
//! module. Deliberately absent: anything about grain, rules or storage.

pub mod bounds;
pub mod clock_change;
pub mod decimal;
pub mod duration;
pub mod fraction;
pub mod length;
pub mod mass;
pub mod near_name;
pub mod period;
pub mod problem;
pub mod temperature;
pub mod text;
pub mod toml_text;
pub mod uncertain;
pub mod when;
pub mod zone;

pub use fraction::{DryBasis, DryFraction, WaterActivity, WetBasis};
pub use length::Length;
pub use mass::Milligrams;
pub use period::Period;
pub use problem::Problem;
pub use temperature::{Scale, Temperature};
pub use uncertain::Uncertain;
pub use zone::Zone;

/// A moment in time. The book keeps whole seconds in UTC; a [`Zone`] turns it into local words.
pub type Instant = chrono::DateTime<chrono::Utc>;
