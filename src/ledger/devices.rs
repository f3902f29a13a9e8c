//! Devices that were paired with the page. They are no entries: who may come in is a matter of this book's owner and
//! of now, and no part of what is proved by the chain.

use super::{Book, BookRefusal, View, columns};
use crate::quantity::Instant;
use rusqlite::{OptionalExtension, Row, params};

/// A device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceRecord {
    /// Its number.
    pub id: i64,
    /// Whose it is.
    pub whose: String,
    /// Who is at the bench with it: the name that entries get.
    pub bench: String,
    /// Whether it may write, or only look.
    pub writes: bool,
    /// When it was paired.
    pub paired_at: Instant,
    /// Who let it in: the device of that name, or nobody where it was done at the machine.
    pub paired_by: Option<String>,
    /// When it was last seen, to the hour.
    pub seen_at: Instant,
    /// When it was ended.
    pub ended_at: Option<Instant>,
}

/// A device to be paired.
#[derive(Debug, Clone)]
pub struct NewDevice<'a> {
    /// SHA-256 of the secret in its cookie.
    pub secret: [u8; 32],
    /// Whose it is.
    pub whose: &'a str,
    /// Whether it may write.
    pub writes: bool,
    /// Who lets it in.
    pub paired_by: Option<&'a str>,
}

/// A device is seen once an hour: looking at a page must not cost a write each time.
const SEEN_EVERY: i64 = 3600;

const COLUMNS: &str = "id, whose, bench, writes, paired_at, paired_by, seen_at, ended_at";

fn record(row: &Row<'_>) -> rusqlite::Result<DeviceRecord> {
    Ok(DeviceRecord {
        id: row.get(0)?,
        whose: row.get(1)?,
        bench: row.get(2)?,
        writes: row.get(3)?,
        paired_at: columns::instant(row.get(4)?),
        paired_by: row.get(5)?,
        seen_at: columns::instant(row.get(6)?),
        ended_at: row.get::<_, Option<i64>>(7)?.map(columns::instant),
    })
}

impl View<'_> {
    /// Every device, ended ones too, in the order in which they were paired.
    pub fn devices(&self) -> anyhow::Result<Vec<DeviceRecord>> {
        let mut statement = self
            .connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM device ORDER BY id"))?;
        let found = statement.query_map([], record)?;
        Ok(found.collect::<Result<_, _>>()?)
    }

    /// The device with this secret, unless it was ended.
    pub fn device_of(&self, secret: [u8; 32]) -> anyhow::Result<Option<DeviceRecord>> {
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM device WHERE secret = ?1 AND ended_at IS NULL"
            ))?
            .query_row([secret], record)
            .optional()?)
    }

    /// The SHA-256 of the secret of each device that was not ended.
    pub fn device_secrets(&self) -> anyhow::Result<Vec<[u8; 32]>> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT secret FROM device WHERE ended_at IS NULL")?;
        let found = statement.query_map([], |row| row.get(0))?;
        Ok(found.collect::<Result<_, _>>()?)
    }

    /// Names that entries were recorded under and devices belong to.
    pub fn people(&self) -> anyhow::Result<Vec<String>> {
        let mut statement = self.connection.prepare_cached(
            "SELECT bench FROM device WHERE ended_at IS NULL
             UNION SELECT recorded_by FROM (SELECT recorded_by FROM entry ORDER BY id DESC LIMIT 500)
             WHERE recorded_by IS NOT NULL ORDER BY 1",
        )?;
        let found = statement.query_map([], |row| row.get(0))?;
        Ok(found.collect::<Result<_, _>>()?)
    }
}

impl Book {
    /// Pairs a device.
    pub(crate) fn pair(&mut self, new: &NewDevice<'_>, now: Instant) -> anyhow::Result<i64> {
        self.connection.execute(
            "INSERT INTO device (secret, whose, bench, writes, paired_at, paired_by, seen_at)
             VALUES (?1, ?2, ?2, ?3, ?4, ?5, ?4)",
            params![
                new.secret,
                new.whose,
                new.writes,
                columns::seconds(now),
                new.paired_by
            ],
        )?;
        Ok(self.connection.last_insert_rowid())
    }

    /// Notes that a device was there, once an hour; tells whether it did.
    pub(crate) fn note_seen(
        &mut self,
        device: &DeviceRecord,
        now: Instant,
    ) -> anyhow::Result<bool> {
        let is_due = columns::seconds(now) - columns::seconds(device.seen_at) >= SEEN_EVERY;
        if is_due {
            self.connection.execute(
                "UPDATE device SET seen_at = ?2 WHERE id = ?1",
                params![device.id, columns::seconds(now)],
            )?;
        }
        Ok(is_due)
    }

    /// Says who is at the bench with a device.
    pub(crate) fn set_bench(&mut self, device: i64, name: &str) -> anyhow::Result<()> {
        self.connection.execute(
            "UPDATE device SET bench = ?2 WHERE id = ?1",
            params![device, name],
        )?;
        Ok(())
    }

    /// Ends a device: its cookie opens nothing any more.
    pub(crate) fn end_device(&mut self, device: i64, now: Instant) -> anyhow::Result<()> {
        let ended = self.connection.execute(
            "UPDATE device SET ended_at = ?2 WHERE id = ?1 AND ended_at IS NULL",
            params![device, columns::seconds(now)],
        )?;
        if ended == 0 {
            return Err(BookRefusal::NoDevice(device).into());
        }
        Ok(())
    }

    /// Ends all devices.
    pub(super) fn end_devices(&self, now: Instant) -> rusqlite::Result<()> {
        self.connection
            .execute(
                "UPDATE device SET ended_at = ?1 WHERE ended_at IS NULL",
                [columns::seconds(now)],
            )
            .map(drop)
    }
}
