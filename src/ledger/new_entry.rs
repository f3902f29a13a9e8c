//! What is written into the table of entries: each kind with what it holds, and nothing else.

use super::{EntryKind, Signature, bulk_insert, columns};
use crate::grain::Ending;
use crate::quantity::{Instant, Milligrams, Temperature, WaterActivity};
use rusqlite::Connection;
use rusqlite::types::{ToSqlOutput, Value};

/// An entry to write. A strike also names what it strikes and is written by itself.
#[derive(Clone, Copy)]
pub(super) enum NewEntry<'a> {
    Pickup {
        wet: Milligrams,
        place: i64,
        note: Option<&'a str>,
    },
    Move {
        place: i64,
        note: Option<&'a str>,
    },
    Withdrawal(Milligrams, Withdrawal<'a>),
    Count {
        note: Option<&'a str>,
    },
    Reading(Temperature),
    Cooled {
        said_by: &'a str,
    },
    Activity(WaterActivity),
    Moisture,
    Spoiled {
        found: &'a str,
    },
    /// What a place is.
    Place(i64),
    /// A logger's file of a place.
    Readings(i64),
    Bake(i64, Option<&'a str>),
    Baked(i64, Option<&'a str>),
    Drop(i64, Option<&'a str>),
    Plan,
    Setting(&'a str),
    /// What a source is, with a note.
    Source(Option<&'a str>),
}

/// What grain is taken from a lot for.
#[derive(Clone, Copy)]
pub(super) enum Withdrawal<'a> {
    Use {
        /// The bake in words, or its formula.
        words: &'a str,
        bake: Option<i64>,
    },
    Discard {
        reason: &'a str,
        ending: Option<Ending>,
    },
    Give {
        /// To whom.
        to: &'a str,
    },
    Part(Product<'a>),
    Treat(Product<'a>),
    Join(Product<'a>),
}

/// The lot that is made of what was taken.
#[derive(Clone, Copy)]
pub(super) struct Product<'a> {
    pub lot: i64,
    pub place: i64,
    pub note: Option<&'a str>,
}

/// The columns that [`NewEntry::row`] fills. Only an entry that amends another has the last two.
const COLUMNS: &str = "INSERT INTO entry (kind, lot_id, at, recorded_at, recorded_by, wet_mg, new_lot_id, \
    place_id, temperature_mc, temperature_scale, activity_ppm, words, bake_id, ending, amends_entry_id, reason)";

/// One entry's values.
pub(super) type EntryRow<'a> = [ToSqlOutput<'a>; 16];

const NULL: ToSqlOutput<'static> = ToSqlOutput::Owned(Value::Null);

impl NewEntry<'_> {
    fn kind(&self) -> EntryKind {
        match self {
            Self::Pickup { .. } => EntryKind::Pickup,
            Self::Move { .. } => EntryKind::Move,
            Self::Withdrawal(_, Withdrawal::Use { .. }) => EntryKind::Use,
            Self::Withdrawal(_, Withdrawal::Discard { .. }) => EntryKind::Discard,
            Self::Withdrawal(_, Withdrawal::Give { .. }) => EntryKind::Give,
            Self::Withdrawal(_, Withdrawal::Part(_)) => EntryKind::Part,
            Self::Withdrawal(_, Withdrawal::Treat(_)) => EntryKind::Treat,
            Self::Withdrawal(_, Withdrawal::Join(_)) => EntryKind::Join,
            Self::Count { .. } => EntryKind::Count,
            Self::Reading(_) => EntryKind::Reading,
            Self::Cooled { .. } => EntryKind::Cooled,
            Self::Activity(_) => EntryKind::Activity,
            Self::Moisture => EntryKind::Moisture,
            Self::Spoiled { .. } => EntryKind::Spoiled,
            Self::Place(_) => EntryKind::Place,
            Self::Readings(_) => EntryKind::Readings,
            Self::Bake(..) => EntryKind::Bake,
            Self::Baked(..) => EntryKind::Baked,
            Self::Drop(..) => EntryKind::Drop,
            Self::Plan => EntryKind::Plan,
            Self::Setting(_) => EntryKind::Setting,
            Self::Source(_) => EntryKind::Source,
        }
    }
}

impl<'a> NewEntry<'a> {
    /// Its values, in the order of [`COLUMNS`].
    pub fn row(&self, lot: Option<i64>, at: Instant, signature: &'a Signature) -> EntryRow<'a> {
        let [
            mut wet,
            mut new_lot,
            mut place,
            mut words,
            mut bake,
            mut ending,
        ] = [NULL; 6];
        let [mut temperature, mut scale, mut activity] = [NULL; 3];
        match *self {
            Self::Pickup {
                wet: came,
                place: put,
                note,
            } => {
                wet = came.get().into();
                place = put.into();
                words = columns::optional(note);
            }
            Self::Move { place: to, note } => {
                place = to.into();
                words = columns::optional(note);
            }
            Self::Withdrawal(taken, withdrawal) => {
                wet = taken.get().into();
                match withdrawal {
                    Withdrawal::Use {
                        words: said,
                        bake: of,
                    } => {
                        words = said.into();
                        bake = columns::optional(of);
                    }
                    Withdrawal::Discard {
                        reason,
                        ending: ended,
                    } => {
                        words = reason.into();
                        ending = columns::optional(ended.map(Ending::as_str));
                    }
                    Withdrawal::Give { to } => words = to.into(),
                    Withdrawal::Part(made) | Withdrawal::Treat(made) | Withdrawal::Join(made) => {
                        new_lot = made.lot.into();
                        place = made.place.into();
                        words = columns::optional(made.note);
                    }
                }
            }
            Self::Reading(read) => {
                temperature = read.milli_celsius().into();
                scale = columns::scale_letter(read.scale()).into();
            }
            Self::Activity(measured) => activity = columns::ppm(measured.get()).into(),
            Self::Cooled { said_by: text }
            | Self::Spoiled { found: text }
            | Self::Setting(text) => words = text.into(),
            Self::Count { note } | Self::Source(note) => words = columns::optional(note),
            Self::Place(of) | Self::Readings(of) => place = of.into(),
            Self::Bake(of, note) | Self::Baked(of, note) | Self::Drop(of, note) => {
                bake = of.into();
                words = columns::optional(note);
            }
            Self::Moisture | Self::Plan => {}
        }
        [
            self.kind().as_str().into(),
            columns::optional(lot),
            columns::seconds(at).into(),
            columns::seconds(signature.now).into(),
            columns::optional(signature.by.as_deref()),
            wet,
            new_lot,
            place,
            temperature,
            scale,
            activity,
            words,
            bake,
            ending,
            NULL,
            NULL,
        ]
    }

    /// Writes it; gives its number.
    pub fn write(
        &self,
        connection: &Connection,
        lot: Option<i64>,
        at: Instant,
        signature: &Signature,
    ) -> rusqlite::Result<i64> {
        insert(connection, &[self.row(lot, at, signature)])?;
        Ok(connection.last_insert_rowid())
    }
}

impl NewEntry<'_> {
    /// Writes it in the place of another entry; gives its number.
    pub fn write_amending(
        &self,
        connection: &Connection,
        (lot, at): (Option<i64>, Instant),
        signature: &Signature,
        (amends, reason): (i64, &str),
    ) -> rusqlite::Result<i64> {
        let mut row = self.row(lot, at, signature);
        let [.., amended, why] = &mut row;
        *amended = amends.into();
        *why = reason.into();
        insert(connection, &[row])?;
        Ok(connection.last_insert_rowid())
    }
}

/// Writes entries in their order.
pub(super) fn insert(connection: &Connection, entries: &[EntryRow<'_>]) -> rusqlite::Result<()> {
    bulk_insert::insert(connection, COLUMNS, entries)
}
