//! Puts lots together. What comes of it is as old, and as bad, as the worst of them.

use super::{lots_named_once, part_spoiled};
use crate::desk::guard::{self, Compare};
use crate::desk::{Answer, Desk, MissingField, Notice, Refusal, facts};
use crate::keeping::Verdict;
use crate::ledger::{Act, Joined, LotRecord};
use crate::quantity::Instant;
use crate::report::LotAnswer;

/// Which lots are put together.
pub struct Join<'a> {
    /// The lots' codes.
    pub lots: &'a [String],
    /// The place the joined lot lies in; nothing where all of them lie in one.
    pub to: Option<&'a str>,
    /// When they were put together.
    pub at: Instant,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Puts lots together, all that is left of each. Grain that was past or unknown when they were put together is refused.
    /// What is past by now makes all of it past.
    pub fn join(&mut self, request: &Join<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let at = request.at;
        let ((joined, more), lacking) = self.act(Compare::Promises, |act| {
            act.refuse_future(at)?;
            let lots = lots_named_once(act.view(), request.lots)?;
            let mut more = Vec::new();
            for lot in &lots {
                more.extend(part_spoiled(act.view(), lot)?);
            }
            let to = (request.to, MissingField::To);
            let (joined, better) = together(act, &lots, at, to, request.note)?;
            more.extend(better);
            Ok((joined, more))
        })?;
        let parts = joined.parts.iter().map(|(lot, wet)| (lot.code, *wet));
        let told = Notice::Joined(parts.collect());
        let answer = self.lot_after(joined.lot, lacking)?.with_notices([told]);
        Ok(answer.with_notices(more))
    }
}

/// Puts lots together that could be used then; gives what is to be told of those that were unknown by now and are usable
/// where they lie since. Where the joined lot lies is named in this field of the request, or all of them lie there.
pub(super) fn together(
    act: &mut Act<'_>,
    lots: &[LotRecord],
    at: Instant,
    (to, field): (Option<&str>, MissingField),
    note: Option<&str>,
) -> anyhow::Result<(Joined, Vec<Notice>)> {
    let now = guard::judged_as_of(act.view(), act.now())?;
    let places = act.view().places()?;
    let mut lies_in: Vec<String> = Vec::new();
    let mut by_now = Vec::new();
    for lot in lots {
        let judged_at = guard::handed_out_at(act, at)?;
        guard::refuse_unusable(&facts::answer_at(act.view(), lot.clone(), judged_at)?)?;
        act.view().left_or_refuse(lot)?;
        // What is put together now may be used now.
        if at < now {
            by_now.push((lot.code, facts::answer_at(act.view(), lot.clone(), now)?));
        }
        lies_in.extend(act.view().held(lot, &places)?.map(|(_, name, _)| name));
    }
    lies_in.dedup();
    let to = match (to, lies_in.as_slice()) {
        (Some(to), _) => act.view().open_place(to, at)?,
        (None, [only]) => act.view().place(only)?,
        (None, _) => {
            return Err(Refusal::SeveralPlaces {
                places: lies_in,
                field,
            }
            .into());
        }
    };
    let joined = act.join(lots, at, &to, note)?;
    let mut better = Vec::new();
    if by_now.is_empty() {
        return Ok((joined, better));
    }
    // To be put together is to be moved: what is past where it lay stays so.
    let is = facts::answer_at(act.view(), joined.lot.clone(), now)?;
    let is = is.keeping.verdict;
    for (lot, was) in by_now {
        let was = was.keeping.verdict;
        if was == Verdict::Past && is != Verdict::Past {
            return Err(Refusal::WouldRevive(lot).into());
        }
        if !was.may_be_used() && is.may_be_used() {
            better.push(Notice::JudgedBetter { lot, was, is });
        }
    }
    Ok((joined, better))
}
