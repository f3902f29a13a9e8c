//! The real program on a real book in a temporary folder, with a fixed now and a fixed zone.
//!
//! One binary for all of it: a module for each command, named like it, and one for each promise that no
//! single command keeps.

mod env;

mod advise;
mod backup;
mod bake;
mod batch;
mod cautions;
mod check;
mod completions;
mod cool;
mod correct;
mod corrections;
mod count;
mod demo;
mod discard;
mod export_all;
mod fetch;
mod formula;
mod give;
mod hold_back;
mod import_all;
mod log;
mod measures;
mod moisture;
mod move_lot;
mod new_book;
mod pickup;
mod place;
mod plan;
mod plan_page;
mod plan_stop;
mod portion;
mod probe;
mod promised;
mod readings;
mod readings_air;
mod readings_summary;
mod restore;
mod rules;
mod settings;
mod several_lots;
mod sheet;
mod shelf;
mod strike;
mod trace;
mod treat;
mod usage;
mod use_grain;
mod water_temperature;

mod docs;
mod errors;
mod histories;
mod json_everywhere;
mod kills;
mod kills_at_calls;
mod names;
mod nasty;
mod never_better;
mod nothing_destroyed;
mod old_books;
mod published_units;
mod readme;
mod reproducible;
mod restore_races;
mod rules_of_the_house;
mod schemas;
mod source;
mod stalled_reader;
mod tampered;
mod two_thousand;
mod writers;
