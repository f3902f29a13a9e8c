//! Words of a logger's file on another scale than all others of its place.

use crate::quantity::Scale;

/// The whole notice.
pub fn words(entry: i64, place: &str, scale: Scale) -> String {
    let (this, other) = match scale {
        Scale::Celsius => ("C", "F"),
        Scale::Fahrenheit => ("F", "C"),
    };
    format!(
        "entry {entry} was read in °{this}, all other files of {place} in °{other}. If its figures are in °{other}: `draff strike {entry} --reason \"wrong scale\"`, then read the file in with --unit {other}"
    )
}
