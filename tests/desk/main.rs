//! The desk without a command line: the main job, the guard, and words for every refusal.

mod bakery;
mod batches;
mod book_refusals;
mod guard;
mod main_job;
mod refusals;
mod tickets;
