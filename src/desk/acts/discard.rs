//! Throws grain away, with the reason.

use super::probe::of_the_same_grain;
use super::{counted_since, made_of, part_spoiled, written_twice};
use crate::desk::facts::{self, FactFinder};
use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice, Refusal, draws, guard};
use crate::grain::{Ending, names_feed};
use crate::keeping::names_spoilage;
use crate::ledger::{Act, LotRecord, View};
use crate::quantity::{Instant, Milligrams};
use crate::report::{Caution, LotAnswer};

/// Refuses grain as feed that was found spoiled by the time at which it goes, or of which a part was thrown away as spoiled by
/// then; so of what was made of such grain, before that or since.
pub(super) fn refuse_spoiled_as_feed(
    view: View<'_>,
    lot: &LotRecord,
    at: Instant,
) -> anyhow::Result<()> {
    let mut finder = FactFinder::new(view)?;
    if finder.spoiled_part(lot, at)?.is_some() || finder.was_found_spoiled(lot, at)? {
        return Err(Refusal::SpoiledAsFeed(lot.code).into());
    }
    Ok(())
}

/// Refuses grain as feed whose reason speaks of mould, rot or a bad smell.
pub(super) fn refuse_named_mould(lot: &LotRecord, reason: &str) -> Result<(), Refusal> {
    if names_spoilage(reason) {
        return Err(Refusal::SpoiledAsFeed(lot.code));
    }
    Ok(())
}

/// Refuses grain as feed that is spoiled by what the book or the reason says.
fn refuse_bad_feed(
    view: View<'_>,
    lot: &LotRecord,
    reason: &str,
    at: Instant,
) -> anyhow::Result<()> {
    refuse_named_mould(lot, reason)?;
    refuse_spoiled_as_feed(view, lot, at)
}

/// Refuses grain whose reason names animals or feed where nobody says how it ends: as feed where it is spoiled, else until that
/// is said.
pub(super) fn refuse_unsaid_feed(
    view: View<'_>,
    lot: &LotRecord,
    reason: &str,
    at: Instant,
) -> anyhow::Result<()> {
    if names_feed(reason) {
        refuse_bad_feed(view, lot, reason, at)?;
        return Err(Refusal::FeedUnsaid(lot.code).into());
    }
    Ok(())
}

/// What there is to tell of a lot that was not found spoiled before, where a reason for which some of it is thrown away names
/// spoilage: what was made of the same grain may be as bad, and so may the rest.
pub(super) fn found_by_reason(act: &Act<'_>, lot: &LotRecord) -> anyhow::Result<Vec<Notice>> {
    let mut told = Vec::from_iter(of_the_same_grain(act.view(), lot)?);
    if act.view().left(lot)?.is_some() {
        let rest = FactFinder::new(act.view())?.keeping(lot, act.now())?;
        told.push(Notice::ReasonNamesSpoilage(lot.code, rest.verdict));
    }
    Ok(told)
}

/// What is thrown away.
pub struct Discard<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How much wet grain; nothing for all that is left.
    pub wet: Option<Milligrams>,
    /// Why.
    pub reason: &'a str,
    /// How it ends, where that is said.
    pub ending: Option<Ending>,
    /// When.
    pub at: Instant,
}

impl Desk {
    /// Throws grain away. Any grain may go, whatever its verdict; but what was found spoiled by then is no feed, nor
    /// what is or was thrown away for mould or rot by the words of a reason. What animals got before that is told.
    pub fn discard(&mut self, request: &Discard<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let ((lot, told, handled), lacking) = self.act(Compare::Promises, |act| {
            let lot = act.view().lot(request.lot)?;
            let wet = match request.wet {
                Some(wet) => wet,
                None => act.view().left_or_refuse(&lot)?,
            };
            match request.ending {
                Some(Ending::Feed) => {
                    refuse_bad_feed(act.view(), &lot, request.reason, request.at)?;
                }
                Some(Ending::Compost | Ending::Waste) => {}
                None => refuse_unsaid_feed(act.view(), &lot, request.reason, request.at)?,
            }
            let is_spoiled =
                FactFinder::new(act.view())?.was_found_spoiled(&lot, Instant::MAX_UTC)?;
            let is_found_now = names_spoilage(request.reason) && !is_spoiled;
            let entry = match act.discard(&lot, request.at, wet, request.reason, request.ending) {
                Err(error) => return Err(made_of::went_on(act, error, &lot, (wet, request.at))?),
                Ok(entry) => entry,
            };
            let reason = request.reason.to_owned();
            let mut told = vec![Notice::Discarded(wet, request.ending, reason, request.at)];
            told.extend(written_twice(act.view(), &[entry])?);
            told.extend(counted_since(act.view(), &lot, request.at)?);
            told.extend(draws::feed_of_spoiled(act.view(), &lot, entry)?);
            if request.ending == Some(Ending::Feed) {
                told.extend(part_spoiled(act.view(), &lot)?);
            }
            if is_found_now {
                told.extend(found_by_reason(act, &lot)?);
            }
            if act.view().left(&lot)?.is_some() {
                let then = FactFinder::new(act.view())?.keeping(&lot, request.at)?;
                if then.verdict.may_be_used() {
                    told.extend(guard::unusable_by_now(act.view(), &lot, act.now())?);
                }
            }
            let then = facts::answer_at(act.view(), lot.clone(), request.at)?;
            Ok((lot, told, then.cautions_of_handled(wet)))
        })?;
        let is_feed = request.ending == Some(Ending::Feed);
        let feed = is_feed.then_some(Caution::FeedIsRegulated);
        let answer = self.lot_after(lot, lacking)?;
        Ok(answer
            .with_notices(told)
            .with_cautions(handled)
            .with_cautions(feed.into_iter().chain([Caution::HopsPoisonDogs])))
    }
}
