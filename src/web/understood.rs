//! Numbers that are not as they were typed: with a comma, or in other units than the house's. They are shown before they
//! are booked.

use super::fields::{Typed, has_unit, number};
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
            let is_degrees = matches!(unit, "C" | "F");
            let mut shown = match (has_unit(text), is_degrees) {
                (true, _) => text.to_owned(),
                (false, true) => format!("{text} °{unit}"),
                (false, false) => format!("{text} {unit}"),
            };
            let words = if is_degrees {
                let below =
                    typed.hidden(&format!("{field}_below")) == "1" && !read.starts_with('-');
                if below {
                    shown.push_str(" below zero");
                }
                let sign = if below { "-" } else { "" };
                let temperature: Temperature = format!("{sign}{read}").parse().ok()?;
                units.temperature(temperature)
            } else {
                units.weighed(read.parse::<Milligrams>().ok()?)
            };
            Some(Understood {
                key: format!("{field}:{text}:{unit}"),
                typed: shown,
                words,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(fields: &[(&str, &str)]) -> Vec<(String, String)> {
        let owned = |(name, value): &(&str, &str)| ((*name).to_owned(), (*value).to_owned());
        let typed = Typed::new(fields.iter().map(owned).collect(), true);
        let found = of(&typed, Units::Metric).into_iter();
        found.map(|one| (one.typed, one.words)).collect()
    }

    #[test]
    fn a_number_is_shown_as_it_was_typed_with_one_unit() {
        for (typed, unit, told, words) in [
            ("2lb6oz", "kg", "2lb6oz", "1.077 kg"),
            ("2,5", "kg", "2,5 kg", "2.5 kg"),
            ("40", "lb", "40 lb", "18.144 kg"),
        ] {
            let found = shown(&[("wet", typed), ("wet_unit", unit)]);
            assert_eq!(found, [(told.to_owned(), words.to_owned())], "{typed}");
        }
        for (typed, below, told, words) in [
            ("39", "", "39 °F", "3.9 °C"),
            ("4", "1", "4 °F below zero", "-20 °C"),
        ] {
            let found = shown(&[("temp", typed), ("temp_unit", "F"), ("temp_below", below)]);
            assert_eq!(found, [(told.to_owned(), words.to_owned())], "{typed}");
        }
    }
}
