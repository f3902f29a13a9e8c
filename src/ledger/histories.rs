//! The keeping history of a lot, gathered from its entries and those of the lots it was parted from.

use super::{LotRecord, PlaceRecord, View, columns};
use crate::keeping::{Event, History, What};
use crate::quantity::{Instant, WaterActivity};
use rusqlite::params;

/// Where a lot went and when, before the places' statements are put in.
struct Step {
    at: Instant,
    place_id: i64,
}

impl View<'_> {
    /// The keeping history of a lot.
    ///
    /// A part has the history of what it was parted from up to the parting, whenever the entries were
    /// written: what is found out later about that time holds for both.
    pub fn history(&self, lot: &LotRecord, places: &[PlaceRecord]) -> anyhow::Result<History> {
        let mut events = Vec::new();
        let mut steps: Vec<Step> = Vec::new();
        let mut current = lot.clone();
        let mut until: Option<Instant> = None;
        loop {
            self.gather(current.id, until, &mut events, &mut steps)?;
            let Some(parent_id) = current.parent_id else {
                break;
            };
            let (at, place_id) = self
                .connection
                .prepare_cached("SELECT at, place_id FROM entry WHERE new_lot_id = ?1")?
                .query_row(params![current.id], |row| {
                    Ok((columns::instant(row.get(0)?), row.get(1)?))
                })?;
            steps.push(Step { at, place_id });
            until = Some(at);
            current = self.lot_by_id(parent_id)?;
        }
        // The line was climbed from the part upwards; the oldest steps come first in time.
        steps.reverse();
        steps.sort_by_key(|step| step.at);
        events.extend(stays(&steps, places));
        if lot.form.is_dry() {
            for test in self.tests(lot)? {
                let result = test.test.evaluate(lot.form, lot.kind)?;
                if let Ok(moisture) = crate::quantity::WetBasis::new(result.moisture.value) {
                    events.push(Event {
                        at: test.at,
                        what: What::Moisture(moisture),
                    });
                }
            }
        }
        Ok(History {
            mash_out: lot.mash_out,
            arrived_dried: lot.form.is_dry(),
            events,
        })
    }

    /// Adds the events of one lot up to a moment, its last steps first.
    fn gather(
        &self,
        lot_id: i64,
        until: Option<Instant>,
        events: &mut Vec<Event>,
        steps: &mut Vec<Step>,
    ) -> anyhow::Result<()> {
        let mut statement = self.connection.prepare_cached(
            "SELECT kind, at, place_id, temperature_mc, temperature_scale, activity_ppm, words
             FROM entry
             WHERE lot_id = ?1 AND kind IN ('pickup', 'move', 'reading', 'cooled', 'activity', 'spoiled') AND at <= ?2
               AND NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.struck_entry_id = entry.id)
             ORDER BY at DESC, id DESC",
        )?;
        let until = until.map_or(i64::MAX, columns::seconds);
        let mut rows = statement.query(params![lot_id, until])?;
        while let Some(row) = rows.next()? {
            let at = columns::instant(row.get(1)?);
            let what = match row.get_ref(0)?.as_str().map_err(columns::damaged)? {
                "reading" => What::Read(columns::temperature(
                    row.get(3)?,
                    row.get::<_, Option<String>>(4)?.as_deref(),
                )),
                "cooled" => What::Cooled,
                "activity" => What::Activity(WaterActivity::new(columns::fraction(row.get(5)?))?),
                "spoiled" => What::Spoiled(row.get(6)?),
                _ => {
                    steps.push(Step {
                        at,
                        place_id: row.get(2)?,
                    });
                    continue;
                }
            };
            events.push(Event { at, what });
        }
        Ok(())
    }
}

/// Turns steps into stays, with a new one wherever the place was stated anew meanwhile.
fn stays(steps: &[Step], places: &[PlaceRecord]) -> Vec<Event> {
    let mut events = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let Some(place) = places.iter().find(|place| place.id == step.place_id) else {
            continue;
        };
        let leaves = steps.get(index + 1).map(|next| next.at);
        let anew = place
            .settings
            .iter()
            .filter(|setting| {
                setting.from > step.at && leaves.is_none_or(|leaves| setting.from < leaves)
            })
            .map(|setting| (setting.from, setting));
        let setting = place.setting_at(step.at);
        events.push(Event {
            at: step.at,
            what: What::Placed {
                kind: setting.kind,
                stated: setting.stated,
            },
        });
        events.extend(anew.map(|(at, setting)| Event {
            at,
            what: What::Restated {
                kind: setting.kind,
                stated: setting.stated,
            },
        }));
    }
    events
}
