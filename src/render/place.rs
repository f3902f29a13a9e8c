//! Places and what they are stated to be.

use super::numbers::Units;
use super::{times, words};
use crate::ledger::PlaceRecord;
use crate::quantity::text::shell_word;
use crate::quantity::{Instant, Milligrams, Zone};

/// What to type where a lot was brought to a place and nobody wrote it down; a word stands for a place that is not known.
pub fn was_moved(lot: impl std::fmt::Display, place: Option<&str>) -> String {
    let place = place.map_or("PLACE".to_owned(), shell_word);
    format!("draff move {lot} --to {place} --at WHEN")
}

/// One line for each place.
pub fn text(places: &[PlaceRecord], units: Units, now: Instant, zone: &Zone) -> String {
    let mut rows = vec![
        [
            "PLACE", "KIND", "STATED", "TAKES", "PROBE IN", "LAYER", "SINCE",
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    let taken = places
        .iter()
        .filter_map(|place| place.setting_at(now).capacity);
    let unit = units.unit_of(taken.map(Milligrams::mass));
    for place in places {
        let setting = place.setting_at(now);
        rows.push(vec![
            place.name.clone(),
            if place.is_closed() {
                format!("{}, closed", setting.kind)
            } else {
                setting.kind.to_string()
            },
            units.temperature(setting.stated),
            setting
                .capacity
                .map_or("not stated".to_owned(), |capacity| {
                    units.weighed_among(capacity, unit)
                }),
            setting
                .probe
                .map_or("not stated", crate::keeping::Probe::as_str)
                .to_owned(),
            setting.depth.map_or("not stated".to_owned(), |depth| {
                super::cool::length(depth, units)
            }),
            times::moment(setting.from, now, zone),
        ]);
    }
    words::table(&rows, &[false, false, true, true, false, true, false]).join("\n") + "\n"
}
