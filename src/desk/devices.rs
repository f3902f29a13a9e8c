//! Devices that are paired with the page, and who is at the bench with each.

use super::{Answer, Desk};
use crate::ledger::{DeviceRecord, NewDevice};
use crate::quantity::Instant;

impl Desk {
    /// Every device, ended ones too.
    pub fn devices(&self) -> anyhow::Result<Answer<Vec<DeviceRecord>>> {
        Ok(Answer::new(self.view().devices()?, Vec::new()))
    }

    /// The device with this secret; nothing where it was ended or never paired.
    pub fn device_of(&self, secret: [u8; 32]) -> anyhow::Result<Option<DeviceRecord>> {
        self.view().device_of(secret)
    }

    /// The SHA-256 of the secret of each device that was not ended.
    pub fn device_secrets(&self) -> anyhow::Result<Vec<[u8; 32]>> {
        self.view().device_secrets()
    }

    /// People whose names are known: those in the newest entries and those at a bench.
    pub fn people(&self) -> anyhow::Result<Vec<String>> {
        self.view().people()
    }

    /// The first entry that came of an act with an id.
    pub fn entry_of_act(&self, act_id: &str) -> anyhow::Result<Option<i64>> {
        self.view().entry_of_act(act_id)
    }

    /// A text that changes when the book does.
    pub fn version(&self) -> anyhow::Result<String> {
        self.view().version()
    }

    /// The latest entry that counts, where the clock stands before it: what is booked then would stand in a wrong order.
    pub fn entry_after_now(&self) -> anyhow::Result<Option<Instant>> {
        self.view().written_after(self.now)
    }

    /// Pairs a device.
    pub fn pair(&mut self, new: &NewDevice<'_>) -> anyhow::Result<i64> {
        self.book.pair(new, self.now)
    }

    /// Notes that a device was there, once an hour; tells whether it did.
    pub fn note_seen(&mut self, device: &DeviceRecord) -> anyhow::Result<bool> {
        self.book.note_seen(device, self.now)
    }

    /// Says who is at the bench with a device.
    pub fn set_bench(&mut self, device: i64, name: &str) -> anyhow::Result<()> {
        self.book.set_bench(device, name)
    }

    /// Ends a device.
    pub fn end_device(&mut self, device: i64) -> anyhow::Result<Answer<Vec<DeviceRecord>>> {
        self.book.end_device(device, self.now)?;
        self.written.set(Vec::new());
        self.devices()
    }
}
