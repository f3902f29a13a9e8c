//! Calls a source otherwise, or says that two are one.

use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice};
use crate::ledger::SourceRecord;
use crate::quantity::text;

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

/// Sources of one name, written in several ways: an older book may hold them.
fn called_alike(sources: &[SourceRecord]) -> Vec<Notice> {
    let own: Vec<&String> = sources
        .iter()
        .filter(|source| !source.is_joined())
        .map(|source| &source.name)
        .collect();
    own.iter()
        .enumerate()
        .filter_map(|(index, one)| {
            let later = own[index + 1..].iter().copied();
            let others: Vec<String> = later
                .filter(|other| text::is_same_name(one, other))
                .cloned()
                .collect();
            (!others.is_empty()).then(|| Notice::CalledAlmostLike((*one).clone(), others))
        })
        .collect()
}
