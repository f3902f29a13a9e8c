//! Places and what they are stated to be, from when on.

use super::in_force::IN_FORCE;
use super::new_entry::NewEntry;
use super::{Act, BookRefusal, Signature, View, columns};
use crate::keeping::{PlaceKind, Probe};
use crate::quantity::{Instant, Length, Milligrams, Problem, Temperature, text};
use rusqlite::{Connection, Row, Transaction, params};

/// A place with its statements in time order.
#[derive(Debug, Clone)]
pub struct PlaceRecord {
    pub(super) id: i64,
    /// Its name.
    pub name: String,
    /// What it was stated to be and from when on; the first one holds from the beginning.
    pub settings: Vec<PlaceSetting>,
}

/// From when on a place is closed, and until when; without an end it is closed still.
pub type Closed = (Instant, Option<Instant>);

/// What a place is stated to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceSetting {
    /// From this moment on.
    pub from: Instant,
    /// Its kind.
    pub kind: PlaceKind,
    /// The temperature it is stated to hold.
    pub stated: Temperature,
    /// How much wet grain it takes, where stated.
    pub capacity: Option<Milligrams>,
    /// What the probe of its logger measures; a place of an older book that was never told has none.
    pub probe: Option<Probe>,
    /// How thick grain lies there, where stated.
    pub depth: Option<Length>,
    /// Whether it is closed: it takes no grain.
    pub closed: bool,
}

impl PlaceRecord {
    /// The places that every new book has, as they will be stated.
    pub fn usual() -> Vec<Self> {
        USUAL
            .iter()
            .map(|(name, kind)| Self {
                id: 0,
                name: (*name).to_owned(),
                settings: vec![PlaceSetting::usual(*kind, Instant::MIN_UTC)],
            })
            .collect()
    }

    /// Whether it takes no grain any more.
    pub fn is_closed(&self) -> bool {
        self.settings.last().is_some_and(|last| last.closed)
    }

    /// Why it takes no grain of a moment: it was closed then, or it was closed since, and the grain would lie there still.
    pub fn closed_to(&self, at: Instant) -> Option<Closed> {
        let then = self.setting_at(at);
        if then.closed {
            let mut later = self.settings.iter().filter(|later| later.from > then.from);
            return Some((
                then.from,
                later.find(|later| !later.closed).map(|open| open.from),
            ));
        }
        let now = self.settings.last().filter(|now| now.closed);
        now.map(|now| (now.from, None))
    }

    /// Whether it is a freezer at a moment.
    pub fn is_freezer_at(&self, at: Instant) -> bool {
        self.setting_at(at).kind == PlaceKind::Freezer
    }

    /// What the place was stated to be at a moment.
    pub fn setting_at(&self, at: Instant) -> &PlaceSetting {
        // Every place is made together with its first statement.
        self.settings
            .iter()
            .rev()
            .find(|setting| setting.from <= at)
            .unwrap_or(&self.settings[0])
    }

    /// Whether the place was stated to keep what is in it hot at a moment.
    pub(super) fn is_hot_hold(&self, at: Instant) -> bool {
        self.setting_at(at).kind == PlaceKind::HotHold
    }
}

impl PlaceSetting {
    /// What a place of a kind is taken to be where nothing else is said.
    pub fn usual(kind: PlaceKind, from: Instant) -> Self {
        Self {
            from,
            kind,
            stated: kind.usual_temperature(),
            capacity: None,
            probe: Some(Probe::Air),
            depth: None,
            closed: false,
        }
    }

    /// Whether a layer of grain stands between what the logger measures and what counts. What is frozen has other
    /// properties than that layer, and what is kept hot must not be shown hotter than its air.
    pub fn measures_air(&self) -> bool {
        self.probe == Some(Probe::Air)
            && !matches!(self.kind, PlaceKind::Freezer | PlaceKind::HotHold)
    }
}

/// The places that every book has: name, kind.
const USUAL: [(&str, PlaceKind); 4] = [
    ("fridge", PlaceKind::Fridge),
    ("freezer", PlaceKind::Freezer),
    ("counter", PlaceKind::Ambient),
    ("dry-store", PlaceKind::DryStore),
];

/// Adds the usual places to a new book.
pub(super) fn add_usual(
    transaction: &Transaction<'_>,
    signature: &Signature,
) -> anyhow::Result<()> {
    for (name, kind) in USUAL {
        let place_id = insert(transaction, name)?;
        let setting = PlaceSetting::usual(kind, signature.now);
        state(transaction, place_id, &setting, signature)?;
    }
    Ok(())
}

fn insert(connection: &Connection, name: &str) -> rusqlite::Result<i64> {
    connection.execute("INSERT INTO place (name) VALUES (?1)", params![name])?;
    Ok(connection.last_insert_rowid())
}

/// Writes the entry that states what a place is.
fn state(
    connection: &Connection,
    place_id: i64,
    setting: &PlaceSetting,
    signature: &Signature,
) -> rusqlite::Result<i64> {
    let entry_id = NewEntry::Place(place_id).write(connection, None, setting.from, signature)?;
    connection.execute(
        "INSERT INTO place_setting (entry_id, kind, stated_mc, capacity_mg, probe, depth_um, closed)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            entry_id,
            setting.kind.as_str(),
            setting.stated.milli_celsius(),
            setting.capacity.map(Milligrams::get),
            setting.probe.map(Probe::as_str),
            setting.depth.map(Length::micrometres),
            setting.closed.then_some(1)
        ],
    )?;
    Ok(entry_id)
}

/// The columns that [`read_setting`] reads.
const SETTING: &str = "entry.at, setting.kind, setting.stated_mc, setting.capacity_mg, setting.probe, setting.depth_um,
    setting.closed";

/// Reads what [`SETTING`] names, from the column `first` on.
fn read_setting(row: &Row<'_>, first: usize) -> rusqlite::Result<PlaceSetting> {
    let kind: String = row.get(first + 1)?;
    Ok(PlaceSetting {
        from: columns::instant(row.get(first)?),
        kind: kind
            .parse()
            .map_err(|problem: Problem| columns::damaged(problem))?,
        stated: columns::temperature(row.get(first + 2)?, None),
        capacity: row.get::<_, Option<i64>>(first + 3)?.map(Milligrams::new),
        probe: row
            .get::<_, Option<String>>(first + 4)?
            .map(|probe| probe.parse())
            .transpose()
            .map_err(|problem: Problem| columns::damaged(problem))?,
        depth: row
            .get::<_, Option<i64>>(first + 5)?
            .map(Length::from_micrometres),
        closed: row.get::<_, Option<bool>>(first + 6)?.unwrap_or(false),
    })
}

impl View<'_> {
    /// What a place was stated to be by one entry.
    pub(super) fn setting(&self, entry: i64) -> rusqlite::Result<PlaceSetting> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {SETTING} FROM entry JOIN place_setting AS setting ON setting.entry_id = entry.id WHERE entry.id = ?1"
            ))?
            .query_row(params![entry], |row| read_setting(row, 0))
    }

    /// Every place with its statements, in the order in which they were made.
    pub fn places(&self) -> anyhow::Result<Vec<PlaceRecord>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT place.id, place.name, {SETTING}
             FROM place
             JOIN entry ON entry.place_id = place.id AND entry.kind = 'place'
             JOIN place_setting AS setting ON setting.entry_id = entry.id
             WHERE {IN_FORCE}
             ORDER BY place.id, entry.at, entry.id"
        ))?;
        let mut rows = statement.query([])?;
        let mut places: Vec<PlaceRecord> = Vec::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(0)?;
            let setting = read_setting(row, 2)?;
            match places.last_mut() {
                Some(last) if last.id == id => last.settings.push(setting),
                _ => places.push(PlaceRecord {
                    id,
                    name: row.get(1)?,
                    settings: vec![setting],
                }),
            }
        }
        Ok(places)
    }

    /// Finds a place by name.
    pub fn place(&self, name: &str) -> anyhow::Result<PlaceRecord> {
        let places = self.places()?;
        match text::find_named(&places, |place| &place.name, name) {
            Some(place) => Ok(place.clone()),
            None => Err(BookRefusal::NoPlace {
                name: name.to_owned(),
                known: places
                    .into_iter()
                    .filter(|place| !place.is_closed())
                    .map(|place| place.name)
                    .collect(),
            }
            .into()),
        }
    }

    /// Finds a place by name that takes grain of a moment.
    pub fn open_place(&self, name: &str, at: Instant) -> anyhow::Result<PlaceRecord> {
        let place = self.place(name)?;
        match place.closed_to(at) {
            None => Ok(place),
            Some(closed) => Err(BookRefusal::PlaceClosed {
                place: place.name,
                at,
                closed,
            }
            .into()),
        }
    }

    /// Finds a place by name that took grain at a moment, whatever it does by now.
    pub fn place_open_then(&self, name: &str, at: Instant) -> anyhow::Result<PlaceRecord> {
        match self.place(name)? {
            place if place.setting_at(at).closed => self.open_place(name, at),
            place => Ok(place),
        }
    }
}

impl Act<'_> {
    /// Makes a place.
    pub(crate) fn add_place(&mut self, name: &str, setting: &PlaceSetting) -> anyhow::Result<i64> {
        self.refuse_future(setting.from)?;
        let names: Vec<String> = self
            .transaction
            .prepare("SELECT name FROM place ORDER BY id")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        if let Some(taken) = text::find_named(&names, String::as_str, name) {
            return Err(BookRefusal::PlaceTaken(taken.clone()).into());
        }
        let place_id = insert(&self.transaction, name)?;
        Ok(state(
            &self.transaction,
            place_id,
            setting,
            &self.signature,
        )?)
    }

    /// Refuses a place in which lots lie.
    pub(crate) fn refuse_grain_in(&self, place: &PlaceRecord) -> anyhow::Result<()> {
        let ids: Vec<i64> = self
            .transaction
            .prepare("SELECT lot_id FROM stock WHERE place_id = ?1 ORDER BY lot_id")?
            .query_map(params![place.id], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        if ids.is_empty() {
            return Ok(());
        }
        let lots = ids
            .into_iter()
            .map(|id| Ok(self.view().lot_by_id(id)?.code))
            .collect::<rusqlite::Result<_>>()?;
        Err(BookRefusal::LotsLieThere {
            place: place.name.clone(),
            lots,
        }
        .into())
    }

    /// Refuses a place in which lots lay after a moment.
    pub(crate) fn refuse_grain_since(
        &self,
        place: &PlaceRecord,
        from: Instant,
    ) -> anyhow::Result<()> {
        let now = self.signature.now;
        let (mut lots, mut empty_from) = (Vec::new(), from);
        for stayed in self.view().stayed_in(place, (from, now))? {
            let left = stayed
                .own_stays()
                .iter()
                .filter_map(|(_, left)| *left)
                .max();
            if let Some(left) = left.filter(|left| *left > from) {
                lots.push(stayed.lot.code);
                empty_from = empty_from.max(left);
            }
        }
        if lots.is_empty() {
            return Ok(());
        }
        Err(BookRefusal::LotsLayThere {
            place: place.name.clone(),
            lots,
            empty_from,
        }
        .into())
    }

    /// States anew what a place is, from a moment on.
    pub(crate) fn change_place(
        &mut self,
        place: &PlaceRecord,
        setting: &PlaceSetting,
    ) -> anyhow::Result<i64> {
        self.refuse_future(setting.from)?;
        if place
            .settings
            .last()
            .is_some_and(|last| setting.from < last.from)
        {
            return Err(BookRefusal::PlaceStatedLater(place.name.clone()).into());
        }
        Ok(state(
            &self.transaction,
            place.id,
            setting,
            &self.signature,
        )?)
    }
}
