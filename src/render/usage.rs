//! What was taken from lots, as a table with sums.

use super::numbers::Units;
use super::{times, words};
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::usage::UsageLine;

/// What was taken, line by line, and the sums.
pub fn text(lines: &[UsageLine], units: Units, now: Instant, zone: &Zone) -> String {
    if lines.is_empty() {
        return "Nothing was taken in that time.\n".to_owned();
    }
    let mut rows = vec![
        ["WHEN", "LOT", "KIND", "WET", "DRY", "FOR"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let mut wet = Milligrams::ZERO;
    let mut dry = uom::si::f64::Mass::default();
    for line in lines {
        wet = wet.checked_add(line.record.wet).unwrap_or(wet);
        dry += line.dry;
        rows.push(vec![
            times::moment(line.record.at, now, zone),
            line.record.lot.code.to_string(),
            line.kind().to_owned(),
            units.weighed(line.record.wet),
            units.to_weigh(line.dry),
            match line.record.bake {
                Some(bake) => format!("{bake}, {}", line.record.words),
                None => line.bake().or(line.note()).unwrap_or_default(),
            },
        ]);
    }
    let mut out = words::table(&rows, &[false, false, false, true, true, false]).join("\n");
    out.push_str(&format!(
        "\n\nIn all {} wet, {} dry grain\n",
        units.weighed(wet),
        units.to_weigh(dry)
    ));
    out
}
