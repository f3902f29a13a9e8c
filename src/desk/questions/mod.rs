//! What can be asked of the book, one file for each question. An answer, or a piece of a long one, is whole before
//! anything of it is shown: no question holds the book while somebody reads.

mod advise;
mod bake;
mod batch;
mod calendar;
mod cool;
mod fetch;
mod formula;
mod hold_back;
mod last_pickup;
mod log;
mod lot;
mod moisture;
mod plan;
mod readings;
mod report;
mod sheet;
mod shelf;
mod source;
mod ticket;
mod today;
mod trace;
mod treatment;
mod usage;

pub use batch::{BatchOf, GrainOfDough, batch};
pub use cool::cool;
pub use fetch::FetchOf;
pub use hold_back::{HoldBackAnswer, WaterOf, hold_back_of};
pub use last_pickup::LastPickup;
pub use log::{Log, LogOf};
pub use sheet::SheetOf;
pub use today::USUAL_DAYS;
pub use trace::{Trace, TracedOnHand};
pub use treatment::TreatmentPlan;
pub use usage::{Usage, UsageOf};
