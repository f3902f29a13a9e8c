//! draffbook: book and dough calculator for a baker who bakes with wet brewers' grain.
//!
//! Modules stand in reading order; each uses only modules above it, and `tests/draff/rules_of_the_house.rs` lists which.
//!
//! | layer | holds |
//! |---|---|
//! | [`mod@quantity`] | masses, temperatures, fractions, uncertain values, times; text to quantity |
//! | [`grain`], [`heat`], [`keeping`] | moisture and dry matter; cooling and thawing; until when a lot may be used |
//! | [`dough`] | hold-back, formulas, batches, water temperature |
//! | [`planning`] | which lot goes into which bake, what to freeze or dry |
//! | [`ledger`] | the book, one SQLite file of entries that never change |
//! | [`report`] | plain answers, and the cautions that belong to them |
//! | [`desk`] | all that can be asked of the book and done to it, with the guard that every act on entries or formulas passes |
//! | [`rows`] | pickups and logger files as they were typed or sent, understood and checked |
//! | [`render`] | answers as words, JSON, CSV, pages, pictures |
//! | [`web`] | the page: `draff serve` |
//! | [`error`], [`context`] | failures as words and exit codes; clock, environment, stdout and stderr |
//! | [`commands`] | the command line: parse, ask the desk, show |
//!
//! Down to `planning` all is pure: no files, no database, no clock, no printing.

#![forbid(unsafe_code)]

// `uom::unit!` calls helper macros by their bare names, so they must be in scope.
#[macro_use]
extern crate uom;

pub mod quantity;

pub mod grain;

pub mod heat;

pub mod keeping;

pub mod dough;

pub mod planning;

pub mod ledger;

pub mod report;

pub mod desk;

pub mod rows;

pub mod render;

pub mod web;

pub mod error;

pub mod context;

pub mod commands;
