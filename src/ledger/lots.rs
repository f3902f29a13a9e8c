//! Lots: found by code, listed while they are on hand.

use super::in_force::IN_FORCE;
use super::refusal::{Arrival, BookRefusal, NoLot};
use super::{EntryKind, LotNumbers, PlaceRecord, View, columns};
use crate::grain::cereals::{self, Says};
use crate::grain::{Allergens, Form, Grist, Kind, LotCode, LotCodeProblem, is_of_brew_day};
use crate::keeping::PlaceKind;
use crate::quantity::{Instant, Milligrams, Problem, Zone};
use chrono::NaiveDate;
use rusqlite::{OptionalExtension, Row, params};
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::sync::Arc;

/// A lot as it came in, or as it was parted from another.
#[derive(Debug, Clone)]
pub struct LotRecord {
    pub(super) id: i64,
    pub(super) source_id: i64,
    /// Its code.
    pub code: LotCode,
    /// The name of its source.
    pub source: String,
    /// When mashing was over, where known.
    pub mash_out: Option<Instant>,
    /// Mashed or steeped.
    pub kind: Kind,
    /// Its form when it came in.
    pub form: Form,
    /// What was mashed, where known.
    pub grist: Option<String>,
}

impl LotRecord {
    /// Its number in the book, see [`View::lot_of_number`].
    pub const fn number(&self) -> i64 {
        self.id
    }

    /// The brew day: that of the code, or of a mash-out that was corrected to another day. Codes stay as they are.
    pub fn brewed_on(&self, zone: &Zone) -> NaiveDate {
        let of_code = self.code.brewed_on();
        match self.mash_out.map(|mash_out| zone.local(mash_out)) {
            Some(mashed) if !is_of_brew_day(mashed, of_code) => mashed.date(),
            _ => of_code,
        }
    }

    /// Allergens other than gluten that its grist names.
    pub fn allergens(&self) -> Allergens {
        Allergens::named_in_any(self.grist.as_deref())
    }

    /// What its grist says of a cereal or malt.
    pub fn says(&self, asked: &str) -> Says {
        cereals::says(self.known_grist().as_ref(), asked)
    }

    /// Whether it may hold a cereal or another allergen by its grist, see [`cereals::may_hold`].
    pub fn may_hold(&self, asked: &str) -> bool {
        cereals::may_hold(self.known_grist().as_ref(), asked)
    }

    /// A grist that is not understood is one that is not known.
    pub fn known_grist(&self) -> Option<Grist> {
        self.grist.as_deref().and_then(|text| text.parse().ok())
    }
}

/// A lot that is on hand.
#[derive(Debug, Clone)]
pub struct OnHand {
    /// The lot.
    pub lot: LotRecord,
    /// What is left of it.
    pub wet: Milligrams,
    /// The name of the place it is in.
    pub place: String,
    /// What the place is stated to be.
    pub place_kind: PlaceKind,
}

/// Lots that were read, so that a list of many entries about few lots reads each of them once.
#[derive(Default)]
pub(super) struct KnownLots {
    lots: HashMap<i64, Arc<LotRecord>>,
    void: HashMap<i64, Option<i64>>,
}

impl KnownLots {
    /// The lot of a number.
    pub(super) fn get(&mut self, view: View<'_>, id: i64) -> rusqlite::Result<Arc<LotRecord>> {
        Ok(Arc::clone(match self.lots.entry(id) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(Arc::new(view.lot_by_id(id)?)),
        }))
    }

    /// The code of a lot, where one is named.
    pub(super) fn code(
        &mut self,
        view: View<'_>,
        id: Option<i64>,
    ) -> rusqlite::Result<Option<LotCode>> {
        id.map(|id| self.get(view, id).map(|lot| lot.code))
            .transpose()
    }

    /// What [`View::is_void`] says of a lot.
    pub(super) fn is_void(
        &mut self,
        view: View<'_>,
        lot: &LotRecord,
    ) -> rusqlite::Result<Option<i64>> {
        Ok(match self.void.entry(lot.id) {
            Entry::Occupied(known) => *known.get(),
            Entry::Vacant(new) => *new.insert(view.is_void(lot)?),
        })
    }
}

/// What [`read_lot`] reads of lots that [`FACTS`] is joined to.
pub(super) const COLUMNS: &str = "lot.id, coalesce(is_one.same_as, facts.source_id, lot.source_id), coded.letters, lot.brewed_on, lot.number,
    coalesce(is_one.name, source.name),
    CASE WHEN facts.lot_id IS NULL THEN lot.mash_out_at ELSE facts.mash_out_at END,
    coalesce(facts.kind, lot.kind), coalesce(facts.form, lot.form),
    CASE WHEN facts.lot_id IS NULL THEN lot.grist ELSE facts.grist END";

/// Joins to `lot` what is known of each by now: its code is as first given, its facts are the last in force.
pub(super) const FACTS: &str = "JOIN source AS coded ON coded.id = lot.source_id
    LEFT JOIN lot_now AS facts ON facts.lot_id = lot.id
    JOIN source ON source.id = coalesce(facts.source_id, lot.source_id)
    LEFT JOIN source_now AS is_one ON is_one.source_id = source.id";

pub(super) fn read_lot(row: &Row<'_>) -> rusqlite::Result<LotRecord> {
    let word = |index: usize| {
        row.get_ref(index)?
            .as_str()
            .map_err(columns::damaged)
            .map(str::to_owned)
    };
    let letters = word(2)?;
    let brewed_on = columns::date(&word(3)?)?;
    Ok(LotRecord {
        id: row.get(0)?,
        source_id: row.get(1)?,
        code: LotCode::new(&letters, brewed_on, row.get(4)?).map_err(columns::damaged)?,
        source: word(5)?,
        mash_out: row.get::<_, Option<i64>>(6)?.map(columns::instant),
        kind: word(7)?
            .parse()
            .map_err(|problem: Problem| columns::damaged(problem))?,
        form: word(8)?
            .parse()
            .map_err(|problem: Problem| columns::damaged(problem))?,
        grist: row.get(9)?,
    })
}

impl View<'_> {
    /// Finds a lot by its code. A mistyped one is refused with the nearest codes on hand, and so is one
    /// whose arrival was struck.
    pub fn lot(&self, typed: &str) -> anyhow::Result<LotRecord> {
        let lot = self.lot_even_struck(typed)?;
        match self.is_void(&lot)? {
            None => Ok(lot),
            Some(by) => Err(BookRefusal::LotStruck { lot: lot.code, by }.into()),
        }
    }

    /// Finds a lot by its code, for one who asks what was written about it.
    pub fn lot_even_struck(&self, typed: &str) -> anyhow::Result<LotRecord> {
        let code = match typed.parse::<LotCode>() {
            Ok(code) => code,
            Err(LotCodeProblem::Malformed(problem)) => {
                if let Some(lot) = self.lot_by_end(typed)? {
                    return Ok(lot);
                }
                let why = NoLot::Malformed(problem);
                // Where a code has to be whole, those that end so are the nearest.
                let ending = self.lots_ending_in(typed)?;
                if !ending.is_empty() {
                    let nearest = ending.iter().map(|lot| lot.code.to_string()).collect();
                    return Err(BookRefusal::NoLot { why, nearest }.into());
                }
                return Err(self.no_lot(why, typed)?.into());
            }
            Err(LotCodeProblem::WrongCheck { typed, .. }) => {
                let near = self.no_lot(NoLot::Mistyped(typed.clone()), &typed)?;
                return Err(near.into());
            }
        };
        let found = self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM lot {FACTS}
                 WHERE coded.letters = ?1 AND lot.brewed_on = ?2 AND lot.number = ?3"
            ))?
            .query_row(
                params![code.letters(), code.brewed_on().to_string(), code.number()],
                read_lot,
            )
            .optional()?;
        match found {
            Some(lot) => Ok(lot),
            None => Err(self.no_lot(NoLot::Unknown(code), &code.to_string())?.into()),
        }
    }

    /// The one lot on hand whose code ends so: number and check character at least. Nothing where the text is no such end,
    /// or where codes have to be whole.
    pub fn lot_by_end(&self, typed: &str) -> anyhow::Result<Option<LotRecord>> {
        if !self.code_ends {
            return Ok(None);
        }
        let mut found = self.lots_ending_in(typed)?;
        if found.len() > 1 {
            return Err(BookRefusal::SeveralLots {
                typed: typed.to_owned(),
                lots: found.into_iter().map(|lot| lot.code).collect(),
            }
            .into());
        }
        let end = typed.trim();
        let is_end = (2..7).contains(&end.len())
            && end.starts_with(|first: char| first.is_ascii_digit())
            && !end.contains(char::is_whitespace);
        if found.is_empty() && is_end {
            let why = NoLot::NoSuchEnd(end.to_ascii_uppercase());
            return Err(self.no_lot(why, typed)?.into());
        }
        Ok(found.pop())
    }

    fn lots_ending_in(&self, typed: &str) -> rusqlite::Result<Vec<LotRecord>> {
        let mut found = self.lots_in_stock()?;
        found.retain(|lot| lot.code.ends_in(typed));
        found.sort_by_key(|lot| lot.code);
        Ok(found)
    }

    fn lots_in_stock(&self) -> rusqlite::Result<Vec<LotRecord>> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM stock JOIN lot ON lot.id = stock.lot_id {FACTS}"
            ))?
            .query_map([], read_lot)?
            .collect()
    }

    pub(super) fn lot_by_id(&self, id: i64) -> rusqlite::Result<LotRecord> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM lot {FACTS} WHERE lot.id = ?1"
            ))?
            .query_row(params![id], read_lot)
    }

    /// The entry that struck the lot's arrival, where no entry in force says that it came.
    pub(super) fn is_void(&self, lot: &LotRecord) -> rusqlite::Result<Option<i64>> {
        let struck_by: Option<Option<i64>> = self
            .connection
            .prepare_cached(
                "SELECT gone.by_entry_id FROM entry AS arrival LEFT JOIN out_of_force AS gone ON gone.entry_id = arrival.id
                 WHERE (arrival.lot_id = ?1 AND arrival.kind = 'pickup') OR arrival.new_lot_id = ?1
                 ORDER BY gone.by_entry_id IS NOT NULL, gone.by_entry_id DESC LIMIT 1",
            )?
            .query_row(params![lot.id], |row| row.get(0))
            .optional()?;
        Ok(struck_by.flatten())
    }

    /// Refuses a moment at which the lot was not with us yet.
    pub fn refuse_before_arrival(&self, lot: &LotRecord, at: Instant) -> anyhow::Result<()> {
        let (came, kind): (i64, EntryKind) = self
            .connection
            .prepare_cached(&format!(
                "SELECT at, kind FROM entry WHERE ((lot_id = ?1 AND kind = 'pickup') OR new_lot_id = ?1) AND {IN_FORCE} LIMIT 1"
            ))?
            .query_row(params![lot.id], |row| Ok((row.get(0)?, row.get(1)?)))?;
        if columns::seconds(at) >= came {
            return Ok(());
        }
        let how = match kind {
            EntryKind::Pickup => Arrival::Collected,
            EntryKind::Part => Arrival::PartedOff,
            _ => Arrival::Made,
        };
        Err(BookRefusal::BeforeArrival {
            lot: lot.code,
            how,
            came: columns::instant(came),
            at,
            entry: None,
        }
        .into())
    }

    /// Every lot on hand, in the order in which they came in.
    pub fn on_hand(&self, now: Instant) -> anyhow::Result<Vec<OnHand>> {
        let _still = self.hold_still()?;
        let places = self.places()?;
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS}, stock.wet_mg, stock.place_id
             FROM stock JOIN lot ON lot.id = stock.lot_id {FACTS}
             ORDER BY stock.lot_id"
        ))?;
        let mut rows = statement.query([])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let place_id: i64 = row.get(11)?;
            let place = places
                .iter()
                .find(|place| place.id == place_id)
                .ok_or_else(|| {
                    Problem::new("the book is damaged: a lot lies in a place that does not exist")
                })?;
            found.push(OnHand {
                lot: read_lot(row)?,
                wet: Milligrams::new(row.get(10)?),
                place: place.name.clone(),
                place_kind: place.setting_at(now).kind,
            });
        }
        Ok(found)
    }

    /// Those of some lots that are on hand.
    pub fn on_hand_of(&self, lots: &LotNumbers) -> anyhow::Result<Vec<LotRecord>> {
        let mut found = Vec::new();
        for id in lots.as_slice() {
            if self.stock(*id)?.is_some() {
                found.push(self.lot_by_id(*id)?);
            }
        }
        Ok(found)
    }

    /// The wet mass of all lots on hand.
    pub fn on_hand_total(&self) -> anyhow::Result<Milligrams> {
        let total =
            self.connection
                .query_row("SELECT coalesce(sum(wet_mg), 0) FROM stock", [], |row| {
                    row.get(0)
                })?;
        Ok(Milligrams::new(total))
    }

    /// What is left of a lot; nothing once it is used up.
    pub fn left(&self, lot: &LotRecord) -> anyhow::Result<Option<Milligrams>> {
        Ok(self.stock(lot.id)?.map(|(wet, _)| wet))
    }

    /// What is left of a lot that is not used up.
    pub fn left_or_refuse(&self, lot: &LotRecord) -> anyhow::Result<Milligrams> {
        self.left(lot)?
            .ok_or_else(|| BookRefusal::NothingLeft(lot.code).into())
    }

    /// What is left of a lot, and which of the book's `places` it is in; nothing once it is used up.
    pub fn held(
        &self,
        lot: &LotRecord,
        places: &[PlaceRecord],
    ) -> anyhow::Result<Option<(Milligrams, String, PlaceKind)>> {
        let Some((wet, place_id)) = self.stock(lot.id)? else {
            return Ok(None);
        };
        let place = places.iter().find(|place| place.id == place_id);
        Ok(place.map(|place| {
            let kind = place.setting_at(Instant::MAX_UTC).kind;
            (wet, place.name.clone(), kind)
        }))
    }

    /// What is left of a lot and the place it is in.
    pub(super) fn stock(&self, lot_id: i64) -> rusqlite::Result<Option<(Milligrams, i64)>> {
        self.connection
            .prepare_cached("SELECT wet_mg, place_id FROM stock WHERE lot_id = ?1")?
            .query_row(params![lot_id], |row| {
                Ok((Milligrams::new(row.get(0)?), row.get(1)?))
            })
            .optional()
    }

    /// Adds the nearest codes on hand to a refusal.
    fn no_lot(&self, why: NoLot, typed: &str) -> anyhow::Result<BookRefusal> {
        let typed = typed.trim().to_ascii_uppercase();
        let mut codes: Vec<(usize, String)> = self
            .lots_in_stock()?
            .into_iter()
            .map(|lot| {
                let code = lot.code.to_string();
                (strsim::damerau_levenshtein(&code, &typed), code)
            })
            .collect();
        codes.sort();
        let nearest = codes
            .into_iter()
            .take(3)
            .take_while(|(distance, _)| *distance <= 2)
            .map(|(_, code)| code)
            .collect();
        Ok(BookRefusal::NoLot { why, nearest })
    }
}
