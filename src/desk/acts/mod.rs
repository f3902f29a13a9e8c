//! What can be done to the book, one file for each act. Every act goes through the guard.

mod count;
mod discard;
mod finish_bake;
mod formula;
mod join;
mod moisture_test;
mod move_lot;
mod pickup;
mod place;
mod plan_bake;
mod portion;
mod probe;
mod readings;
mod settings;
mod strike;
mod treat;
mod use_grain;

pub use count::Count;
pub use discard::Discard;
pub use finish_bake::FinishBake;
pub use join::Join;
pub use moisture_test::RecordTest;
pub use move_lot::MoveLot;
pub use pickup::{BookedIn, TakePickups};
pub use place::StatePlace;
pub use plan_bake::{AddBake, BakeWishes, ChangeBake};
pub use portion::{Portion, PortionsMade};
pub use probe::{Found, Probe};
pub use readings::LoggedAir;
pub use strike::{Strike, Struck};
pub use treat::Treat;
pub use use_grain::UseGrain;

use super::{Answer, Desk, Notice, facts};
use crate::ledger::LotRecord;
use crate::report::LotAnswer;

impl Desk {
    /// A lot as it stands after an act on it.
    fn lot_after(&self, lot: LotRecord, notices: Vec<Notice>) -> anyhow::Result<Answer<LotAnswer>> {
        let answer = facts::answer(self.view(), lot, self.now)?;
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions).with_notices(notices))
    }
}
