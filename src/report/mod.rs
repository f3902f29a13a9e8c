//! One plain answer struct for each question: no formatting, no SQL.

pub mod advise;
pub mod air;
pub mod bake;
pub mod batch;
pub mod block;
pub mod calendar;
pub mod cautions;
pub mod cool;
pub mod count;
pub mod fetch;
pub mod lot;
pub mod moisture;
pub mod period;
pub mod plan;
pub mod plan_chart;
pub mod promise;
pub mod proposals;
pub mod readings;
pub mod sheet;
pub mod shelf;
pub mod source;
pub mod source_chart;
pub mod ticket;
pub mod today;
pub mod trace;
pub mod treat_plan;
pub mod usage;
pub mod worth_a_test;

pub use block::Block;
pub use cautions::Caution;
pub use lot::{LotAnswer, LotFacts, MoistureFacts};
pub use source_chart::{SourceChart, TestedLot};
