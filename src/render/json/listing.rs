//! JSON of lists: usage, log, settings, sources, devices.

use super::formula::Version;
use super::rows::{BrokenOff, Rows};
use super::{fraction, grams};
use crate::desk;
use crate::dough::house::{House, Thaw};
use crate::grain::Ending;
use crate::ledger::{Detail, DeviceRecord, EntryRecord, SourceRecord};
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::words;
use crate::report::usage::UsageLine;
use chrono::NaiveTime;
use serde::Serialize;

/// `usage --json`.
#[derive(Serialize)]
pub struct Usage<'a> {
    usage: Rows<'a, UsageLine, UsageRow>,
}

#[derive(Serialize)]
struct UsageRow {
    used_at: String,
    lot: String,
    source: String,
    brewed_on: String,
    kind: &'static str,
    bake: Option<String>,
    formula: Option<String>,
    wet_g: f64,
    moisture_wet_basis: Option<f64>,
    dry_g: f64,
    carried_water_g: f64,
    flour_equivalent_g: f64,
    by: Option<String>,
    note: Option<String>,
}

impl<'a> Usage<'a> {
    /// From the lines of usage.
    pub fn new(usage: &'a desk::Usage<'_>, zone: &'a Zone, broken_off: &BrokenOff) -> Self {
        let row = |line: &UsageLine| UsageRow {
            used_at: zone.rfc3339(line.record.at),
            lot: line.record.lot.code.to_string(),
            source: words::together(&line.record.sources),
            brewed_on: line.record.lot.brewed_on(zone).to_string(),
            kind: line.kind(),
            bake: line.bake(),
            formula: line.formula().map(str::to_owned),
            wet_g: line.record.wet.grams(),
            moisture_wet_basis: line.moisture.map(|moisture| fraction(moisture.get())),
            dry_g: grams(line.dry),
            carried_water_g: grams(line.carried_water),
            flour_equivalent_g: grams(line.flour_equivalent),
            by: line.record.by.clone(),
            note: line.note(),
        };
        Self {
            usage: Rows::new(usage.lines(), broken_off, move |line| Some(row(line))),
        }
    }
}

/// `log --json`.
#[derive(Serialize)]
pub struct Log<'a> {
    entries: Rows<'a, EntryRecord, Entry>,
    formulas: Vec<Version>,
}

#[derive(Serialize)]
struct Entry {
    entry: i64,
    kind: &'static str,
    at: String,
    recorded_at: String,
    by: Option<String>,
    lot: Option<String>,
    wet_g: Option<f64>,
    new_lot: Option<String>,
    bake: Option<String>,
    place: Option<String>,
    closed: Option<bool>,
    temperature_c: Option<f64>,
    water_activity: Option<f64>,
    step: Option<&'static str>,
    wet_out_g: Option<f64>,
    water_added_g: Option<f64>,
    found_g: Option<f64>,
    ending: Option<&'static str>,
    words: Option<String>,
    strikes: Option<i64>,
    struck_by: Option<i64>,
    amends: Option<i64>,
    amended_by: Option<i64>,
    reason: Option<String>,
}

impl<'a> Log<'a> {
    /// From the entries.
    pub fn new(log: &'a desk::Log<'_>, zone: &'a Zone, broken_off: &BrokenOff) -> Self {
        let time = |at: Instant| zone.rfc3339(at);
        let treated = |entry: &EntryRecord| match &entry.detail {
            Detail::Treated(record) => Some(record.treatment),
            _ => None,
        };
        let entry = move |entry: &EntryRecord| Entry {
            entry: entry.entry,
            kind: entry.kind.as_str(),
            at: time(entry.at),
            recorded_at: time(entry.recorded_at),
            by: entry.by.clone(),
            lot: entry.lot.as_ref().map(ToString::to_string),
            wet_g: entry.wet.map(Milligrams::grams),
            new_lot: entry.new_lot.as_ref().map(ToString::to_string),
            bake: entry.bake.map(|bake| bake.to_string()),
            place: entry.place.clone(),
            closed: match &entry.detail {
                Detail::Setting(setting) => Some(setting.closed),
                _ => None,
            },
            temperature_c: entry.temperature.map(|reading| reading.degrees_celsius()),
            water_activity: entry.water_activity,
            step: treated(entry).map(|treatment| treatment.step.as_str()),
            wet_out_g: treated(entry).map(|treatment| treatment.wet_out.grams()),
            water_added_g: treated(entry).map(|treatment| treatment.water.grams()),
            found_g: match &entry.detail {
                Detail::Counted(count) => Some(count.found.grams()),
                _ => None,
            },
            ending: entry.ending.map(Ending::as_str),
            words: entry.words.clone(),
            strikes: entry.strikes,
            struck_by: entry.struck_by,
            amends: entry.amends,
            amended_by: entry.amended_by,
            reason: entry.reason.clone(),
        };
        Self {
            entries: Rows::new(log.entries(), broken_off, move |one| Some(entry(one))),
            formulas: Version::of_each(&log.formulas, zone),
        }
    }
}

/// `source --json`.
#[derive(Serialize)]
pub struct Sources {
    sources: Vec<SourceRow>,
}

#[derive(Serialize)]
struct SourceRow {
    source: String,
    letters: String,
    first_name: String,
    joined: bool,
}

impl Sources {
    /// From the sources.
    pub fn new(sources: &[SourceRecord]) -> Self {
        let row = |source: &SourceRecord| SourceRow {
            source: source.name.clone(),
            letters: source.letters.clone(),
            first_name: source.first_name.clone(),
            joined: source.is_joined(),
        };
        Self {
            sources: sources.iter().map(row).collect(),
        }
    }
}

/// `device --json`.
#[derive(Serialize)]
pub struct Devices {
    devices: Vec<DeviceRow>,
}

#[derive(Serialize)]
struct DeviceRow {
    device: i64,
    whose: String,
    at_bench: String,
    may_write: bool,
    paired_at: String,
    paired_by: Option<String>,
    seen_at: String,
    ended_at: Option<String>,
}

impl Devices {
    /// From the devices.
    pub fn new(devices: &[DeviceRecord], zone: &Zone) -> Self {
        let row = |device: &DeviceRecord| DeviceRow {
            device: device.id,
            whose: device.whose.clone(),
            at_bench: device.bench.clone(),
            may_write: device.writes,
            paired_at: zone.rfc3339(device.paired_at),
            paired_by: device.paired_by.clone(),
            seen_at: zone.rfc3339(device.seen_at),
            ended_at: device.ended_at.map(|at| zone.rfc3339(at)),
        };
        Self {
            devices: devices.iter().map(row).collect(),
        }
    }
}

/// `settings --json`.
#[derive(Serialize)]
pub struct Settings {
    night_from: Option<String>,
    night_until: Option<String>,
    altitude_m: Option<f64>,
    tap_c: Option<f64>,
    room_c: Option<f64>,
    evening: String,
    days_off: Vec<String>,
    scale_g: f64,
    portion_g: f64,
    thaw_minutes: i64,
    thaw_thickness_mm: Option<f64>,
    freezer: bool,
    dryer_water_g: Option<f64>,
    drying_minutes: i64,
    drying_c: f64,
    dried_to_wet_basis: f64,
    freezing_cost_per_kg: f64,
    drying_cost_per_kg: f64,
    grain_worth_per_kg: Option<f64>,
    unused_counts: f64,
    risk: f64,
    even_first: bool,
    flour_price_per_kg: Option<f64>,
    thirst_is_learned: bool,
}

impl Settings {
    /// From what the book was told.
    pub fn new(house: &House) -> Self {
        let clock = |time: NaiveTime| time.format("%H:%M").to_string();
        let work = &house.work;
        let weekdays = work.free_weekdays.iter().map(ToString::to_string);
        let dates = work.free_dates.iter().map(ToString::to_string);
        Self {
            night_from: house.night.map(|(from, _)| clock(from)),
            night_until: house.night.map(|(_, until)| clock(until)),
            altitude_m: house.altitude_metres,
            tap_c: house.tap.map(|tap| tap.degrees_celsius()),
            room_c: house.room.map(|room| room.degrees_celsius()),
            evening: clock(work.evening),
            days_off: weekdays.chain(dates).collect(),
            scale_g: work.step.grams(),
            portion_g: work.portion.grams(),
            thaw_minutes: work.thaw.lead().num_minutes(),
            thaw_thickness_mm: match work.thaw {
                Thaw::Takes(_) => None,
                Thaw::Thick(thick) => Some(thick.metres() * 1000.0),
            },
            freezer: work.has_freezer,
            dryer_water_g: work.dryer_water.map(Milligrams::grams),
            drying_minutes: work.drying.num_minutes(),
            drying_c: work.dryer_at.degrees_celsius(),
            dried_to_wet_basis: fraction(work.dried_moisture),
            freezing_cost_per_kg: work.freezing_per_kg,
            drying_cost_per_kg: work.drying_per_kg,
            grain_worth_per_kg: work.worth_per_kg,
            unused_counts: fraction(work.unused_counts),
            risk: fraction(work.risk),
            even_first: work.even_first,
            flour_price_per_kg: house.flour_price,
            thirst_is_learned: house.thirst_is_learned,
        }
    }
}
