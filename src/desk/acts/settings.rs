//! Settings of the house.

use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk};
use crate::dough::house::{House, Setting};

impl Desk {
    /// Sets one of them.
    pub fn set(&mut self, setting: Setting, value: &str) -> anyhow::Result<Answer<House>> {
        // Freezing or thawing that takes longer may come too late for a bake.
        let (_, broken) = self.act(Compare::Promises, |act| act.tell(setting, value))?;
        Ok(self.settings()?.with_notices(broken))
    }

    /// All of them.
    pub fn settings(&self) -> anyhow::Result<Answer<House>> {
        Ok(Answer::new(self.view().house()?, Vec::new()))
    }
}
