//! The page, its router called in this process: the same book, the same answers, the same refusals.

mod asked;
mod bakes;
mod calendar;
mod codes_for_tubs;
mod commands;
mod cookies;
mod docs;
mod doors;
mod entry;
mod friday;
mod house;
mod invitations;
mod kept;
mod kills;
mod lot_page;
mod main_job;
mod open_books;
mod out_for_a_while;
mod past_grain;
mod pictures;
mod process;
mod remedies;
mod report;
mod safe_words;
mod same;
mod samples;
mod script;
#[path = "../common/serving.rs"]
mod serving;
mod status_table;
mod statuses;
mod ticket;
mod tls;
mod today_links;
mod units;
mod warm_tub;
