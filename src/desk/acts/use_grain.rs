//! Draws grain from lots for a bake.

use super::finish_bake::ABOUT_THEN;
use super::{counted_since, lots_named_once, made_of, part_spoiled, refuse_twice, written_twice};
use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice, Refusal, TakenBefore, guard};
use crate::dough::bake_code::BakeCode;
use crate::ledger::{BakeEnd, BakeRecord, NotFree, View};
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::LotAnswer;
use chrono::Duration;

/// Draws for one bake.
pub struct UseGrain<'a> {
    /// Each lot's code with how much wet grain of it.
    pub draws: &'a [(String, Milligrams)],
    /// What it goes into; the code of a bake that is done adds it to that bake.
    pub bake: &'a str,
    /// When it went into the dough; what is added to a bake went in when that was mixed.
    pub at: Instant,
}

impl Desk {
    /// Draws grain, of all the lots or of none. What was past or unknown when it went into the dough is refused, unless the
    /// book did not know it yet.
    pub fn use_grain(&mut self, request: &UseGrain<'_>) -> anyhow::Result<Answer<Vec<LotAnswer>>> {
        let ((lots, told, handled), lacking) = self.act(Compare::Promises, |act| {
            act.refuse_future(request.at)?;
            let (name, at, done) = match done_bake(act.view(), request, act.now())? {
                Some((bake, mixed_at)) => (bake.code.to_string(), mixed_at, Some(bake)),
                None => (request.bake.to_owned(), request.at, None),
            };
            let taken = taken_by_bake(act.view(), &name, at)?;
            let (mut lots, mut told, mut written) = (Vec::new(), Vec::new(), Vec::new());
            let mut handled = Vec::new();
            for (code, wet) in request.draws {
                let lot = act.view().lot(code)?;
                refuse_twice(&lots, &lot)?;
                // It is in the bread: that is booked and marked, whatever the bake was to be free of.
                told.extend(done.iter().filter_map(|bake| {
                    let free_of = bake.setting.free_of.as_deref()?;
                    let found = NotFree::with(None, free_of, &lot)?;
                    Some(Notice::NotFreeOf(bake.code, found, true))
                }));
                let answer = guard::handed_out(act, &lot, at)?;
                let used = match &done {
                    Some(bake) => act.use_for_bake(&lot, at, *wet, bake),
                    None => act.use_grain(&lot, at, *wet, &name),
                };
                let entry = match used {
                    Err(error) => return Err(made_of::went_on(act, error, &lot, (*wet, at))?),
                    Ok(entry) => entry,
                };
                written.push(entry);
                told.push(Notice::Used {
                    wet: *wet,
                    bake: name.clone(),
                    at,
                    verdict: answer.keeping.verdict,
                });
                handled.extend(answer.cautions_of_handled(*wet));
                told.extend(counted_since(act.view(), &lot, at)?);
                told.extend(part_spoiled(act.view(), &lot)?);
                told.extend(guard::unusable_then_or_by_now(
                    act.view(),
                    &[entry],
                    &lot,
                    act.now(),
                )?);
                lots.push(lot);
            }
            told.extend(written_twice(act.view(), &written)?);
            told.extend(done.map(|bake| Notice::AddedToBake(bake.code)));
            told.extend(taken.map(|taken| Notice::TakenByBake(taken, written)));
            Ok((lots, told, handled))
        })?;
        Ok(self
            .lots_after(lots, lacking)?
            .with_cautions(handled)
            .with_notices(told))
    }
}

/// The bake whose code a text is; nothing where it is not written like a code. A code that is none of the book's is refused:
/// as a mere text, no trace of the bake would find the grain.
pub(super) fn bake_of_code(view: View<'_>, text: &str) -> anyhow::Result<Option<BakeRecord>> {
    BakeCode::written_in(text)
        .map(|code| view.bake(&code))
        .transpose()
}

/// The bake whose code was typed, with when its dough was mixed; nothing where no code was typed. One that is not done takes its
/// grain when it is written down: booked beside it, no trace of the bake would find this grain.
fn done_bake(
    view: View<'_>,
    request: &UseGrain<'_>,
    now: Instant,
) -> anyhow::Result<Option<(BakeRecord, Instant)>> {
    let Some(bake) = bake_of_code(view, request.bake)? else {
        return Ok(None);
    };
    let mixed_at = match &bake.end {
        Some(BakeEnd::Done(result)) => {
            let is_typed = request.at != now;
            if is_typed && (request.at - result.at).abs() > Duration::minutes(1) {
                let problem = Problem::new(format!(
                    "grain of {} went in when its dough was mixed, and that was at another time",
                    bake.code
                ));
                return Err(Refusal::Field {
                    field: "at",
                    problem: problem.hint("leave the time out: it is booked as of the mixing"),
                }
                .into());
            }
            result.at
        }
        _ => {
            bake.refuse_ended()?;
            let lots = lots_named_once(view, request.draws.iter().map(|(code, _)| code))?;
            let codes = lots.iter().map(|lot| lot.code);
            let used = codes.zip(request.draws.iter().map(|(_, wet)| *wet));
            return Err(Refusal::BakeStillOpen(bake.code, used.collect()).into());
        }
    };
    Ok(Some((bake, mixed_at)))
}

/// What the last bake took that is done about then, and has the code or the formula of this name.
fn taken_by_bake(view: View<'_>, name: &str, at: Instant) -> anyhow::Result<Option<TakenBefore>> {
    let then = (at - ABOUT_THEN, at + ABOUT_THEN);
    let mut draws = view.baked_for(name, then)?;
    let Some(bake) = draws.last().and_then(|draw| draw.bake) else {
        return Ok(None);
    };
    draws.retain(|draw| draw.bake == Some(bake));
    Ok(Some(TakenBefore { bake, draws }))
}
