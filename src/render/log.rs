//! Entries in the order in which they were written, one to two lines each.

use super::numbers::{self, Units};
use super::words::Columns;
use super::{formula, moisture, times, words};
use crate::desk::Log;
use crate::dough::timetable::Point;
use crate::ledger::{
    BakeSetting, CountRecord, Detail, EntryHead, EntryKind, EntryRecord, Measured, TreatmentRecord,
};
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Scale, Temperature, Zone};
use std::io::Write;

/// Whether each column is set flush right.
const RIGHT: [bool; 4] = [true, false, false, false];
const HEAD: [&str; 4] = ["ENTRY", "WHEN", "KIND", "LOT"];

/// Writes the whole log. What names the entries is read before them, for how wide the columns are.
pub fn text(
    log: &Log<'_>,
    units: Units,
    now: Instant,
    zone: &Zone,
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    let mut columns = Columns::new(&RIGHT);
    columns.measure(&HEAD);
    let mut is_empty = true;
    for heads in log.heads() {
        for head in heads? {
            columns.measure(&cells(&head, now, zone));
            is_empty = false;
        }
    }
    if is_empty {
        out.write_all(b"No entries.\n")?;
        return Ok(());
    }
    writeln!(out, "{}", columns.line(&HEAD))?;
    for entries in log.entries() {
        for entry in entries? {
            out.write_all(lines(&entry, &columns, units, now, zone).as_bytes())?;
        }
    }
    if !log.formulas.is_empty() {
        let list = formula::list(&log.formulas, now, zone);
        write!(out, "\nFormulas, which are no entries:\n{list}")?;
    }
    Ok(())
}

/// Some entries in the same way.
pub fn some(entries: &[EntryRecord], units: Units, now: Instant, zone: &Zone) -> String {
    let mut columns = Columns::new(&RIGHT);
    columns.measure(&HEAD);
    for entry in entries {
        columns.measure(&cells(&entry.head(), now, zone));
    }
    let mut out = columns.line(&HEAD);
    out.push('\n');
    for entry in entries {
        out.push_str(&lines(entry, &columns, units, now, zone));
    }
    out
}

fn cells(entry: &EntryHead, now: Instant, zone: &Zone) -> [String; 4] {
    [
        entry.entry.to_string(),
        times::moment(entry.at, now, zone),
        entry.kind.as_str().to_owned(),
        entry
            .lot
            .as_ref()
            .map(ToString::to_string)
            .or(entry.bake.map(|bake| bake.to_string()))
            .unwrap_or_default(),
    ]
}

fn lines(
    entry: &EntryRecord,
    columns: &Columns<'_>,
    units: Units,
    now: Instant,
    zone: &Zone,
) -> String {
    let mut out = columns.line(&cells(&entry.head(), now, zone));
    out.push('\n');
    let what = what(entry, units, now, zone);
    if !what.is_empty() {
        words::wrapped(&mut out, "         ", "         ", &what);
    }
    out
}

/// What the entry holds beside its kind and lot.
pub fn what(entry: &EntryRecord, units: Units, now: Instant, zone: &Zone) -> String {
    let mut parts: Vec<String> = Vec::new();
    let of_place = matches!(entry.kind, EntryKind::Place | EntryKind::Readings);
    if of_place {
        parts.extend(entry.place.clone());
    }
    parts.extend(entry.wet.map(|wet| units.weighed(wet)));
    parts.extend(detail(&entry.detail, units, now, zone));
    parts.extend(entry.new_lot.as_ref().map(|lot| format!("becomes {lot}")));
    if !of_place {
        parts.extend(entry.place.as_ref().map(|place| format!("to {place}")));
    }
    parts.extend(entry.temperature.map(|reading| units.temperature(reading)));
    parts.extend(
        entry
            .water_activity
            .map(|activity| format!("water activity {activity:.2}")),
    );
    parts.extend(entry.ending.map(|ending| format!("as {ending}")));
    parts.extend(
        entry
            .strikes
            .map(|struck| format!("strikes entry {struck}")),
    );
    parts.extend(entry.words.as_ref().map(|words| match entry.kind {
        EntryKind::Cooled => format!("cold from then on, word of {words}"),
        EntryKind::Give => format!("to {words}"),
        EntryKind::Use => match entry.bake {
            Some(bake) => format!("for {bake}, {words}"),
            None => format!("for {words}"),
        },
        _ => words.clone(),
    }));
    parts.extend(entry.first_by.as_ref().map(|by| format!("by {by}")));
    let own = match entry.amends {
        Some(_) => "corrected by",
        None => "by",
    };
    parts.extend(entry.by.as_ref().map(|by| format!("{own} {by}")));
    if entry.recorded_at != entry.at {
        parts.push(format!(
            "written {}",
            times::moment(entry.recorded_at, now, zone)
        ));
    }
    parts.extend(
        entry
            .amends
            .zip(entry.reason.as_ref())
            .map(|(amended, reason)| format!("in place of entry {amended}: {reason}")),
    );
    parts.extend(entry.amended_by.map(|by| format!("AMENDED by entry {by}")));
    parts.extend(
        entry
            .struck_by
            .map(|strike| format!("STRUCK by entry {strike}")),
    );
    parts.extend(
        entry.lot_struck_by.map(|strike| {
            format!("does not count: what its lot came by is STRUCK by entry {strike}")
        }),
    );
    parts.join("; ")
}

/// What only one kind of entry holds: `mashed grain, whole, from Corrow Weir; mash-out Fri 20 Nov 09:40; pale barley malt 100%`.
fn detail(detail: &Detail, units: Units, now: Instant, zone: &Zone) -> Option<String> {
    match detail {
        Detail::None => None,
        Detail::Source(change) => Some(match (&change.name, &change.into) {
            (Some(name), _) => format!("`{}` is called `{name}`", change.source),
            (None, into) => format!(
                "`{}` is one with `{}`",
                change.source,
                into.as_deref().unwrap_or_default()
            ),
        }),
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
                "{} grain, {}, from {}; {mash_out}{grist}",
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
            let drying = test.drying();
            let dishes = match drying.as_slice() {
                [] => String::new(),
                drying => format!("; drying: {}", moisture::dishes(drying)),
            };
            Some(format!(
                "{}: {}{measured}{dishes}",
                test.method.as_str(),
                // How sure it is hangs on all tests of the lot and of others: `moisture` says that.
                if !result.is_usable() {
                    numbers::unfinished(&result.unfinished)
                } else if test.laboratory.is_some() {
                    numbers::moisture(&result.moisture)
                } else {
                    numbers::tenths(result.moisture.value)
                }
            ))
        }
        Detail::Setting(setting) if setting.closed => Some("closed from then on".to_owned()),
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
        Detail::Bake(setting) => Some(bake_words(setting, units, now, zone)),
        Detail::Readings(file) => Some(format!(
            "{} from {}, {} to {}{}",
            count(file.readings as usize, "reading"),
            file.name,
            times::moment(file.first, now, zone),
            times::moment(file.last, now, zone),
            file.left_out.map_or(String::new(), |(rows, warmest)| {
                format!(
                    "; {} left out, up to {}",
                    super::readings::warm_rows(rows),
                    units.temperature(warmest)
                )
            })
        )),
        Detail::Plan(plan) => Some(format!(
            "accepted: {}, {}, until {}",
            count(plan.draws as usize, "draw"),
            count(plan.tasks as usize, "task"),
            times::moment(plan.until, now, zone)
        )),
        Detail::Baked(measured) => Some(measured_words(measured, units)),
        Detail::Treated(record) => Some(treatment_words(record, units)),
        Detail::Counted(count) => Some(count_words(count, units)),
    }
}

/// `pressed to 12 kg; 30 min at 20 °C`.
fn treatment_words(record: &TreatmentRecord, units: Units) -> String {
    let treatment = &record.treatment;
    let stated = |mass: Milligrams, what: &str| {
        (mass != Milligrams::ZERO).then(|| format!("{} {what}", units.weighed(mass)))
    };
    let mut parts = vec![format!(
        "{} to {}",
        treatment.step.done(),
        units.weighed(treatment.wet_out)
    )];
    parts.extend(stated(treatment.water, "water added"));
    parts.extend(stated(treatment.left, "left behind"));
    parts.extend(stated(treatment.dry_loss, "dry grain lost"));
    parts.extend(record.lasted.map(|(minutes, warm)| {
        format!(
            "{} at {}",
            times::minutes(i64::from(minutes)),
            units.temperature(warm)
        )
    }));
    parts.join("; ")
}

/// `found 4.2 kg, 150 g less than booked`.
fn count_words(count: &CountRecord, units: Units) -> String {
    let differs = match count.less.get() {
        0 => "as booked".to_owned(),
        less if less > 0 => format!("{} less than booked", units.weighed(count.less)),
        less => format!("{} more than booked", units.weighed(Milligrams::new(-less))),
    };
    format!("found {}, {differs}", units.weighed(count.found))
}

/// What a bake is to be: `Quern pan loaf, version 1; 24 × 880 g; in the oven Sat 28 Nov 07:30; optional`.
pub(super) fn bake_words(setting: &BakeSetting, units: Units, now: Instant, zone: &Zone) -> String {
    let mut parts = vec![
        format!(
            "{}, version {}",
            setting.formula.name, setting.formula.version
        ),
        format!("{} × {}", setting.pieces, units.weighed(setting.piece)),
        format!(
            "{} {}",
            point_words(setting.point),
            times::moment(setting.at, now, zone)
        ),
    ];
    parts.extend((!setting.firm).then(|| "optional".to_owned()));
    parts.extend(
        setting
            .share
            .map(|share| format!("{} of grain", numbers::percent(share))),
    );
    if !setting.lots.is_empty() {
        let codes: Vec<String> = setting
            .lots
            .iter()
            .map(|lot| lot.code.to_string())
            .collect();
        parts.push(format!("from {}", codes.join(", ")));
    }
    parts.extend(
        setting
            .most_lots
            .map(|most| format!("of at most {}", count(most as usize, "lot"))),
    );
    parts.extend(
        setting
            .free_of
            .as_ref()
            .map(|free| format!("free of {free}")),
    );
    parts.join("; ")
}

/// What happens at the time that a bake is planned by.
pub(super) const fn point_words(point: Point) -> &'static str {
    match point {
        Point::Mix => "mixed",
        Point::InOven => "in the oven",
        Point::Ready => "ready",
    }
}

/// What was said of a bake and what was measured: `sheet: pour 885 g, hold back 316 g (278 g of it for the
/// grain to drink); 905 g went in; dough 28 °C; mixing warmed it by 6 °C; came out well`.
pub(super) fn measured_words(measured: &Measured, units: Units) -> String {
    let (pour, hold) = (measured.said_pour, measured.said_hold);
    let measures = [Some(pour), Some(hold), measured.water, measured.baked];
    let unit = units.unit_of(measures.into_iter().flatten().map(Milligrams::mass));
    let weighed = |wet| units.weighed_among(wet, unit);
    let thirst = measured.said_thirst.map_or(String::new(), |thirst| {
        format!(" ({} of it for the grain to drink)", weighed(thirst))
    });
    let mut parts = vec![format!(
        "sheet: pour {}, hold back {}{thirst}",
        weighed(pour),
        weighed(hold)
    )];
    parts.extend(
        measured
            .water
            .map(|water| format!("{} went in", weighed(water))),
    );
    let baked = measured.baked.map(weighed);
    parts.extend(match (measured.pieces, baked) {
        (Some(pieces), Some(baked)) => Some(format!("{} of {baked} in all", pieces_words(pieces))),
        (Some(pieces), None) => Some(pieces_words(pieces)),
        (None, Some(baked)) => Some(format!("{baked} baked")),
        (None, None) => None,
    });
    parts.extend(measured.dough_milli_celsius.map(|milli| {
        let dough = Temperature::new(milli, Scale::Celsius);
        format!("dough {}", units.temperature(dough))
    }));
    parts.extend(
        measured
            .mixing_kelvin
            .map(|kelvin| format!("mixing warmed it by {}", units.difference(kelvin))),
    );
    parts.extend(
        measured
            .came_out
            .map(|word| format!("came out {}", word.as_str())),
    );
    parts.extend(measured.rating.map(|rating| format!("rated {rating} of 5")));
    parts.join("; ")
}

fn pieces_words(pieces: u32) -> String {
    count(pieces as usize, "piece")
}
