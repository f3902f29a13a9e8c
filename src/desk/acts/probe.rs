//! What somebody measured, was told or found of a lot.

use crate::desk::draws::{self, GoneOut};
use crate::desk::{Answer, Desk};
use crate::quantity::{Instant, Temperature, WaterActivity};
use crate::report::LotAnswer;

/// What was found of a lot.
#[derive(Debug, Clone, PartialEq)]
pub enum Found<'a> {
    /// The temperature in the middle of the grain.
    Temperature(Temperature),
    /// The water activity of dried grain.
    Activity(WaterActivity),
    /// Mould, a sour smell, gas, in words.
    Spoiled(&'a str),
    /// All of it was cold from then on and was kept so, by the word of this person.
    Cooled(&'a str),
}

/// A finding at a moment.
pub struct Probe<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// What was found.
    pub found: Found<'a>,
    /// When; of a word, from when on the grain was cold.
    pub at: Instant,
}

impl Desk {
    /// Records what was found of a lot, and tells what was used or given away by then and should not have been.
    pub fn probe(&mut self, request: &Probe<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let at = request.at;
        let (lot, unusable, lacking) = self.act_on_lot(request.lot, |act, lot| {
            let gone_out = GoneOut::of(act.view(), vec![lot.clone()])?;
            match request.found {
                Found::Temperature(temperature) => {
                    act.reading(&lot, at, temperature.of_grain()?)?
                }
                Found::Activity(activity) => act.activity(&lot, at, activity)?,
                Found::Spoiled(found) => act.spoiled(&lot, at, found)?,
                Found::Cooled(reported_by) => act.cooled(&lot, at, reported_by)?,
            };
            Ok((lot, gone_out.newly_unusable(act.view())?))
        })?;
        Ok(self
            .lot_after(lot, lacking)?
            .with_notices(draws::told(&unusable)))
    }
}
