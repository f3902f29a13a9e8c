//! What the air of a place was, and what that did to the lots in it.

use crate::desk::{Answer, Desk};
use crate::quantity::Instant;
use crate::report::air::{AirAnswer, GrainInAir, Looked};

impl Desk {
    /// What the readings of a place come to, from one moment to another where they are given.
    pub fn air(
        &self,
        place: &str,
        from: Option<Instant>,
        to: Option<Instant>,
    ) -> anyhow::Result<Answer<AirAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let about = view.about();
        // Nothing is known of a time to come, so it is no end.
        let asked = (from, to.filter(|to| *to < self.now));
        let place = view.place(place)?;
        let rows = view.air_readings(&place, asked.0, asked.1)?;
        let left_out = view.left_out(&place)?;
        let mut answer = AirAnswer::new((place, rows, left_out), asked, self.now, &about.rules);
        if let Some((layer, curve)) = view.grain_in_air(&answer.place, &answer.counts, asked.1)
            && let Some(watch) = &answer.watch
        {
            answer.grain = GrainInAir::new(layer, curve, watch, &about.rules);
        }
        if let Some(period) = answer.period() {
            answer.look_at(&Looked {
                rules: &about.rules,
                zone: &about.zone,
                lots: view.stayed_in(&answer.place, period)?,
            });
        }
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }
}
