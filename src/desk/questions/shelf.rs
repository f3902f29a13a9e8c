//! What is on hand.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, promises};
use crate::report::shelf::ShelfAnswer;

impl Desk {
    /// Every lot on hand, the most urgent first, with what of it is promised to bakes.
    pub fn shelf(&self) -> anyhow::Result<Answer<ShelfAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let about = view.about();
        let facts = FactFinder::new(view)?.on_hand(self.now)?;
        // Where grain stands and until when it keeps is told even if a formula of a bake cannot be read.
        let (promised, notice) = match promises::of(view, &facts) {
            Ok(promised) => (promised, None),
            Err(error) => (
                Vec::new(),
                Some(Notice::PromisesUnreadable(format!("{error:#}"))),
            ),
        };
        let lots = facts
            .into_iter()
            .map(|facts| facts.answer(&about.rules, &about.zone, self.now))
            .collect::<Result<_, _>>()?;
        let answer = ShelfAnswer::new(self.now, lots, promised);
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions).with_notices(notice))
    }
}
