//! What striking and correcting did.

use super::log::what;
use super::numbers::Units;
use super::{bake, lot, times, words};
use crate::desk::{Corrected, Struck};
use crate::ledger::{Detail, EntryRecord};
use crate::quantity::{Instant, Zone};

/// What striking entries did.
pub fn struck(struck: &Struck, units: Units, now: Instant, zone: &Zone) -> String {
    let mut out = String::new();
    let mut line = |head: &str, entry: &EntryRecord, by: &str| {
        let named = named(entry, units, now, zone);
        let line = format!("{head}{named} (entry {}){by}.", entry.entry);
        words::wrapped(&mut out, "", "  ", &line);
    };
    for (entry, by) in &struck.entries {
        line("Struck: ", entry, &format!(", by entry {by}"));
    }
    for entry in &struck.with_them {
        line("Struck with it: ", entry, "");
    }
    for entry in &struck.back {
        line("Counts again: ", entry, "");
    }
    for entry in &struck.out {
        line("Counts no more: ", entry, "");
    }
    out
}

/// What correcting an entry did.
pub fn corrected(
    corrected: &Corrected,
    of_lot: lot::Detail,
    units: Units,
    now: Instant,
    zone: &Zone,
) -> String {
    let (was, is) = (&corrected.entry, &corrected.by);
    let mut out = String::new();
    let line = format!(
        "Corrected: {} (entry {}), by entry {}.",
        named(was, units, now, zone),
        was.entry,
        is.entry
    );
    words::wrapped(&mut out, "", "  ", &line);
    // Lot, bake and time stand in the line above, but for those that were corrected themselves.
    let whole = |entry: &EntryRecord| {
        let mut parts = Vec::new();
        if was.lot != is.lot {
            parts.extend(entry.lot.map(|lot| lot.to_string()));
        }
        if was.bake != is.bake {
            parts.extend(entry.bake.map(|bake| bake.to_string()));
        }
        if was.at != is.at {
            parts.push(times::moment(entry.at, now, zone));
        }
        parts.push(what(entry, units, now, zone));
        parts.join("; ")
    };
    words::labelled(&mut out, "Was", &whole(was));
    words::labelled(&mut out, "Now", &whole(is));
    if let Some(answer) = &corrected.lot {
        out.push('\n');
        lot::block(&mut out, answer, of_lot, units, zone);
    }
    if let Some(answer) = &corrected.bake {
        out.push('\n');
        out.push_str(&bake::block(answer, units, now, zone));
    }
    out
}

/// An entry by what it is: `use of 2 kg, ALD-261120-1T, Fri 20 Nov 07:30`.
fn named(entry: &EntryRecord, units: Units, now: Instant, zone: &Zone) -> String {
    let kind = match (&entry.detail, entry.strikes) {
        (Detail::Setting(setting), _) if setting.closed => "closing".to_owned(),
        (Detail::Source(change), _) => match (&change.name, &change.into) {
            (Some(name), _) => format!("rename of `{}` to `{name}`", change.source),
            (None, into) => format!(
                "merge of `{}` into `{}`",
                change.source,
                into.as_deref().unwrap_or_default()
            ),
        },
        (_, Some(of)) => format!("strike of entry {of}"),
        _ => entry.kind.as_str().to_owned(),
    };
    let wet = entry
        .wet
        .map_or(String::new(), |wet| format!(" of {}", units.weighed(wet)));
    let temperature = entry.temperature.map_or(String::new(), |reading| {
        format!(" of {}", units.temperature(reading))
    });
    let about = entry
        .lot
        .map(|lot| lot.to_string())
        .or(entry.bake.map(|bake| bake.to_string()))
        .or(entry.place.clone())
        .map_or(String::new(), |about| format!(", {about}"));
    format!(
        "{kind}{wet}{temperature}{about}, {}",
        times::moment(entry.at, now, zone)
    )
}
