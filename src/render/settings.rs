//! What the book was told of the house.

use super::numbers::{Units, trimmed};
use super::words;
use crate::dough::house::{House, METRES_PER_FOOT, Setting};

/// One line for each setting.
pub fn text(house: &House, units: Units) -> String {
    let mut out = String::new();
    for setting in Setting::ALL {
        let value = value(house, setting, units).unwrap_or_else(|| "not told".to_owned());
        words::labelled(
            &mut out,
            setting.as_str(),
            &format!("{value}; {}", setting.meaning()),
        );
    }
    out
}

fn value(house: &House, setting: Setting, units: Units) -> Option<String> {
    match setting {
        Setting::Night => Some(house.night.map_or_else(
            || "none".to_owned(),
            |(from, until)| format!("{} to {}", from.format("%H:%M"), until.format("%H:%M")),
        )),
        Setting::Altitude => house.altitude_metres.map(|metres| match units {
            Units::Metric => format!("{} m", trimmed(metres, 0)),
            Units::Us => format!("{} ft", trimmed(metres / METRES_PER_FOOT, 0)),
        }),
        Setting::Tap => house.tap.map(|tap| units.temperature(tap)),
        Setting::Room => house.room.map(|room| units.temperature(room)),
    }
}
