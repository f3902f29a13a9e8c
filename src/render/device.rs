//! Devices in words.

use super::{times, words};
use crate::ledger::DeviceRecord;
use crate::quantity::{Instant, Zone};

/// One line for each device that is not ended, and how many were.
pub fn text(devices: &[DeviceRecord], now: Instant, zone: &Zone) -> String {
    let (ended, paired): (Vec<_>, Vec<_>) =
        devices.iter().partition(|device| device.ended_at.is_some());
    let mut out = String::new();
    if paired.is_empty() {
        out.push_str("No device is paired. `draff serve` pairs one.\n");
    } else {
        let mut rows = vec![
            ["DEVICE", "WHOSE", "MAY", "LAST SEEN", "PAIRED"]
                .map(str::to_owned)
                .to_vec(),
        ];
        rows.extend(paired.iter().map(|device| {
            vec![
                device.id.to_string(),
                device.whose.clone(),
                right(device).to_owned(),
                times::moment(device.seen_at, now, zone),
                paired_words(device, now, zone),
            ]
        }));
        let lines = words::table(&rows, &[true, false, false, false, false]);
        out.push_str(&(lines.join("\n") + "\n"));
    }
    if !ended.is_empty() {
        out.push_str(&format!("Ended: {}\n", ended.len()));
    }
    out
}

/// `look and write`.
pub const fn right(device: &DeviceRecord) -> &'static str {
    if device.writes {
        "look and write"
    } else {
        "look"
    }
}

/// `Fri 20 Nov 10:00, by Ada`.
pub fn paired_words(device: &DeviceRecord, now: Instant, zone: &Zone) -> String {
    let by = match &device.paired_by {
        Some(by) => format!("by {by}"),
        None => "at the machine".to_owned(),
    };
    format!("{}, {by}", times::moment(device.paired_at, now, zone))
}
