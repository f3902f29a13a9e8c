//! Heat in food: properties from composition, and how a layer or a tub of grain cools.
//!
//! Pure: figures in, figures out. Temperatures are °C, times seconds, lengths metres. Deliberately absent:
//! what a rule text asks for; [`cooling`] is told the temperatures and times to look at.

pub mod cooling;
pub mod curve;
pub mod properties;
mod roots;
