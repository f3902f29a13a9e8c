//! Moves a lot, or a part of it that becomes a lot of its own with the same history.

use crate::desk::{Answer, Desk};
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;

/// What is moved where.
pub struct MoveLot<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How much wet grain; nothing for all that is left.
    pub wet: Option<Milligrams>,
    /// The place it goes to.
    pub to: &'a str,
    /// When.
    pub at: Instant,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Moves grain.
    pub fn move_lot(&mut self, request: &MoveLot<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let (lot, (), lacking) = self.act_on_lot(request.lot, |act, lot| {
            let place = act.view().place(request.to)?;
            let left = act.view().left(&lot)?;
            let moved = match request.wet {
                Some(wet) if Some(wet) != left => {
                    act.move_part(&lot, request.at, wet, &place, request.note)?
                }
                _ => {
                    act.move_all(&lot, request.at, &place, request.note)?;
                    lot
                }
            };
            Ok((moved, ()))
        })?;
        self.lot_after(lot, lacking)
    }
}
