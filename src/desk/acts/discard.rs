//! Throws grain away, with the reason.

use super::written_twice;
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Refusal};
use crate::grain::Ending;
use crate::quantity::{Instant, Milligrams};
use crate::report::{Caution, LotAnswer};

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
    /// Throws grain away. Any grain may go, whatever its verdict; but what was found spoiled is no feed.
    pub fn discard(&mut self, request: &Discard<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let (lot, twice, lacking) = self.act_on_lot(request.lot, |act, lot| {
            let wet = match request.wet {
                Some(wet) => wet,
                None => act.view().left_or_refuse(&lot)?,
            };
            if request.ending == Some(Ending::Feed)
                && FactFinder::new(act.view())?.was_found_spoiled(&lot)?
            {
                return Err(Refusal::SpoiledAsFeed(lot.code).into());
            }
            let entry = act.discard(&lot, request.at, wet, request.reason, request.ending)?;
            let twice = written_twice(act.view(), entry)?;
            Ok((lot, twice))
        })?;
        let is_feed = request.ending == Some(Ending::Feed);
        let feed = is_feed.then_some(Caution::FeedIsRegulated);
        let answer = self.lot_after(lot, lacking)?;
        let answer = answer.with_notices(twice);
        Ok(answer.with_cautions(feed.into_iter().chain([Caution::HopsPoisonDogs])))
    }
}
