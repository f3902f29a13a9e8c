//! Renaming a source, and saying that two are one.

use super::new_entry::NewEntry;
use super::{Act, BookRefusal};
use crate::quantity::text;
use rusqlite::params;

impl Act<'_> {
    /// Calls a source otherwise.
    pub(crate) fn rename_source(&mut self, source: &str, name: &str) -> anyhow::Result<i64> {
        let renamed = self.view().source_meant(source)?;
        let taken = self
            .view()
            .sources()?
            .into_iter()
            .find(|other| text::is_same_name(&other.name, name) && other.same_as != renamed);
        if let Some(taken) = taken {
            return Err(BookRefusal::SourceTaken {
                name: source.to_owned(),
                taken: taken.name,
            }
            .into());
        }
        self.change_source(renamed, Some(name), None)
    }

    /// Says that a source is one with another, by whose name all of it is called from then on.
    pub(crate) fn merge_source(&mut self, source: &str, into: &str) -> anyhow::Result<i64> {
        let meant = self.view().source_meant(source)?;
        let into_id = self.view().source_meant(into)?;
        let from = if meant == into_id {
            // An older book may hold another that is called alike: what is typed does not tell them apart.
            let all = self.view().sources()?;
            let other = all
                .iter()
                .find(|other| other.same_as != into_id && text::is_same_name(&other.name, source));
            other.map(|other| other.same_as)
        } else {
            Some(meant)
        };
        let Some(from) = from else {
            return Err(BookRefusal::SameSource {
                name: source.to_owned(),
                into: into.to_owned(),
            }
            .into());
        };
        self.change_source(from, None, Some(into_id))
    }

    fn change_source(
        &mut self,
        source: i64,
        name: Option<&str>,
        into: Option<i64>,
    ) -> anyhow::Result<i64> {
        let entry = self.write(None, self.now(), NewEntry::Source(None))?;
        self.transaction.execute(
            "INSERT INTO source_change (entry_id, source_id, name, into_id) VALUES (?1, ?2, ?3, ?4)",
            params![entry, source, name, into],
        )?;
        self.keep_sources()?;
        Ok(entry)
    }

    /// Keeps again what sources are by now.
    pub(super) fn keep_sources(&mut self) -> anyhow::Result<()> {
        self.sources.clear();
        self.transaction.execute("DELETE FROM source_now", [])?;
        for (id, (same_as, name)) in self.view().sources_due()? {
            self.transaction.execute(
                "INSERT INTO source_now (source_id, same_as, name) VALUES (?1, ?2, ?3)",
                params![id, same_as, name],
            )?;
        }
        Ok(())
    }
}
