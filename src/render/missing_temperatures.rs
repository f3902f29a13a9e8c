//! The temperatures that a dough's water still needs: what to measure, and what to type.

use super::numbers::Units;
use super::refusal::option;
use super::water_temperature::degrees;

/// What is measured of these fields: `tap, room and grain`. How warm a dough is to be is chosen, not measured.
pub(super) fn measured(fields: &[&'static str]) -> String {
    let of: Vec<&str> = fields
        .iter()
        .copied()
        .filter(|field| *field != "dough_temp")
        .map(|field| field.strip_suffix("_temp").unwrap_or(field))
        .collect();
    match of.as_slice() {
        [] => String::new(),
        [only] => format!("the {only}"),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// How they are typed, each with a figure such as it may be: `--tap 12C --room 21C`.
pub(super) fn typed(fields: &[&'static str], units: Units) -> String {
    let typed: Vec<String> = fields
        .iter()
        .map(|field| {
            let celsius = match *field {
                "tap" => 12.0,
                "grain_temp" => 4.0,
                "dough_temp" => 25.0,
                "water_temp" => 24.0,
                _ => 21.0,
            };
            let figure = degrees(celsius, f64::round, units).replace([' ', '°'], "");
            format!("{} {figure}", option(field))
        })
        .collect();
    typed.join(" ")
}
