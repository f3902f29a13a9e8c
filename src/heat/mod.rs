//! Heat in food: properties from composition, how a layer or a tub of grain cools, and how warm one gets.
//!
//! Pure: figures in, figures out. Temperatures are °C, times seconds, lengths metres. Deliberately absent:
//! what a rule text asks for; [`cooling`] is told the temperatures and times to look at.

pub mod cooling;
pub mod curve;
pub mod freezing;
pub mod layer;
pub mod properties;
mod roots;
pub mod thawing;
