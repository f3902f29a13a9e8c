//! The keeping clock: until when a lot may go into a dough, and which rule says so.
//!
//! Pure: a [`History`] and a [`RuleSet`] go in, an [`Assessment`] comes out. The same code answers for
//! a lot as it is and for what it would be if it were frozen or moved. Deliberately absent: any switch
//! that makes a verdict better. Only a corrected history does.

pub mod air;
mod cooling;
mod days;
pub mod history;
pub mod hot;
mod joined;
mod life;
mod limit_words;
pub mod place;
mod probed;
pub mod rule_file;
pub mod rules;
mod spoilage;
mod spoiled_part;
mod spoiled_words;
mod ticket;
mod timeline;
pub mod verdict;
mod warm;
mod wet_and_dry;

pub use air::{AirSpan, Layer, Point, Shown};
pub use cooling::QUICKEST as QUICKEST_COOLING;
pub use history::{Event, History, What};
pub use joined::{assess_all, usable_through};
pub use life::assess;
pub use place::{PlaceKind, Probe};
pub use probed::{AwaitsFile, Overruled, WordInWarmth};
pub use rules::RuleSet;
pub use spoiled_part::SpoiledPart;
pub use spoiled_words::names_spoilage;
pub use ticket::TicketSays;
pub use verdict::{Advice, Assessment, Binding, Verdict, WarmTimes};

#[cfg(test)]
mod behaviour;
#[cfg(test)]
mod published_cases;
