//! What is on hand.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, promises};
use crate::report::shelf::ShelfAnswer;

impl Desk {
    /// Every lot on hand, the most urgent first, with what of it is promised to bakes.
    pub fn shelf(&self) -> anyhow::Result<Answer<ShelfAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let about = view.about();
        let facts = FactFinder::new(view)?.on_hand(self.now)?;
        let promised = promises::of(view, &facts)?;
        let lots = facts
            .into_iter()
            .map(|facts| facts.answer(&about.rules, &about.zone, self.now))
            .collect::<Result<_, _>>()?;
        let answer = ShelfAnswer::new(self.now, lots, promised);
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }
}
