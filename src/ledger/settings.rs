//! What the book was told of the house it is for.

use super::in_force::IN_FORCE;
use super::new_entry::NewEntry;
use super::{Act, View, columns};
use crate::dough::house::{House, Setting};
use crate::quantity::Problem;
use rusqlite::params;

impl View<'_> {
    /// What the book was told, the last of each setting.
    pub fn house(&self) -> anyhow::Result<House> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT told.name, told.value FROM book_setting AS told JOIN entry ON entry.id = told.entry_id
             WHERE {IN_FORCE}
             ORDER BY told.entry_id"
        ))?;
        let mut rows = statement.query([])?;
        let mut house = House::default();
        while let Some(row) = rows.next()? {
            let (name, value): (String, String) = (row.get(0)?, row.get(1)?);
            let setting: Setting = name
                .parse()
                .map_err(|problem: Problem| columns::damaged(problem))?;
            house = house.with_setting(setting, &value)?;
        }
        Ok(house)
    }
}

impl Act<'_> {
    /// Tells the book one thing of the house.
    pub(crate) fn tell(&mut self, setting: Setting, value: &str) -> anyhow::Result<()> {
        let words = format!("{}: {value}", setting.as_str());
        let entry = self.write(None, self.now(), NewEntry::Setting(&words))?;
        self.transaction.execute(
            "INSERT INTO book_setting (entry_id, name, value) VALUES (?1, ?2, ?3)",
            params![entry, setting.as_str(), value],
        )?;
        Ok(())
    }
}
