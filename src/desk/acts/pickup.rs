//! Books in grain fetched from a source, one lot or a whole file of them.

use super::probe::word_in_warmth;
use super::{measured, written_twice};
use crate::desk::facts::FactFinder;
use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice};
use crate::ledger::{LotRecord, NewPickup, View};
use crate::quantity::{Milligrams, text};
use crate::report::{Caution, LotAnswer};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// Takes some of the pickups of a file; an error of it ends the file.
pub type TakePickups<'a> = dyn FnMut(&[NewPickup<'_>]) -> anyhow::Result<()> + 'a;

/// What a lot weighs that is fetched for a bakery; more or less is told. Judgement.
const USUAL_WEIGHT: RangeInclusive<Milligrams> =
    Milligrams::new(100_000)..=Milligrams::new(300_000_000);

/// Days after which nobody fetches grain any more: judgement.
const LONG_AGO: i64 = 30;

/// What a file of pickups brought.
pub struct BookedIn {
    /// How many lots.
    pub number: usize,
    /// The lots in the order of the file; none where there are more than were to be shown.
    pub lots: Vec<LotAnswer>,
    /// Wet grain on hand now, of all lots.
    pub on_hand: Milligrams,
}

impl Desk {
    /// Books in a lot.
    pub fn pickup(&mut self, new: &NewPickup<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let ((lot, (twice, arrival)), _) = self.act(Compare::Nothing, |act| {
            let lot = act.pickup(new)?;
            let arrival = act.view().arrival_of(&lot)?;
            let twice = written_twice(act.view(), arrival.as_slice())?;
            Ok((lot, (twice, arrival)))
        })?;
        let since_mash = cools_since_mash_out(new, &lot, self.view())?;
        let doubtful = match new.cooled {
            Some((said, _)) => word_in_warmth(self.view(), &lot, (said, said))?,
            None => None,
        };
        let answer = self.lot_after(lot, Vec::new())?.with_notices(twice);
        let cautions = cautions_of(&answer.answer);
        let (rules, zone) = (&self.about().rules, self.zone());
        let told = new
            .temperature
            .zip(arrival)
            .map_or_else(Vec::new, |(temperature, entry)| {
                measured(entry, new.mash_out, temperature, new.collected, rules)
            });
        let days = (zone.date(new.collected) - answer.answer.lot.brewed_on(zone)).num_days();
        let long_ago = arrival.filter(|_| days > LONG_AGO);
        let unlikely = arrival.filter(|_| !USUAL_WEIGHT.contains(&new.wet));
        Ok(answer
            .with_cautions(cautions)
            .with_notices(told)
            .with_notices(doubtful)
            .with_notices(since_mash)
            .with_notices(long_ago.map(|entry| Notice::BrewedLongAgo { days, entry }))
            .with_notices(unlikely.map(|entry| Notice::UnlikelyWeight(new.wet, entry))))
    }

    /// Books in all that `feed` hands over, or nothing where it fails. Up to `shown` lots are answered one by one.
    pub fn pickups(
        &mut self,
        shown: usize,
        feed: impl FnOnce(&mut TakePickups<'_>) -> anyhow::Result<()>,
    ) -> anyhow::Result<Answer<BookedIn>> {
        let ((number, records, (known, alike), renamed), _) =
            self.act(Compare::Nothing, |act| {
                let before = act.view().last_entry()?;
                let (mut number, mut records, mut renamed) = (0, Vec::new(), BTreeMap::new());
                feed(&mut |pickups| {
                    let lots = act.pickups(pickups)?;
                    number += lots.len();
                    for (new, lot) in pickups.iter().zip(&lots) {
                        if !text::is_same_name(new.source, &lot.source) {
                            renamed.insert(new.source.to_owned(), lot.source.clone());
                        }
                    }
                    if number <= shown {
                        records.extend(lots);
                    } else {
                        records.clear();
                    }
                    Ok(())
                })?;
                let known = act.view().known_pickups(before, number)?;
                let mut alike = act.view().rows_alike(before)?;
                alike.retain(|entry| !known.contains(entry));
                Ok((number, records, (known, alike), renamed))
            })?;
        let view = self.view();
        let _still = view.hold_still()?;
        let as_of = self.as_of()?;
        let mut finder = FactFinder::new(view)?;
        let lots = records
            .into_iter()
            .map(|lot| self.shown(finder.facts(lot)?, as_of))
            .collect::<anyhow::Result<Vec<_>>>()?;
        let mut cautions = vec![Caution::DateIsARule];
        for lot in &lots {
            cautions.extend(lot.cautions());
            cautions.extend(cautions_of(lot));
        }
        let answer = BookedIn {
            number,
            lots,
            on_hand: view.on_hand_total()?,
        };
        let twice = (!known.is_empty()).then_some(Notice::ReadTwice {
            rows: number,
            entries: known,
        });
        let alike = (!alike.is_empty()).then_some(Notice::RowsAlike(alike));
        Ok(Answer::new(answer, Vec::new())
            .with_cautions(cautions)
            .with_notices(twice)
            .with_notices(alike)
            .with_notices(
                renamed
                    .into_iter()
                    .map(|(name, now)| Notice::CalledOtherwiseNow(name, now)),
            ))
    }
}

/// Whether the time that grain has to cool runs since mash-out and not since it was fetched: it is below the temperature that
/// would start it anew, above what the first stage allows, and was not shown to have cooled before.
fn cools_since_mash_out(
    new: &NewPickup<'_>,
    lot: &LotRecord,
    view: View<'_>,
) -> anyhow::Result<Option<Notice>> {
    let rules = &view.about().rules;
    let Some((temperature, mash_out)) = new.temperature.zip(new.mash_out) else {
        return Ok(None);
    };
    let is_between = !rules.hot.limit.at_or_above(temperature)
        && !rules.cooling.first_to.at_or_below(temperature);
    if !is_between || new.form.is_dry() {
        return Ok(None);
    }
    let histories = FactFinder::new(view)?.histories(lot)?;
    let cooled_before = histories
        .iter()
        .all(|history| history.cooling_is_shown(rules, mash_out));
    Ok((!cooled_before).then_some(Notice::CountsFromMashOut {
        temperature,
        hot: rules.hot.limit,
        mash_out,
    }))
}

/// What is to be told of grain that comes in, beside what is told of every lot.
fn cautions_of(lot: &LotAnswer) -> Vec<Caution> {
    let mut cautions = vec![Caution::Gluten, Caution::CleaningAgents];
    cautions.extend(Caution::of_allergens(lot.lot.allergens()));
    cautions.extend(Caution::of_weight(lot.wet));
    cautions
}
