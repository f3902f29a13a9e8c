//! Usage as CSV that a spreadsheet may open.

use super::words;
use crate::desk::Usage;
use crate::quantity::text::visible;
use crate::quantity::{Zone, mass};
use std::io::Write;

/// The columns, in order. Others rely on them.
const COLUMNS: [&str; 14] = [
    "used_at",
    "lot",
    "source",
    "brewed_on",
    "kind",
    "bake",
    "formula",
    "wet_g",
    "moisture_wet_basis",
    "dry_g",
    "carried_water_g",
    "flour_equivalent_g",
    "by",
    "note",
];

/// A cell that a spreadsheet would run as a formula gets an apostrophe in front, so that it stays text.
pub fn safe(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '|', '%']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// The same for a text that is only shown: nothing in it moves a cursor either.
fn shown(text: &str) -> String {
    safe(&visible(text))
}

/// Writes usage as CSV, header included, and gives the number of lines below it.
pub fn usage(usage: &Usage<'_>, zone: &Zone, out: &mut dyn Write) -> anyhow::Result<usize> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(COLUMNS).map_err(failed)?;
    let grams = |value: uom::si::f64::Mass| format!("{:.1}", mass::grams(value));
    let mut written = 0;
    for lines in usage.lines() {
        for line in lines? {
            let record = &line.record;
            written += 1;
            let cells = [
                zone.rfc3339(record.at),
                record.lot.code.to_string(),
                shown(&words::together(&record.sources)),
                record.lot.brewed_on(zone).to_string(),
                line.kind().to_owned(),
                shown(&line.bake().unwrap_or_default()),
                shown(line.formula().unwrap_or("")),
                record.wet.grams().to_string(),
                line.moisture
                    .map_or(String::new(), |moisture| format!("{:.4}", moisture.get())),
                grams(line.dry),
                grams(line.carried_water),
                grams(line.flour_equivalent),
                shown(record.by.as_deref().unwrap_or("")),
                shown(&line.note().unwrap_or_default()),
            ];
            writer.write_record(cells).map_err(failed)?;
        }
    }
    writer.flush()?;
    Ok(written)
}

/// What went wrong with a record: that the file or terminal took no more is told as such.
pub fn failed(error: csv::Error) -> anyhow::Error {
    match error.into_kind() {
        csv::ErrorKind::Io(error) => error.into(),
        other => anyhow::anyhow!("{other:?}"),
    }
}

#[cfg(test)]
mod tests {
    use super::safe;

    #[test]
    fn no_cell_is_run_as_a_formula() {
        for text in ["=1+1", "+1", "-1", "@sum(a1)", "|calc", "%0"] {
            assert_eq!(safe(text), format!("'{text}"));
        }
        assert_eq!(safe("pan loaf = daily"), "pan loaf = daily");
    }
}
