//! The page in a real browser: the main job with a thumb, weak Wi-Fi, two people, and what a browser complains of.

mod access;
mod driver;
mod job;
mod report;
#[path = "../common/serving.rs"]
mod serving;
mod thumb;
mod ticket;
mod two_people;
mod wifi;
