//! JSON of `place`.

use crate::keeping::Probe;
use crate::ledger::PlaceRecord;
use crate::quantity::{Instant, Length, Milligrams, Zone};
use serde::Serialize;

/// `place --json`.
#[derive(Serialize)]
pub struct Places {
    places: Vec<Place>,
}

#[derive(Serialize)]
struct Place {
    place: String,
    kind: &'static str,
    stated_c: f64,
    capacity_g: Option<f64>,
    probe_in: Option<&'static str>,
    layer_cm: Option<f64>,
    closed: bool,
    since: String,
}

impl Places {
    /// From the places as stated at a moment.
    pub fn new(places: &[PlaceRecord], now: Instant, zone: &Zone) -> Self {
        let place = |place: &PlaceRecord| {
            let setting = place.setting_at(now);
            Place {
                place: place.name.clone(),
                kind: setting.kind.as_str(),
                stated_c: setting.stated.degrees_celsius(),
                capacity_g: setting.capacity.map(Milligrams::grams),
                probe_in: setting.probe.map(Probe::as_str),
                layer_cm: setting.depth.map(Length::centimetres),
                closed: setting.closed,
                since: zone.rfc3339(setting.from),
            }
        };
        Self {
            places: places.iter().map(place).collect(),
        }
    }
}
