//! What the book was told of the house.

use super::numbers::{Units, trimmed};
use super::{times, words};
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
        Setting::Dryer => house.work.dryer_water.map(|water| units.weighed(water)),
        Setting::Portion => Some(units.weighed(house.work.portion)),
        Setting::Thaw => Some(times::minutes(house.work.thaw.num_minutes())),
        Setting::DaysOff => Some(days_off(house.work.days_off)),
        Setting::FreezingCost => Some(per_kg(house.work.freezing_per_kg)),
        Setting::DryingCost => Some(per_kg(house.work.drying_per_kg)),
        Setting::GrainWorth => house.work.dry_grain_per_kg.map(per_kg),
    }
}

fn per_kg(money: f64) -> String {
    format!("{money:.2} for 1 kg")
}

fn days_off(off: [bool; 7]) -> String {
    const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let named: Vec<&str> = DAYS
        .into_iter()
        .zip(off)
        .filter_map(|(day, off)| off.then_some(day))
        .collect();
    if named.is_empty() {
        "none".to_owned()
    } else {
        named.join(", ")
    }
}
