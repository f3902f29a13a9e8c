//! What was taken from lots, as a table with sums.

use super::numbers::{MassUnit, Units};
use super::times;
use super::words::Columns;
use crate::desk::Usage;
use crate::ledger::UsageKind;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::usage::UsageLine;
use std::io::Write;
use uom::si::f64::Mass;

/// Whether each column is set flush right.
const RIGHT: [bool; 6] = [false, false, false, true, true, false];

/// Writes what was taken, line by line, and the sums. The lines are read twice: first for how wide the columns are.
pub fn text(
    usage: &Usage<'_>,
    units: Units,
    now: Instant,
    zone: &Zone,
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    let mut columns = Columns::new(&RIGHT);
    let head = ["WHEN", "LOT", "KIND", "WET", "DRY", "FOR"];
    columns.measure(&head);
    let mut is_empty = true;
    for lines in usage.lines() {
        for line in lines? {
            columns.measure(&cells(&line, units, now, zone));
            is_empty = false;
        }
    }
    if is_empty {
        out.write_all(b"Nothing was taken in that time.\n")?;
        return Ok(());
    }
    writeln!(out, "{}", columns.line(&head))?;
    let (mut wet, mut gained) = (Milligrams::ZERO, Milligrams::ZERO);
    let mut dry = Mass::default();
    for lines in usage.lines() {
        for line in lines? {
            let sum = if is_gain(&line) {
                &mut gained
            } else {
                &mut wet
            };
            *sum = sum.checked_add(line.record.wet).unwrap_or(*sum);
            dry += line.dry;
            let row = columns.fitting(&cells(&line, units, now, zone));
            out.write_all(row.as_bytes())?;
        }
    }
    writeln!(
        out,
        "\nIn all {} wet, {} dry grain",
        wet_words(wet, units),
        dry_words(dry, units)
    )?;
    if gained < Milligrams::ZERO {
        let came = wet_words(Milligrams::new(-gained.get()), units);
        writeln!(
            out,
            "{came} came on top: added water, or more than was booked"
        )?;
    }
    Ok(())
}

/// Whether grain got heavier by it: water that was added is no loss, nor is what a count found more.
fn is_gain(line: &UsageLine) -> bool {
    line.record.wet < Milligrams::ZERO
}

/// Pounds alone: ounces and pounds do not read well in one column, and the lines come in pieces.
fn wet_words(wet: Milligrams, units: Units) -> String {
    units.weighed_among(wet, MassUnit::Pound)
}

fn dry_words(dry: Mass, units: Units) -> String {
    units.listed(dry, MassUnit::Pound)
}

fn cells(line: &UsageLine, units: Units, now: Instant, zone: &Zone) -> [String; 6] {
    [
        times::moment(line.record.at, now, zone),
        line.record.lot.code.to_string(),
        match line.record.kind {
            UsageKind::Treatment(_) if is_gain(line) => "water added",
            _ => line.kind(),
        }
        .to_owned(),
        if is_gain(line) {
            let came = Milligrams::new(-line.record.wet.get());
            format!("+{}", wet_words(came, units))
        } else {
            wet_words(line.record.wet, units)
        },
        dry_words(line.dry, units),
        match line.record.bake {
            Some(bake) => format!("{bake}, {}", line.record.words),
            None => line.bake().or(line.note()).unwrap_or_default(),
        },
    ]
}
