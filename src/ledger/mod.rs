//! The book: one SQLite file that holds everything. The only module that speaks SQL.
//!
//! The book is a list of entries that never change. What is on hand is kept beside it in the same
//! transaction, so a question about today costs what is on hand and not what ten years wrote;
//! [`audit`] folds the entries again and compares. One act of the user is one immediate transaction.

mod acts;
mod as_of;
pub mod audit;
pub mod backup;
mod bake_record;
mod bakes;
mod book_version;
mod bulk_insert;
mod chain;
mod connection;
mod correct;
mod correct_bake;
mod correct_made;
mod devices;
mod entries;
mod entry_kind;
pub mod failure;
pub mod files;
mod fold;
mod formulas;
mod goes_with;
mod grain_in_air;
mod grists;
mod handling;
mod histories;
mod in_force;
mod late;
pub mod load;
mod lot_facts;
mod lots;
mod makings;
mod migrate;
mod moisture;
mod near_bakes;
mod new_entry;
mod once;
mod open;
mod pages;
mod period;
mod pickups;
mod places;
mod plans;
mod readings;
pub mod refusal;
mod replace;
pub mod restore;
mod schema;
mod settings;
mod source_changes;
mod sources;
mod stands_on;
mod stays;
mod strike;
pub mod tables;
mod tickets;
mod trace;
mod twice;
mod upgrade;
mod usage;
mod uses_in_words;
mod when_written;

pub(crate) use acts::Act;
pub use acts::Signature;
pub use as_of::AsOf;
pub use bake_record::{
    BakeEnd, BakeRecord, BakeResult, BakeSetting, CameOut, Measured, NotFree, Pieces,
};
pub use bakes::Which;
pub use chain::Digest;
pub use correct::{Amended, AmendedArrival, Writers};
pub use devices::{DeviceRecord, NewDevice};
pub use entries::{Detail, EntryHead, EntryRecord, LogFilter};
pub use entry_kind::EntryKind;
pub use formulas::FormulaRecord;
pub use handling::{Joined, NewTreatment};
pub use lots::{LotRecord, OnHand};
pub use makings::{CountRecord, Making, TreatmentRecord};
pub use moisture::{EarlierLot, TestRecord};
pub use once::{ACT_ID_LENGTH, Once};
pub use open::{About, Book, NewBook};
pub use period::{LotMovement, MadeOfLot, MovementKind, TreatedLot};
pub use pickups::NewPickup;
pub use places::{Closed, PlaceRecord, PlaceSetting};
pub use plans::{AcceptedPlan, NewDraw, NewPlan, NewTask, PlanDraw, PlanSize, PlanTask};
pub use readings::{Air, LeftOut, NewReadings, ReadIn, ReadingFile};
pub use refusal::BookRefusal;
pub use sources::{SourceChange, SourceRecord};
pub use stays::{Stay, StayedLot, Way};
pub use tickets::TicketRecord;
pub use trace::{Destination, How, LotNumbers, Of, Outflow, RecallFilter, Recalled, TracedLot};
pub use twice::Drawn;
pub use usage::{UsageBatch, UsageFilter, UsageKind, UsageMark, UsageRecord};
pub use uses_in_words::UseInWords;

use moisture::Remembered;
use rusqlite::{Connection, Transaction};
use std::cell::RefCell;

/// Questions to the book. Every answer is a plain struct; no statement outlives a question.
#[derive(Clone, Copy)]
pub struct View<'a> {
    connection: &'a Connection,
    about: &'a About,
    /// Whether a lot on hand may be named by the end of its code, as people type it.
    code_ends: bool,
    /// What an open book remembers; nothing in an act.
    remembered: Option<&'a RefCell<Remembered>>,
}

impl<'a> View<'a> {
    /// What the book is: its name, zone and rules.
    pub fn about(&self) -> &'a About {
        self.about
    }

    /// Holds the book still until the answer is dropped, so that what several statements find belongs
    /// together, and the file is locked once and not for each of them.
    ///
    /// Nobody can write meanwhile: drop it before anything waits, on a pager or on a person.
    pub fn hold_still(&self) -> anyhow::Result<Still<'a>> {
        // An act, or a question that asks others, holds the book already.
        let transaction = self
            .connection
            .is_autocommit()
            .then(|| self.connection.unchecked_transaction())
            .transpose()?;
        Ok(Still {
            _transaction: transaction,
        })
    }
}

/// A book that is held still.
pub struct Still<'a> {
    _transaction: Option<Transaction<'a>>,
}

/// How the columns hold domain values. The unit of each column is fixed here.
mod columns {
    use crate::grain::Ending;
    use crate::quantity::{Instant, Problem, Scale, Temperature};
    use chrono::{DateTime, NaiveDate};
    use rusqlite::types::{ToSqlOutput, Value};

    /// Seconds since 1970 in UTC.
    pub fn seconds(at: Instant) -> i64 {
        at.timestamp()
    }

    /// A moment from seconds since 1970.
    pub fn instant(seconds: i64) -> Instant {
        DateTime::from_timestamp(seconds, 0).unwrap_or(DateTime::UNIX_EPOCH)
    }

    /// A fraction from parts per million.
    pub fn fraction(ppm: i64) -> f64 {
        ppm as f64 / 1e6
    }

    /// A fraction in parts per million.
    pub fn ppm(fraction: f64) -> i64 {
        (fraction * 1e6).round() as i64
    }

    /// A temperature from thousandths of a degree Celsius and the scale's letter.
    pub fn temperature(milli_celsius: i64, scale: Option<&str>) -> Temperature {
        let scale = if scale == Some("F") {
            Scale::Fahrenheit
        } else {
            Scale::Celsius
        };
        Temperature::new(milli_celsius as i32, scale)
    }

    /// The letter of a scale.
    pub fn scale_letter(scale: Scale) -> &'static str {
        match scale {
            Scale::Celsius => "C",
            Scale::Fahrenheit => "F",
        }
    }

    /// A value, or NULL where there is none.
    pub fn optional<'a>(value: Option<impl Into<ToSqlOutput<'a>>>) -> ToSqlOutput<'a> {
        value.map_or(ToSqlOutput::Owned(Value::Null), Into::into)
    }

    /// How grain ended, where that was said.
    pub fn ending(text: Option<String>) -> rusqlite::Result<Option<Ending>> {
        text.map(|text| text.parse().map_err(|problem: Problem| damaged(problem)))
            .transpose()
    }

    /// A date from `2026-11-20`. The table holds nothing else, so a failure is a damaged book.
    pub fn date(text: &str) -> rusqlite::Result<NaiveDate> {
        text.parse()
            .map_err(|error: chrono::ParseError| damaged(error))
    }

    /// A value that no write of ours can have put there.
    pub fn damaged(error: impl std::error::Error + Send + Sync + 'static) -> rusqlite::Error {
        rusqlite::Error::FromSqlConversionFailure(0, rusqlite::types::Type::Text, Box::new(error))
    }
}
