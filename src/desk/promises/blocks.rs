//! A frozen block comes out whole, for the first of its bakes: what it is by then for the others.

use super::{dry_fraction, not_before_events};
use crate::desk::thawing::{
    is_taken_out_for, lasts, lies_in_freezer, out_by, taken_of_named, taken_out,
};
use crate::dough::bake_code::BakeCode;
use crate::dough::house::Work;
use crate::grain::LotCode;
use crate::keeping::assess_all;
use crate::ledger::About;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::report::LotFacts;
use crate::report::bake::BakeAnswer;
use crate::report::promise::{LostGrain, OutBefore, PromisedGrain};

/// Grain of a lot in a freezer that a bake names, which takes nothing that is promised to it.
pub struct Named {
    /// The bake.
    pub bake: BakeCode,
    /// The lot.
    pub lot: LotCode,
    /// How much of it the bake takes.
    wet: Milligrams,
    /// When the bake weighs it out.
    pub grain_at: Instant,
    mix_at: Instant,
}

/// What these bakes name of lots in a freezer, where they take nothing that is promised to them.
pub(super) fn named<'a>(
    bakes: impl Iterator<Item = &'a BakeAnswer>,
    promised: &[PromisedGrain],
    facts: &[LotFacts],
) -> Result<Vec<Named>, Problem> {
    let mut found = Vec::new();
    for answer in bakes {
        let bake = answer.bake.code;
        let mut taken = promised.iter().filter(|one| !one.names_others);
        if taken.any(|one| one.bake == bake) {
            continue;
        }
        let lots = answer.bake.setting.lots.iter();
        let lots = lots.filter_map(|lot| facts.iter().find(|one| one.lot.code == lot.code));
        let lots: Vec<&LotFacts> = lots.collect();
        if !lots.iter().any(|lot| lies_in_freezer(lot.place.as_ref())) {
            continue;
        }
        let mut held = Vec::with_capacity(lots.len());
        for lot in lots {
            held.push((lot, lot.wet, dry_fraction(&lot.estimate()?)));
        }
        for (lot, wet) in taken_of_named(answer, held) {
            if wet > Milligrams::ZERO && lies_in_freezer(lot.place.as_ref()) {
                found.push(Named {
                    bake,
                    lot: lot.lot.code,
                    wet,
                    grain_at: answer.needs.grain_at(),
                    mix_at: answer.needs.timetable.mix_at,
                });
            }
        }
    }
    Ok(found)
}

/// Marks what is promised of blocks that are past when the bake weighs it out, as they come out for an earlier one; gives what
/// bakes lose so of the blocks that they name.
pub(super) fn come_out_once(
    promised: &mut [PromisedGrain],
    named: &[Named],
    facts: &[LotFacts],
    (about, work): (&About, &Work),
    now: Instant,
) -> Vec<LostGrain> {
    let (rules, zone) = (&about.rules, &about.zone);
    let mut lost = Vec::new();
    for block in facts {
        let now = not_before_events(block, now);
        let keeping = block.keeping(rules, zone, now);
        if !lies_in_freezer(block.place.as_ref()) || !keeping.verdict.may_be_used() {
            continue;
        }
        // Nobody takes it out for an overdue bake.
        let is_out_for = |mix_at: Instant, grain_at: Instant| {
            mix_at >= now && is_taken_out_for((&keeping, block.depth), (work, zone), grain_at, now)
        };
        let comes_out_for = |one: &PromisedGrain| {
            one.lot == Some(block.lot.code)
                && !one.names_others
                && one.there() > Milligrams::ZERO
                && is_out_for(one.mix_at, one.grain_at)
        };
        let named = named.iter().filter(|one| one.lot == block.lot.code);
        let named = named.filter(|one| is_out_for(one.mix_at, one.grain_at));
        let named: Vec<&Named> = named.collect();
        let of_plan = promised.iter().filter(|one| comes_out_for(one));
        let of_plan = of_plan.map(|one| (one.grain_at, one.bake));
        let all = of_plan.chain(named.iter().map(|one| (one.grain_at, one.bake)));
        let first = all.filter_map(|(grain_at, bake)| {
            let by = out_by((work, zone), block.depth, grain_at)?;
            Some((by, bake))
        });
        let Some((by, bake)) = first.min() else {
            continue;
        };
        let by = by.max(now);
        let out = taken_out(&block.histories, by);
        let past_for = |other: BakeCode, grain_at: Instant| {
            if other == bake || lasts(&keeping, zone, by, grain_at) {
                return None;
            }
            let then = assess_all(&out, rules, zone, grain_at);
            (!then.verdict.may_be_used()).then_some(then)
        };
        for one in promised.iter_mut().filter(|one| comes_out_for(one)) {
            if past_for(one.bake, one.grain_at).is_some() {
                one.out_before = Some(OutBefore { bake, by });
            }
        }
        for one in named {
            lost.extend(past_for(one.bake, one.grain_at).map(|then| LostGrain {
                bake: one.bake,
                named: one.lot,
                lot: one.lot,
                state: State::Thawed,
                wet: one.wet,
                verdict: then.verdict,
                keep_until: then.good_until().or(then.unknown_after),
                grain_at: one.grain_at,
                out_before: Some(OutBefore { bake, by }),
            }));
        }
    }
    lost
}
