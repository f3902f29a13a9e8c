//! What other bakes, which no plan promised anything, take by their sheets before one, and of frozen blocks that they name.

use crate::desk::Refusal;
use crate::desk::dough_lots::{self, Dough, Wishes};
use crate::desk::facts::FactFinder;
use crate::desk::promises::{self, Named};
use crate::desk::thawing;
use crate::desk::unshown::Unshown;
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::ledger::{View, Which};
use crate::quantity::{Instant, Milligrams};
use crate::report::bake::BakeAnswer;
use chrono::Duration;
use std::collections::BTreeMap;

/// Leaves a frozen block that another bake names to that one, where it does not keep for both: it comes out once.
pub(super) fn leave_blocks(
    view: View<'_>,
    (at, unshown): (Instant, Unshown),
    named: &[Named],
    taken: &mut BTreeMap<LotCode, Milligrams>,
) -> anyhow::Result<()> {
    let now = match unshown {
        Unshown::AsKnown => at,
        Unshown::CountedOn(now) => now,
    };
    let (about, work) = (view.about(), view.house()?.work);
    let zone = &about.zone;
    let mut finder = FactFinder::new(view)?;
    for one in named {
        let facts = finder.facts(view.lot(&one.lot.to_string())?)?;
        let keeping = facts.keeping(&about.rules, zone, now);
        let (first, last) = (at.min(one.grain_at), at.max(one.grain_at));
        let by = thawing::out_by((&work, zone), facts.depth, first);
        if by.is_none_or(|by| !thawing::lasts(&keeping, zone, by.max(now), last)) {
            taken.insert(one.lot, facts.wet);
        }
    }
    Ok(())
}

/// A bake that should have been mixed longer ago was hardly baked: our choice.
const STILL_TO_BE_WRITTEN_DOWN: Duration = Duration::hours(24);

/// Adds what bakes that are mixed before this one take by their sheets, so that no grain stands on two sheets; gives
/// those bakes. What is promised to a bake is in `taken` already.
pub(super) fn take_of(
    view: View<'_>,
    bake: &BakeAnswer,
    (at, unshown): (Instant, Unshown),
    promised_to: &[BakeCode],
    taken: &mut BTreeMap<LotCode, Milligrams>,
) -> anyhow::Result<Vec<BakeCode>> {
    let order = |bake: &BakeAnswer| (bake.needs.timetable.mix_at, bake.bake.code);
    let mut earlier = Vec::new();
    for record in view.bakes(Which::Open)? {
        let other = BakeAnswer::of(record)?;
        if order(&other) < order(bake)
            && other.needs.timetable.mix_at > at - STILL_TO_BE_WRITTEN_DOWN
            && !promised_to.contains(&other.bake.code)
        {
            earlier.push(other);
        }
    }
    earlier.sort_by_key(order);
    let plan = view.accepted_plan()?;
    let mut left_to = Vec::new();
    for other in earlier {
        let is_left_out = |plan| promises::is_left_out(plan, &other);
        let (setting, at) = (&other.bake.setting, other.needs.grain_at().min(at));
        let dough = Dough::of(setting, &other.needs.formula);
        let lots = if setting.lots.is_empty() {
            dough_lots::first_expired(view, dough, Wishes::of(setting), at, taken)?
        } else {
            // Named lots that may not be used are told on that bake's own sheet.
            match dough_lots::refuse_named_that_may_hold(setting)
                .map_err(anyhow::Error::from)
                .and_then(|()| dough_lots::of_bake(view, setting, dough, (at, unshown)))
            {
                Ok(lots) if plan.as_ref().is_some_and(is_left_out) => lots.without(taken, dough)?,
                Ok(lots) => lots,
                Err(error) if Refusal::of(&error).is_some() => continue,
                Err(error) => return Err(error),
            }
        };
        let draws = lots.whole_grams();
        if !draws.is_empty() {
            left_to.push(other.bake.code);
        }
        for (lot, wet) in draws {
            let sum = taken.entry(lot.code).or_default();
            *sum = Milligrams::new(sum.get() + wet.get());
        }
    }
    Ok(left_to)
}
