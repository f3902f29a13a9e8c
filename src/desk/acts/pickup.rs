//! Books in grain fetched from a source, one lot or a whole file of them.

use crate::desk::facts::FactFinder;
use crate::desk::guard::Touches;
use crate::desk::{Answer, Desk};
use crate::ledger::NewPickup;
use crate::quantity::Milligrams;
use crate::report::shelf::ShelfAnswer;
use crate::report::{Caution, LotAnswer};

/// Takes some of the pickups of a file; an error of it ends the file.
pub type TakePickups<'a> = dyn FnMut(&[NewPickup<'_>]) -> anyhow::Result<()> + 'a;

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
        let (lot, _) = self.act(Touches::Nothing, |act| act.pickup(new))?;
        let mut answer = self.lot_after(lot, Vec::new())?;
        if answer.answer.may_be_hot() {
            answer.cautions.push(Caution::HotGrain);
        }
        answer.cautions.push(Caution::Gluten);
        Ok(answer)
    }

    /// Books in all that `feed` hands over, or nothing where it fails. Up to `shown` lots are answered one by one.
    pub fn pickups(
        &mut self,
        shown: usize,
        feed: impl FnOnce(&mut TakePickups<'_>) -> anyhow::Result<()>,
    ) -> anyhow::Result<Answer<BookedIn>> {
        let ((number, records), _) = self.act(Touches::Nothing, |act| {
            let (mut number, mut records) = (0, Vec::new());
            feed(&mut |pickups| {
                let lots = act.pickups(pickups)?;
                number += lots.len();
                if number <= shown {
                    records.extend(lots);
                } else {
                    records.clear();
                }
                Ok(())
            })?;
            Ok((number, records))
        })?;
        let view = self.view();
        let mut finder = FactFinder::new(view)?;
        let lots = records
            .into_iter()
            .map(|lot| finder.answer(lot, self.now))
            .collect::<anyhow::Result<Vec<_>>>()?;
        let cautions = if lots.is_empty() {
            Vec::new()
        } else {
            ShelfAnswer::new(self.now, lots.clone(), Vec::new()).cautions()
        };
        let answer = BookedIn {
            number,
            lots,
            on_hand: view.on_hand_total()?,
        };
        Ok(Answer::new(answer, cautions))
    }
}
