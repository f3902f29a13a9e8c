//! What is known before an act that may be the first one of a book: a typing error must not create one.

use crate::context::Errand;
use crate::desk::{Desk, LastPickup, Refusal};
use crate::ledger::PlaceRecord;
use crate::quantity::{Instant, Zone};
use crate::render::refusal;
use crate::rows::pickup::Bench;

/// The desk if there is a book, and what an act is checked against in either case.
pub struct FirstAct {
    desk: Option<Desk>,
    places: Vec<PlaceRecord>,
    zone: Zone,
    now: Instant,
    by: Option<String>,
}

impl FirstAct {
    /// Takes the book's zone and places, or those that a new book will have.
    pub fn new(errand: &mut Errand<'_>) -> anyhow::Result<Self> {
        let desk = match errand.book_if_there()? {
            Some(book) => Some(errand.desk_at(book)?),
            None => None,
        };
        let (zone, places) = match &desk {
            Some(desk) => (desk.zone().clone(), desk.places()?.answer),
            None => ((errand.surroundings.zone)().0, PlaceRecord::usual()),
        };
        let signature = errand.signature(&zone)?;
        Ok(Self {
            desk,
            places,
            now: signature.now,
            by: signature.by,
            zone,
        })
    }

    /// The last pickup, of one source or of any.
    pub fn last_pickup(&self, source: Option<&str>) -> anyhow::Result<LastPickup> {
        match &self.desk {
            Some(desk) => Ok(desk.last_pickup(source)?.answer),
            None => Err(Refusal::NoPickupYet(None).into()),
        }
    }

    /// What a row, of a file or of the command line, is checked against.
    pub fn bench(&self, in_file: bool) -> Bench<'_> {
        Bench {
            now: self.now,
            zone: &self.zone,
            places: &self.places,
            by: self.by.as_deref(),
            in_file,
            add_place: refusal::add_place,
            open_place: refusal::open_place,
        }
    }

    /// The desk at the book that is there, or at a new plain one.
    pub fn desk(self, errand: &mut Errand<'_>) -> anyhow::Result<Desk> {
        match self.desk {
            Some(desk) => Ok(desk),
            None => errand.desk_or_new(),
        }
    }
}
