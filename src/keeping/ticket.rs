//! What a ticket says of the keeping of a lot, and when that is not true any more.

use super::{Assessment, Verdict};
use crate::quantity::Instant;

/// What the ticket of a lot says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TicketSays {
    /// The date on it; nothing for frozen and dried grain, and where it was not known.
    pub keep_until: Option<Instant>,
    /// Whether the grain may be used.
    pub usable: bool,
}

impl TicketSays {
    /// What a ticket says that is printed now.
    pub fn of(keeping: &Assessment) -> Self {
        Self {
            keep_until: keeping.keep_until,
            usable: keeping.verdict.may_be_used(),
        }
    }

    /// Whether the lot is not as this says any more. Of a past one nothing is printed: it is thrown away.
    pub fn is_untrue(&self, now: &Assessment) -> bool {
        now.verdict != Verdict::Past && *self != Self::of(now)
    }
}
