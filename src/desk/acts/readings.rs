//! Takes in what a logger measured of the air of a place.

use crate::desk::guard::{Judged, Touches, judge_all};
use crate::desk::{Answer, Desk, Notice, draws};
use crate::ledger::{LotRecord, NewReadings};
use crate::report::readings::{Changed, ReadingsAnswer};

/// A logger's file, read.
pub struct LoggedAir<'a> {
    /// The place's name.
    pub place: &'a str,
    /// What was measured.
    pub readings: NewReadings<'a>,
    /// Rows without a temperature.
    pub empty: usize,
    /// Rows outside of the time asked for.
    pub outside: usize,
}

impl Desk {
    /// Takes readings in, and answers what they say and which lots on hand they change; what was used or given away by
    /// then and should not have been is told.
    pub fn take_readings(
        &mut self,
        request: &LoggedAir<'_>,
    ) -> anyhow::Result<Answer<ReadingsAnswer>> {
        let now = self.now;
        let rules = self.about().rules.clone();
        let new = &request.readings;
        let ((answer, unusable), lacking) = self.act(Touches::AllOnHand, |act| {
            let place = act.view().place(request.place)?;
            let before = judge_all(act.view(), now)?;
            let first = new.readings.iter().map(|(at, _)| *at).min();
            let lots: Vec<LotRecord> = act
                .view()
                .stayed_in(&place, (first.unwrap_or(now), now))?
                .into_iter()
                .map(|stayed| stayed.lot)
                .collect();
            let used_before = draws::unusable_of(act.view(), &lots)?;
            let read_in = act.readings(&place, new)?;
            let mut answer =
                ReadingsAnswer::new(&place.name, read_in, new.readings, new.scale, &rules);
            (answer.empty, answer.outside) = (request.empty, request.outside);
            answer.changed = changed(before, judge_all(act.view(), now)?);
            let used_after = draws::unusable_of(act.view(), &lots)?;
            Ok((answer, draws::newly(&used_before, used_after)))
        })?;
        let cautions = answer.cautions();
        let told = unusable.into_iter().map(Notice::UsedWhenUnusable);
        Ok(Answer::new(answer, cautions)
            .with_notices(lacking)
            .with_notices(told))
    }
}

/// Lots whose verdict or date is another one.
fn changed(mut before: Judged, after: Judged) -> Vec<Changed> {
    after
        .into_iter()
        .filter_map(|(lot, after)| {
            let before = before.remove(&lot)?;
            let same = (before.verdict, before.keep_until) == (after.verdict, after.keep_until);
            (!same).then_some(Changed { lot, before, after })
        })
        .collect()
}
