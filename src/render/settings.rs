//! What the book was told of the house.

use super::numbers::{self, Units};
use super::{cool, times, words};
use crate::dough::house::{House, METRES_PER_FOOT, Setting, Thaw, Work, thirst_word};
use crate::quantity::text::trimmed;

/// Width of the names: the longest, and a blank behind it.
const NAME: usize = 15;

/// One line for each of these settings.
pub fn text(house: &House, settings: &[Setting], units: Units) -> String {
    let mut out = String::new();
    for setting in settings {
        let value = value_or_not_told(house, *setting, units);
        words::wrapped(
            &mut out,
            &format!("{:<NAME$}", setting.as_str()),
            &" ".repeat(NAME),
            &format!("{value}; {}", setting.meaning()),
        );
    }
    out
}

/// The value of one of them, or that it was not told.
pub fn value_or_not_told(house: &House, setting: Setting, units: Units) -> String {
    value(house, setting, units).unwrap_or_else(|| "not told".to_owned())
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
        Setting::Thirst => Some(thirst_word(house.thirst_is_learned).to_owned()),
        Setting::FlourPrice => house.flour_price.map(money),
        _ => work_value(&house.work, setting, units),
    }
}

fn money(amount: f64) -> String {
    format!("{amount:.2} a kg")
}

fn work_value(work: &Work, setting: Setting, units: Units) -> Option<String> {
    match setting {
        Setting::Evening => Some(work.evening.format("%H:%M").to_string()),
        Setting::DaysOff => Some(days_off(work)),
        Setting::Scale => Some(units.weighed(work.step)),
        Setting::Portion => Some(units.weighed(work.portion)),
        Setting::Thaw => Some(thaw(work.thaw, units)),
        Setting::Freezer => Some(if work.has_freezer { "yes" } else { "none" }.to_owned()),
        Setting::Dryer => Some(
            work.dryer_water
                .map_or_else(|| "none".to_owned(), |water| units.weighed(water)),
        ),
        Setting::DryingTime => Some(times::minutes(work.drying.num_minutes())),
        Setting::DryingTemp => Some(units.temperature(work.dryer_at)),
        Setting::DriedTo => Some(numbers::percent(work.dried_moisture)),
        Setting::FreezingCost => Some(money(work.freezing_per_kg)),
        Setting::DryingCost => Some(money(work.drying_per_kg)),
        Setting::GrainWorth => work.worth_per_kg.map(money),
        Setting::Unused => Some(numbers::percent(work.unused_counts)),
        Setting::Risk => Some(numbers::percent(work.risk)),
        Setting::EvenFirst => Some(if work.even_first { "yes" } else { "no" }.to_owned()),
        Setting::Night
        | Setting::Altitude
        | Setting::Tap
        | Setting::Room
        | Setting::FlourPrice
        | Setting::Thirst => None,
    }
}

/// A time as the house found it, or the one that a thickness takes.
fn thaw(thaw: Thaw, units: Units) -> String {
    let lead = times::minutes(thaw.lead().num_minutes());
    match thaw {
        Thaw::Takes(_) => lead,
        Thaw::Thick(thick) => format!("{} thick thaws in {lead}", cool::length(thick, units)),
    }
}

fn days_off(work: &Work) -> String {
    let weekdays = work.free_weekdays.iter().map(ToString::to_string);
    let dates = work.free_dates.iter().map(ToString::to_string);
    let all: Vec<String> = weekdays.chain(dates).collect();
    if all.is_empty() {
        "none".to_owned()
    } else {
        all.join(" ")
    }
}
