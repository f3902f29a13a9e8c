//! Notes what stands on the tickets that hang on the tubs by now.

use crate::desk::Desk;
use crate::grain::LotCode;
use crate::keeping::TicketSays;

impl Desk {
    /// Notes what printed tickets say, so that Today can name those that are not true any more. No entry is written.
    pub fn note_tickets(&mut self, printed: &[(LotCode, TicketSays)]) -> anyhow::Result<()> {
        let view = self.view();
        let tickets = printed
            .iter()
            .map(|(lot, says)| Ok((view.lot(&lot.to_string())?, *says)))
            .collect::<anyhow::Result<Vec<_>>>()?;
        self.book.note_tickets(&tickets, self.now)
    }
}
