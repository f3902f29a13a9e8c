//! What is told of lots on hand that are judged otherwise since something was written.

use super::Judged;
use crate::desk::Notice;
use crate::grain::LotCode;
use crate::keeping::TicketSays;

/// All that there is to tell of lots on hand that are judged otherwise by what is known since then.
pub(in crate::desk) fn judged_otherwise(
    before: &Judged,
    after: &Judged,
    shown: Option<LotCode>,
) -> Vec<Notice> {
    let mut told = judged_better(before, after);
    told.extend(tickets_untrue(before, after));
    told.extend(less_warm(before, after));
    told.extend(unusable_now(before, after, shown));
    told
}

/// Lots on hand that might be used and may not by what is known since then, but for one that the answer shows itself.
pub(super) fn unusable_now(before: &Judged, after: &Judged, shown: Option<LotCode>) -> Vec<Notice> {
    after
        .iter()
        .filter(|(lot, is)| !is.verdict.may_be_used() && Some(**lot) != shown)
        .filter(|(lot, _)| {
            before
                .get(*lot)
                .is_some_and(|was| was.verdict.may_be_used())
        })
        .map(|(lot, is)| Notice::OnHandUnusable {
            lot: *lot,
            verdict: is.verdict,
            limit: is.binding.limit.clone(),
        })
        .collect()
}

/// Lots that were past or unknown and are less so by what is known since then.
pub(super) fn judged_better(before: &Judged, after: &Judged) -> Vec<Notice> {
    before
        .iter()
        .filter(|(_, keeping)| !keeping.verdict.may_be_used())
        .filter_map(|(lot, was)| {
            let is = after.get(lot)?.verdict;
            (is < was.verdict).then_some(Notice::JudgedBetter {
                lot: *lot,
                was: was.verdict,
                is,
            })
        })
        .collect()
}

/// Lots of which a ticket says by what is known since then what it did not before.
pub(in crate::desk) fn tickets_untrue(before: &Judged, after: &Judged) -> Option<Notice> {
    let untrue = after.iter().filter(|(lot, is)| {
        let was = before.get(*lot).map(TicketSays::of);
        was.is_some_and(|was| was.is_untrue(is))
    });
    new_tickets(untrue.map(|(lot, _)| *lot), after)
}

/// That these lots need new tickets, if there are any. Of one that may not be used no ticket is printed for now: another notice
/// or the answer says so.
pub(in crate::desk) fn new_tickets(
    lots: impl Iterator<Item = LotCode>,
    judged: &Judged,
) -> Option<Notice> {
    let is_usable = |lot: &LotCode| judged.get(lot).is_some_and(|is| is.verdict.may_be_used());
    let lots: Vec<LotCode> = lots.filter(is_usable).collect();
    (!lots.is_empty()).then_some(Notice::TicketsUntrue(lots))
}

/// Lots that may be used, before and after, and count as less warm or keep better by what is known since then.
pub(super) fn less_warm(before: &Judged, after: &Judged) -> Vec<Notice> {
    before
        .iter()
        .filter(|(_, was)| was.verdict.may_be_used())
        .filter_map(|(lot, was)| {
            let is = after.get(lot)?;
            let less = is.verdict < was.verdict || is.warm_minutes < was.warm_minutes;
            less.then_some(Notice::LessWarm {
                lot: *lot,
                was: (was.verdict, was.warm_minutes),
                is: (is.verdict, is.warm_minutes),
            })
        })
        .collect()
}
