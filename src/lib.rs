//! draffbook: the book and the reckoner for a baker who bakes with wet brewers' grain.
//!
//! Modules stand in reading order; each may use those above it. `quantity`, `grain`, `heat`, `keeping`,
//! `dough` and `planning` are pure: no files, no database, no clock, no printing.

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
