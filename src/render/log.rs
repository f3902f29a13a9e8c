//! Entries in the order in which they were written, one to two lines each.

use super::numbers::{self, Units};
use super::{times, words};
use crate::ledger::{Detail, EntryRecord};
use crate::quantity::{Instant, Zone};

/// The whole log.
pub fn text(entries: &[EntryRecord], units: Units, now: Instant, zone: &Zone) -> String {
    let mut out = String::new();
    if entries.is_empty() {
        return "No entries.\n".to_owned();
    }
    let mut rows = vec![["ENTRY", "WHEN", "KIND", "LOT"].map(str::to_owned).to_vec()];
    rows.extend(entries.iter().map(|entry| {
        vec![
            entry.entry.to_string(),
            times::moment(entry.at, now, zone),
            entry.kind.clone(),
            entry
                .lot
                .as_ref()
                .map_or(String::new(), ToString::to_string),
        ]
    }));
    let lines = words::table(&rows, &[true, false, false, false]);
    out.push_str(&lines[0]);
    out.push('\n');
    for (line, entry) in lines[1..].iter().zip(entries) {
        out.push_str(line);
        out.push('\n');
        let what = what(entry, units, now, zone);
        if !what.is_empty() {
            words::wrapped(&mut out, "         ", "         ", &what);
        }
    }
    out
}

/// What the entry holds beside its kind and lot.
fn what(entry: &EntryRecord, units: Units, now: Instant, zone: &Zone) -> String {
    let mut parts: Vec<String> = Vec::new();
    if entry.kind == "place" {
        parts.extend(entry.place.clone());
    }
    parts.extend(entry.wet.map(|wet| units.weighed(wet)));
    parts.extend(detail(&entry.detail, units, now, zone));
    parts.extend(entry.new_lot.as_ref().map(|lot| format!("becomes {lot}")));
    if entry.kind != "place" {
        parts.extend(entry.place.as_ref().map(|place| format!("to {place}")));
    }
    parts.extend(entry.temperature.map(|reading| units.temperature(reading)));
    parts.extend(
        entry
            .water_activity
            .map(|activity| format!("water activity {activity:.2}")),
    );
    parts.extend(
        entry
            .strikes
            .map(|struck| format!("strikes entry {struck}")),
    );
    parts.extend(entry.words.as_ref().map(|words| match entry.kind.as_str() {
        "cooled" => format!("cold from then on, word of {words}"),
        "use" => format!("for {words}"),
        _ => words.clone(),
    }));
    parts.extend(entry.by.as_ref().map(|by| format!("by {by}")));
    if entry.recorded_at != entry.at {
        parts.push(format!(
            "written {}",
            times::moment(entry.recorded_at, now, zone)
        ));
    }
    parts.extend(
        entry
            .struck_by
            .map(|strike| format!("STRUCK by entry {strike}")),
    );
    parts.join("; ")
}

/// What only one kind of entry holds.
fn detail(detail: &Detail, units: Units, now: Instant, zone: &Zone) -> Option<String> {
    match detail {
        Detail::None => None,
        Detail::Arrival(lot) => {
            let mash_out = lot.mash_out.map_or_else(
                || "mash-out not known".to_owned(),
                |at| format!("mash-out {}", times::moment(at, now, zone)),
            );
            let grist = lot
                .grist
                .as_ref()
                .map_or(String::new(), |grist| format!("; {grist}"));
            Some(format!(
                "{} {} from {}; {mash_out}{grist}",
                lot.kind, lot.form, lot.source
            ))
        }
        Detail::Test(test, lot) => {
            let result = test.evaluate(lot.form, lot.kind).ok()?;
            let measured = if result.samples.is_empty() {
                String::new()
            } else {
                format!(" from {}", numbers::samples(&result.samples))
            };
            Some(format!(
                "{}: {}{measured}",
                test.method.as_str(),
                numbers::moisture(&result.moisture)
            ))
        }
        Detail::Setting(setting) => {
            let capacity = setting.capacity.map_or(String::new(), |capacity| {
                format!(", takes {}", units.weighed(capacity))
            });
            Some(format!(
                "{} at {}{capacity}",
                setting.kind,
                units.temperature(setting.stated)
            ))
        }
    }
}
