//! What a sheet says of grain that its plan dries first: by when it goes into the dryer, and by when it is shown dry.

use super::Words;
use crate::quantity::{Instant, Milligrams};
use crate::report::sheet::StillTo;

impl Words<'_> {
    /// What is still to be dried for the bake, or to be shown dry.
    pub(super) fn dry(&self) -> Vec<String> {
        let draws = self.answer.draws.iter();
        let line = |(lot, still_to): (&String, StillTo)| match still_to {
            StillTo::Freeze(_) => None,
            StillTo::Dry(by, wet) => Some(self.still_to_be_dried(lot, (by, wet))),
            StillTo::ShowDry(by) => Some(format!(
                "SHOW DRY: measure the water activity of {lot} by {}. If it is not shown dry in time, do not use {lot}",
                self.when(by)
            )),
        };
        draws
            .filter_map(|draw| line((&draw.lot, draw.still_to?)))
            .collect()
    }

    fn still_to_be_dried(&self, lot: &str, (by, wet): (Instant, Milligrams)) -> String {
        let (bake, when) = (&self.answer.bake, self.when(by));
        let (what, start) = if by < self.answer.printed_at {
            (
                "DRY NOW",
                format!("Drying was to start by {when}; it still helps"),
            )
        } else {
            ("DRY", format!("Start drying by {when}, as planned"))
        };
        format!(
            "{what}: {} of {lot} is still to be dried for {bake}. {start}. If it is not dried in time, do not use {lot}. Once it is dried, make this sheet again: its weights are for grain dried as planned",
            self.units.weighed(wet)
        )
    }
}
