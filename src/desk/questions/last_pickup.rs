//! The last pickup: the next one is often like it.

use crate::desk::{Answer, Desk, Refusal};
use crate::ledger::LotRecord;

/// What came in last.
#[derive(Debug, Clone)]
pub struct LastPickup {
    /// The lot.
    pub lot: LotRecord,
    /// Where it was put.
    pub place: String,
}

impl Desk {
    /// The last pickup of one source, or of any.
    ///
    /// # Errors
    ///
    /// [`Refusal::NoPickupYet`] where there was none.
    pub fn last_pickup(&self, source: Option<&str>) -> anyhow::Result<Answer<LastPickup>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let lot = view
            .latest_arrival(source)?
            .ok_or_else(|| Refusal::NoPickupYet(source.map(str::to_owned)))?;
        let place = view.place_of_arrival(&lot)?;
        Ok(Answer::new(LastPickup { lot, place }, Vec::new()))
    }
}
