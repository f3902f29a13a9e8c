//! Promised grain that may not be used when its bake weighs it out, and what an act breaks of what was promised.

use super::{not_before_events, slack};
use crate::desk::Notice;
use crate::desk::facts::FactFinder;
use crate::desk::still_to_do::{Part, Planned};
use crate::desk::unshown::Unshown;
use crate::dough::bake_code::BakeCode;
use crate::grain::{Form, LotCode};
use crate::ledger::View;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotFacts;
use crate::report::promise::{LostGrain, PromisedGrain, ToDry, ToShowDry};
use crate::report::sheet::StillTo;
use std::collections::BTreeMap;

/// What is promised to bakes, and what they lose of it.
#[derive(Default)]
pub struct Promises {
    /// All that is promised.
    pub grain: Vec<PromisedGrain>,
    /// What of that is there and may not be used when its bake weighs it out, and what so of blocks that bakes name.
    pub lost: Vec<LostGrain>,
    /// What of that its bake takes only if it is shown dry in time.
    pub to_show_dry: Vec<ToShowDry>,
    /// What of that is still to be dried before its bake weighs it out.
    pub to_dry: Vec<ToDry>,
}

impl Promises {
    /// Leaves out what is promised to one bake.
    pub(in crate::desk) fn leave_out(&mut self, bake: BakeCode) {
        self.grain.retain(|one| one.bake != bake);
        self.lost.retain(|one| one.bake != bake);
        self.to_show_dry.retain(|one| one.bake != bake);
        self.to_dry.retain(|one| one.bake != bake);
    }
}

/// What is promised now, judged. A book without an accepted plan, and without a bake that names lots, is asked nothing more.
pub fn judged(view: View<'_>, now: Instant) -> anyhow::Result<Promises> {
    let _still = view.hold_still()?;
    if view.accepted_plan()?.is_none() && !super::is_any_lot_named(view)? {
        return Ok(Promises::default());
    }
    let facts = FactFinder::new(view)?.on_hand(now)?;
    judged_of(view, &facts, now)
}

/// What is promised now, of these lots on hand, judged as a sheet judges it: what the plan freezes, dries or shows first
/// counts as done, as long as that can still be done. An overdue bake loses nothing: nobody knows what is in its dough by now.
pub fn judged_of(view: View<'_>, facts: &[LotFacts], now: Instant) -> anyhow::Result<Promises> {
    let plan = view.accepted_plan()?;
    if plan.is_none() && !super::is_any_lot_named(view)? {
        return Ok(Promises::default());
    }
    let super::Found {
        grain, named_lost, ..
    } = super::find(view, plan.as_ref(), FactFinder::new(view)?, (facts, now))?;
    let about = view.about();
    let work = view.house()?.work;
    let planned = Planned {
        about,
        work: &work,
        tasks: plan
            .as_ref()
            .map(|plan| plan.tasks.as_slice())
            .unwrap_or_default(),
    };
    let (mut lost, mut to_show_dry, mut to_dry) = (named_lost, Vec::new(), Vec::new());
    for one in &grain {
        let is_taken = !one.names_others && one.there() > Milligrams::ZERO && one.mix_at >= now;
        let mut facts = facts.iter().filter(|_| is_taken);
        let Some(own) = facts.find(|own| one.lot == Some(own.lot.code)) else {
            continue;
        };
        let at = not_before_events(own, one.grain_at.max(now));
        let keeping = own.keeping(&about.rules, &about.zone, at);
        let only_dried = one.state == State::Dried && one.form == Some(Form::Dried);
        if one.out_before.is_none() && keeping.verdict.may_be_used() && !only_dried {
            continue;
        }
        let mut part = Part::new(one, own.clone(), about, at)?;
        part.wet = one.there();
        let judged = Unshown::CountedOn(now).judge_promised(&planned, &mut part, one.form);
        match judged.still_to {
            Some(StillTo::ShowDry(by)) => to_show_dry.push(ToShowDry {
                bake: one.bake,
                lot: own.lot.code,
                by,
            }),
            Some(StillTo::Dry(..)) => to_dry.push(ToDry {
                bake: one.bake,
                named: one.named,
                lot: own.lot.code,
                dried: part.wet,
            }),
            Some(StillTo::Freeze(_)) | None => {}
        }
        let keeping = judged.keeping;
        if !keeping.verdict.may_be_used() {
            lost.push(LostGrain {
                bake: one.bake,
                named: one.named,
                lot: own.lot.code,
                state: one.state,
                wet: one.there(),
                verdict: keeping.verdict,
                keep_until: keeping.good_until().or(keeping.unknown_after),
                grain_at: one.grain_at,
                out_before: one.out_before,
            });
        }
    }
    Ok(Promises {
        grain,
        lost,
        to_show_dry,
        to_dry,
    })
}

/// What bakes lack or lose more of than before.
pub fn broken(before: &Promises, after: &Promises) -> Vec<Notice> {
    let mut told = lacking(&before.grain, &after.grain);
    told.extend(lost(&before.lost, &after.lost));
    told
}

/// Of which lots bakes lack more than before.
fn lacking(before: &[PromisedGrain], after: &[PromisedGrain]) -> Vec<Notice> {
    let missing = |promised: &[PromisedGrain]| {
        let mut sums = BTreeMap::new();
        for one in promised.iter().filter(|one| !one.names_others) {
            *sums.entry((one.named, one.bake)).or_insert(0) += one.missing.get();
        }
        sums
    };
    let before = missing(before);
    let mut lots: BTreeMap<LotCode, Vec<(BakeCode, Milligrams)>> = BTreeMap::new();
    for ((lot, bake), lacks) in missing(after) {
        if lacks > before.get(&(lot, bake)).copied().unwrap_or(0) {
            let lacks = Milligrams::new(lacks);
            lots.entry(lot).or_default().push((bake, lacks));
        }
    }
    lots.into_iter()
        .map(|(lot, bakes)| Notice::PromisedGrainGone { lot, bakes })
        .collect()
}

/// What bakes may use less of than before when they weigh it out. What is only weighed otherwise was told before.
fn lost(before: &[LostGrain], after: &[LostGrain]) -> Option<Notice> {
    let sum = |lost: &[LostGrain], of: &LostGrain| -> i64 {
        lost.iter()
            .filter(|one| (one.bake, one.named) == (of.bake, of.named))
            .map(|one| one.wet.get())
            .sum()
    };
    let is_more = |one: &&LostGrain| {
        let was = sum(before, one) as f64;
        sum(after, one) as f64 > was + slack(was)
    };
    let lost: Vec<LostGrain> = after.iter().filter(is_more).copied().collect();
    (!lost.is_empty()).then_some(Notice::PromisedGrainLost(lost))
}
