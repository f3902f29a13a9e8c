//! A frozen block comes out whole, for the first of its bakes: what it is by then for the others.

use super::not_before_events;
use crate::desk::thawing::{is_taken_out_for, lasts, lies_in_freezer, out_by, taken_out};
use crate::dough::house::Work;
use crate::keeping::assess_all;
use crate::ledger::About;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotFacts;
use crate::report::promise::{OutBefore, PromisedGrain};

/// Marks what is promised of blocks that are past when the bake weighs it out, as they come out for an earlier one.
pub(super) fn come_out_once(
    promised: &mut [PromisedGrain],
    facts: &[LotFacts],
    (about, work): (&About, &Work),
    now: Instant,
) {
    let (rules, zone) = (&about.rules, &about.zone);
    for block in facts {
        let now = not_before_events(block, now);
        let keeping = block.keeping(rules, zone, now);
        if !lies_in_freezer(block.place.as_ref()) || !keeping.verdict.may_be_used() {
            continue;
        }
        // Nobody takes it out for an overdue bake.
        let comes_out_for = |one: &PromisedGrain| {
            one.lot == Some(block.lot.code)
                && one.there() > Milligrams::ZERO
                && one.mix_at >= now
                && is_taken_out_for((&keeping, block.depth), (work, zone), one.grain_at, now)
        };
        let first = promised.iter().filter(|one| comes_out_for(one));
        let first = first.filter_map(|one| {
            let by = out_by((work, zone), block.depth, one.grain_at)?;
            Some((by, one.bake))
        });
        let Some((by, bake)) = first.min() else {
            continue;
        };
        let by = by.max(now);
        let out = taken_out(&block.histories, by);
        for one in promised.iter_mut().filter(|one| comes_out_for(one)) {
            let is_past = || {
                let then = assess_all(&out, rules, zone, one.grain_at);
                !then.verdict.may_be_used()
            };
            if one.bake != bake && !lasts(&keeping, zone, by, one.grain_at) && is_past() {
                one.out_before = Some(OutBefore { bake, by });
            }
        }
    }
}
