//! Numbers that are not as they were typed: with a comma, or in other units than the house's. They are shown before they
//! are booked.

use super::fields::{Typed, number};
use crate::quantity::{Milligrams, Temperature};
use crate::render::numbers::Units;

/// A number as it was typed and as it was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Understood {
    /// What stands for it once it was shown.
    pub key: String,
    /// What was typed.
    pub typed: String,
    /// What it comes to.
    pub words: String,
}

/// All such numbers of a form.
pub fn of(typed: &Typed, units: Units) -> Vec<Understood> {
    typed
        .measures()
        .filter_map(|(field, text, unit)| {
            let read = number(text, unit).ok()?;
            let written = read.trim_end_matches(|c: char| !c.is_ascii_digit());
            let unit_read = read[written.len()..].trim().trim_start_matches('°');
            let is_as_usual = match units {
                Units::Metric => matches!(unit_read, "g" | "kg" | "C"),
                Units::Us => matches!(unit_read, "lb" | "oz" | "F"),
            };
            if is_as_usual && !text.contains(',') {
                return None;
            }
            let words = match unit {
                "C" | "F" => {
                    let below =
                        typed.hidden(&format!("{field}_below")) == "1" && !read.starts_with('-');
                    let sign = if below { "-" } else { "" };
                    let temperature: Temperature = format!("{sign}{read}").parse().ok()?;
                    units.temperature(temperature)
                }
                _ => units.weighed(read.parse::<Milligrams>().ok()?),
            };
            Some(Understood {
                key: format!("{field}:{text}:{unit}"),
                typed: format!("{text} {unit}"),
                words,
            })
        })
        .collect()
}
