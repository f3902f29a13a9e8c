//! The desk without a command line: the main job, the guard, and words for every refusal.

mod bakery;
mod book_refusals;
mod chunks;
mod guard;
mod main_job;
mod refusals;
mod remembered;
mod tickets;
