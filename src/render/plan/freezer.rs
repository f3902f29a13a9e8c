//! What a plan says of bags, frozen blocks and how long grain thaws.

use super::Words;
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
pub(super) fn portion_words(portions: &[Portion<'_>], units: Units) -> Option<Vec<String>> {
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
        let lot = action.block(&self.answer.ground.situation.lots)?;
        (action.wet < lot.wet).then(|| out_whole(lot.wet, &lot.code, action.wet, self.units))
    }

    /// The portions in which a job is done.
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
