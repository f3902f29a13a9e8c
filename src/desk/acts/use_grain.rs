//! Draws grain from a lot for a bake.

use crate::desk::{Answer, Desk, Notice, facts, guard};
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;

/// A draw.
pub struct UseGrain<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How much wet grain.
    pub wet: Milligrams,
    /// What it goes into.
    pub bake: &'a str,
    /// When it went into the dough.
    pub at: Instant,
}

impl Desk {
    /// Draws grain. What was past or unknown when it went into the dough is refused.
    pub fn use_grain(&mut self, request: &UseGrain<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let at = request.at;
        let (lot, told, lacking) = self.act_on_lot(request.lot, |act, lot| {
            act.refuse_future(at)?;
            let answer = facts::answer(act.view(), lot.clone(), at)?;
            guard::refuse_unusable(&answer)?;
            act.use_grain(&lot, at, request.wet, request.bake)?;
            let mut told = vec![Notice::Used {
                wet: request.wet,
                bake: request.bake.to_owned(),
                at,
                verdict: answer.keeping.verdict,
            }];
            told.extend(guard::known_by_now(act.view(), &lot, act.now())?);
            Ok((lot, told))
        })?;
        Ok(self.lot_after(lot, lacking)?.with_notices(told))
    }
}
