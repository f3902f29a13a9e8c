//! Calls a source otherwise, or says that two are one.

use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice};
use crate::ledger::SourceRecord;

impl Desk {
    /// Every source as it is known by now; of those that are called alike and are several it tells.
    pub fn sources(&self) -> anyhow::Result<Answer<Vec<SourceRecord>>> {
        let sources = self.view().sources()?;
        let told = called_alike(&sources);
        Ok(Answer::new(sources, Vec::new()).with_notices(told))
    }

    /// Calls a source otherwise. The letters in its codes stay.
    pub fn rename_source(
        &mut self,
        source: &str,
        name: &str,
        is_new: bool,
    ) -> anyhow::Result<Answer<Vec<SourceRecord>>> {
        let (entry, _) = self.act(Compare::Promises, |act| {
            act.rename_source(source, name, is_new)
        })?;
        Ok(self.sources()?.with_notices([Notice::UndoneBy(entry)]))
    }

    /// Says that a source is one with another, by whose name both are called. The letters in codes stay.
    pub fn merge_source(
        &mut self,
        source: &str,
        into: &str,
    ) -> anyhow::Result<Answer<Vec<SourceRecord>>> {
        let (entry, _) = self.act(Compare::Promises, |act| act.merge_source(source, into))?;
        Ok(self.sources()?.with_notices([Notice::UndoneBy(entry)]))
    }
}

/// Tells of sources that are called alike and are not joined, as an older book may hold them.
pub fn called_alike(sources: &[SourceRecord]) -> Vec<Notice> {
    let all = SourceRecord::alike(sources);
    let pairs = all.iter().flat_map(|alike| alike.windows(2));
    pairs
        .map(|pair| Notice::CalledAlmostLike(pair[0].name.clone(), vec![pair[1].name.clone()]))
        .collect()
}
