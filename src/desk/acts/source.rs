//! Calls a source otherwise, or says that two are one.

use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice};
use crate::ledger::SourceRecord;

impl Desk {
    /// Every source as it is known by now.
    pub fn sources(&self) -> anyhow::Result<Answer<Vec<SourceRecord>>> {
        Ok(Answer::new(self.view().sources()?, Vec::new()))
    }

    /// Calls a source otherwise. The letters in its codes stay.
    pub fn rename_source(
        &mut self,
        source: &str,
        name: &str,
    ) -> anyhow::Result<Answer<Vec<SourceRecord>>> {
        let ((entry, near), _) = self.act(Compare::Promises, |act| {
            let entry = act.rename_source(source, name)?;
            Ok((entry, act.view().names_near(name)?))
        })?;
        let near = (!near.is_empty()).then(|| Notice::CalledAlmostLike(name.to_owned(), near));
        let told = near.into_iter().chain([Notice::UndoneBy(entry)]);
        Ok(self.sources()?.with_notices(told))
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
