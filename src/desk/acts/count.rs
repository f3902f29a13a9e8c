//! Weighs what is left of a lot and books the difference.

use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk};
use crate::quantity::{Instant, Milligrams};
use crate::report::count::CountAnswer;

/// What was found when a lot was weighed.
pub struct Count<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// What is left of it.
    pub found: Milligrams,
    /// When it was weighed.
    pub at: Instant,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Books the difference between what the book says and what was found.
    pub fn count(&mut self, request: &Count<'_>) -> anyhow::Result<Answer<CountAnswer>> {
        let ((lot, booked, less), lacking) = self.act(Compare::Promises, |act| {
            let lot = act.view().lot(request.lot)?;
            let (booked, less) = act.count(&lot, request.at, request.found, request.note)?;
            Ok((lot, booked, less))
        })?;
        Ok(self.lot_after(lot, lacking)?.map(|lot| CountAnswer {
            lot,
            booked,
            found: request.found,
            less,
        }))
    }
}
