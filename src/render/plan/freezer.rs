//! What a plan says of bags, frozen blocks and how long grain thaws.

use super::Words;
use crate::keeping::PlaceKind;
use crate::planning::plan::{Action, Work};
use crate::quantity::Milligrams;
use crate::render::numbers::Units;
use crate::render::times;
use std::collections::BTreeSet;

/// `; frozen in one block, all 1 kg of LOT comes out`: where a dough takes less than that.
pub(in crate::render) fn out_whole(
    all: Milligrams,
    lot: &str,
    taken: Milligrams,
    units: Units,
) -> String {
    format!(
        "; frozen in one block, all {} of {lot} comes out: {} goes into the dough, the rest is thawed with it",
        units.weighed(all),
        units.weighed(taken)
    )
}

/// What is told of grain that is frozen in portions.
pub(in crate::render) const NOT_SPLIT: &str = "You cannot split a portion once it is frozen. Use as many flat bags for it as you need, and mark each bag with its bake.";

/// `2.5 kg for B-1S` and `3.7 kg to spare`; nothing where it is one portion.
fn portion_words(portions: &[(Option<&str>, Milligrams)], units: Units) -> Option<Vec<String>> {
    let words = portions.iter().map(|(bake, wet)| match bake {
        Some(bake) => format!("{} for {bake}", units.weighed(*wet)),
        None => format!("{} to spare", units.weighed(*wet)),
    });
    (portions.len() > 1).then(|| words.collect())
}

/// `, in 2 portions: 2.5 kg for B-1S, 3.7 kg to spare`; nothing where it is one.
pub(in crate::render) fn in_portions(
    portions: &[(Option<&str>, Milligrams)],
    units: Units,
) -> Option<String> {
    portion_words(portions, units).map(|words| in_so_many(&words))
}

/// The same of portions that are in words.
pub(super) fn in_so_many(words: &[String]) -> String {
    format!(", in {} portions: {}", words.len(), words.join(", "))
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
        let lot = &self.answer.ground.situation.lots[action.lot];
        let is_part = action.work == Work::Thaw
            && lot.place_kind == PlaceKind::Freezer
            && action.wet < lot.wet;
        is_part.then(|| out_whole(lot.wet, &lot.code, action.wet, self.units))
    }

    /// The portions in which a job freezes grain, see [`portion_words`].
    pub(super) fn portions(&self, action: &Action) -> Option<Vec<String>> {
        let bags = self.answer.bags(action).into_iter();
        let portions = bags.map(|(bake, wet)| (bake.map(|bake| self.bake(bake)), wet));
        portion_words(&portions.collect::<Vec<_>>(), self.units)
    }
}
