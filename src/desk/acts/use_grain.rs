//! Draws grain from lots for a bake.

use super::finish_bake::ABOUT_THEN;
use super::{counted_since, made_of, refuse_twice, written_twice};
use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice, TakenBefore, guard};
use crate::ledger::View;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;

/// Draws for one bake.
pub struct UseGrain<'a> {
    /// Each lot's code with how much wet grain of it.
    pub draws: &'a [(String, Milligrams)],
    /// What it goes into.
    pub bake: &'a str,
    /// When it went into the dough.
    pub at: Instant,
}

impl Desk {
    /// Draws grain, of all the lots or of none. What was past or unknown when it went into the dough is refused, unless the
    /// book did not know it yet.
    pub fn use_grain(&mut self, request: &UseGrain<'_>) -> anyhow::Result<Answer<Vec<LotAnswer>>> {
        let at = request.at;
        let ((lots, told, handled), lacking) = self.act(Compare::Promises, |act| {
            act.refuse_future(at)?;
            let (mut lots, mut told, mut written) = (Vec::new(), Vec::new(), Vec::new());
            let mut handled = Vec::new();
            for (code, wet) in request.draws {
                let lot = act.view().lot(code)?;
                refuse_twice(&lots, &lot)?;
                let answer = guard::handed_out(act, &lot, at)?;
                let entry = match act.use_grain(&lot, at, *wet, request.bake) {
                    Err(error) => return Err(made_of::went_on(act, error, &lot, (*wet, at))?),
                    Ok(entry) => entry,
                };
                written.push(entry);
                told.push(Notice::Used {
                    wet: *wet,
                    bake: request.bake.to_owned(),
                    at,
                    verdict: answer.keeping.verdict,
                });
                handled.extend(answer.cautions_of_handled(*wet));
                told.extend(counted_since(act.view(), &lot, at)?);
                told.extend(guard::unusable_then_or_by_now(
                    act.view(),
                    &[entry],
                    &lot,
                    act.now(),
                )?);
                lots.push(lot);
            }
            told.extend(written_twice(act.view(), &written)?);
            let taken = taken_by_bake(act.view(), request)?;
            told.extend(taken.map(|taken| Notice::TakenByBake(taken, written)));
            Ok((lots, told, handled))
        })?;
        Ok(self
            .lots_after(lots, lacking)?
            .with_cautions(handled)
            .with_notices(told))
    }
}

/// What the last bake took that is done about then, and has the code or the formula that was named.
fn taken_by_bake(view: View<'_>, request: &UseGrain<'_>) -> anyhow::Result<Option<TakenBefore>> {
    let then = (request.at - ABOUT_THEN, request.at + ABOUT_THEN);
    let mut draws = view.baked_for(request.bake, then)?;
    let Some(bake) = draws.last().and_then(|draw| draw.bake) else {
        return Ok(None);
    };
    draws.retain(|draw| draw.bake == Some(bake));
    Ok(Some(TakenBefore { bake, draws }))
}
