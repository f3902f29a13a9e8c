//! What a plan says of bags, frozen blocks and how long grain thaws.

use super::Words;
use super::work::task_words;
use crate::planning::plan::{Action, Work};
use crate::quantity::Milligrams;
use crate::render::numbers::Units;
use crate::render::times;
use crate::report::Block;
use std::collections::BTreeSet;

/// `; frozen in one block, all 1 kg of LOT comes out`: where a dough takes less than that.
fn out_whole(all: Milligrams, lot: &str, taken: Milligrams, units: Units) -> String {
    format!(
        "; frozen in one block, all {} of {lot} comes out: {} goes into the dough, the rest is thawed with it",
        units.weighed(all),
        units.weighed(taken)
    )
}

/// `, one block: 3.3 kg for B-4M, 2.7 kg for B-5K`: of a block that comes out for several bakes; nothing where it is for one.
pub(super) fn in_one_block(takes: &[Portion<'_>], has_rest: bool, units: Units) -> Option<String> {
    let words = portion_words(takes, units)?;
    let rest = if has_rest {
        ", the rest is thawed with it"
    } else {
        ""
    };
    Some(format!(", one block: {}{rest}", words.join(", ")))
}

/// `take 2 kg of LOT from the freezer into fridge, for B-1S`, and where all of the block is more than that, so; of a block for
/// several bakes `take all 6 kg of LOT from the freezer into fridge, one block: 3.3 kg for B-1S, 2.7 kg for B-2Q`.
pub(in crate::render) fn block_words(
    block: &Block,
    lot: &str,
    into: Option<&str>,
    units: Units,
) -> String {
    let bakes = block
        .takes
        .iter()
        .map(|(bake, wet)| (bake.to_string(), *wet));
    let bakes: Vec<(String, Milligrams)> = bakes.collect();
    let takes = bakes
        .iter()
        .map(|(bake, wet)| (Some(bake.as_str()), *wet, None));
    let takes: Vec<Portion<'_>> = takes.collect();
    if let Some(parts) = in_one_block(&takes, block.has_rest, units) {
        let grain = format!("all {} of {lot}", units.weighed(block.all));
        return task_words(Work::Thaw, &grain, (into, None)) + &parts;
    }
    let taken = block.taken();
    let grain = format!("{} of {lot}", units.weighed(taken));
    let bake = takes.first().and_then(|(bake, ..)| *bake);
    let words = task_words(Work::Thaw, &grain, (into, bake));
    if block.has_rest {
        words + &out_whole(block.all, lot, taken, units)
    } else {
        words
    }
}

/// What is told of grain that is frozen in portions.
pub(in crate::render) const NOT_SPLIT: &str =
    "A frozen portion thaws as a whole. It may fill several flat bags: write its bake on each.";

/// A portion of frozen grain: the bake that it is for, how much it is, and the place that it goes into.
pub(in crate::render) type Portion<'a> = (Option<&'a str>, Milligrams, Option<&'a str>);

/// Whether portions of one job go into several places.
pub(super) fn are_apart(portions: &[Portion<'_>]) -> bool {
    portions.iter().any(|(_, _, place)| *place != portions[0].2)
}

/// `freezer`, or `chest and freezer`: the places of all portions; nothing where none is named.
pub(in crate::render) fn into_places(portions: &[Portion<'_>]) -> Option<String> {
    let mut names: Vec<&str> = Vec::new();
    for name in portions.iter().filter_map(|(_, _, place)| *place) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    (!names.is_empty()).then(|| names.join(" and "))
}

/// `2.5 kg for B-1S` and `3.7 kg to spare`; nothing where it is one portion. Each names its place where there are several.
fn portion_words(portions: &[Portion<'_>], units: Units) -> Option<Vec<String>> {
    let are_apart = are_apart(portions);
    let words = portions.iter().map(|(bake, wet, place)| {
        let place = place.filter(|_| are_apart);
        let place = place.map_or(String::new(), |place| format!(" in {place}"));
        match bake {
            Some(bake) => format!("{} for {bake}{place}", units.weighed(*wet)),
            None => format!("{} to spare{place}", units.weighed(*wet)),
        }
    });
    (portions.len() > 1).then(|| words.collect())
}

/// `, in 2 portions: 2.5 kg for B-1S, 3.7 kg to spare`; nothing where it is one.
pub(in crate::render) fn in_portions(portions: &[Portion<'_>], units: Units) -> Option<String> {
    let words = portion_words(portions, units)?;
    Some(format!(
        ", in {} portions: {}",
        words.len(),
        words.join(", ")
    ))
}

impl Words<'_> {
    /// `13 h`, or `13 h to 42 h, by how thick the grain lies`: of all that is frozen or thawed.
    pub(super) fn thawing_takes(&self) -> String {
        let lots = &self.answer.ground.situation.lots;
        let actions = self.answer.plan.actions.iter();
        let leads: BTreeSet<i64> = actions
            .filter(|action| action.work != Work::Dry)
            .map(|action| lots[action.lot].thaw_lead.num_minutes())
            .collect();
        let ends: Vec<String> = [leads.first(), leads.last()]
            .into_iter()
            .flatten()
            .map(|minutes| times::minutes(*minutes))
            .collect();
        if leads.len() > 1 {
            format!("{}, by how thick the grain lies", ends.join(" to "))
        } else {
            ends.first().cloned().unwrap_or_default()
        }
    }

    /// `; a block of LOT comes out whole, all 1 kg`: of a lot in the freezer of which a bake takes a part.
    pub(super) fn whole_block(&self, action: &Action) -> Option<String> {
        let all = self.answer.block(action).filter(|all| action.wet < *all)?;
        Some(out_whole(
            all,
            self.code(action.lot),
            action.wet,
            self.units,
        ))
    }

    /// The portions in which a job is done; of a frozen block what each bake takes of it.
    pub(super) fn portions(&self, action: &Action) -> Vec<Portion<'_>> {
        let shares = self.answer.shares(action).iter();
        shares
            .map(|share| {
                let bake = share.bake.map(|bake| self.bake(bake));
                (bake, share.wet, share.place.as_deref())
            })
            .collect()
    }
}
