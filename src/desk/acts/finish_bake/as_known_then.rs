//! What is written down of a bake, by what the book knew when its grain was weighed out.

use super::{FinishBake, Mixed, result};
use crate::desk::{Notice, Refusal, guard, sheet_time};
use crate::grain::LotCode;
use crate::ledger::{BakeResult, View};
use crate::quantity::Instant;
use crate::report::bake::BakeAnswer;

/// Works out what is written down. Which grain may be in the dough is judged by what is known now. What the sheet said of
/// it rests on what was known when the grain was weighed out, or when later somebody stated the bake or promised it
/// grain: a sample that was weighed after that was on no sheet.
pub(super) fn as_its_sheet_said(
    request: &FinishBake<'_>,
    planned: &BakeAnswer,
    view: View<'_>,
    (mixed, now): (Mixed, Instant),
) -> anyhow::Result<(BakeResult, Vec<Notice>)> {
    let known = match result(request, planned, view, mixed) {
        Ok(known) => known,
        Err(error) => {
            let error = asking_as_the_sheet(request, planned, view, mixed, error)?;
            return in_good_faith(request, planned, view, (mixed, now), error);
        }
    };
    let sheet = sheet_time::last_known(view, planned, mixed.at)?;
    if sheet == view.last_entry()? {
        return Ok(known);
    }
    let of_lots = |(result, _): &(BakeResult, _)| -> Vec<LotCode> {
        result.draws.iter().map(|(lot, _)| lot.code).collect()
    };
    // Where the book knew nothing yet of this grain, or would have taken other grain, what is known now has to do.
    let then = view.as_it_stood(sheet, |then| result(request, planned, then, mixed));
    Ok(then
        .ok()
        .filter(|then| of_lots(then) == of_lots(&known))
        .unwrap_or(known))
}

/// A refusal that asks what went in, with what the sheet said of the same lots: what was found out since stood on no sheet.
fn asking_as_the_sheet(
    request: &FinishBake<'_>,
    planned: &BakeAnswer,
    view: View<'_>,
    mixed: Mixed,
    error: anyhow::Error,
) -> anyhow::Result<anyhow::Error> {
    let asked_for = |error: &anyhow::Error| -> Vec<LotCode> {
        match Refusal::of(error) {
            Some(Refusal::LotsNotNamed { filled_in, .. }) => {
                filled_in.into_iter().map(|(lot, _)| lot).collect()
            }
            _ => Vec::new(),
        }
    };
    let lots = asked_for(&error);
    if lots.is_empty() {
        return Ok(error);
    }
    let sheet = sheet_time::last_known(view, planned, mixed.at)?;
    let then = view.as_it_stood(sheet, |then| result(request, planned, then, mixed));
    Ok(match then {
        Err(then) if asked_for(&then) == lots => then,
        _ => error,
    })
}

/// Works out by what the book knew when the grain was weighed out what is refused since it counts as past or unknown: it is in
/// the dough.
fn in_good_faith(
    request: &FinishBake<'_>,
    planned: &BakeAnswer,
    view: View<'_>,
    (mixed, now): (Mixed, Instant),
    error: anyhow::Error,
) -> anyhow::Result<(BakeResult, Vec<Notice>)> {
    let refusal = match error.downcast::<Refusal>() {
        Ok(refusal @ Refusal::Unusable { .. }) => refusal,
        Ok(other) => return Err(other.into()),
        Err(error) => return Err(error),
    };
    let moments = (sheet_time::weighed_out_at(planned, mixed.at), now);
    let then = guard::as_known_then(view, moments, |then| {
        let done = result(request, planned, then, mixed)?;
        for (lot, _) in &done.0.draws {
            if !then.had_come_as_known(lot)? {
                return Ok(None);
            }
        }
        Ok(Some(done))
    });
    // Where the book of that time refuses it too, what is known now is the reason.
    match then {
        Ok(Some(Some(done))) => Ok(done),
        _ => {
            let is_time_given = request.at.is_some_and(|at| at < now);
            Err(refusal.of_what_left(is_time_given).into())
        }
    }
}
