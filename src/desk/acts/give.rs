//! Gives or sells grain to somebody as food.

use super::{counted_since, made_of, part_spoiled, written_twice};
use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice, guard};
use crate::quantity::{Instant, Milligrams};
use crate::report::{Caution, LotAnswer};

/// What is given to whom.
pub struct Give<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How much wet grain; nothing for all that is left.
    pub wet: Option<Milligrams>,
    /// To whom: the next to be told in a recall.
    pub to: &'a str,
    /// When it was handed over.
    pub at: Instant,
}

impl Desk {
    /// Gives grain away as food. What was past or unknown when it was handed over is refused, unless the book did not know it
    /// yet.
    pub fn give(&mut self, request: &Give<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let at = request.at;
        let ((lot, told, handled), lacking) = self.act(Compare::Promises, |act| {
            let lot = act.view().lot(request.lot)?;
            act.refuse_future(at)?;
            let answer = guard::handed_out(act, &lot, at)?;
            let wet = match request.wet {
                Some(wet) => wet,
                None => act.view().left_or_refuse(&lot)?,
            };
            let entry = match act.give(&lot, at, wet, request.to) {
                Err(error) => return Err(made_of::went_on(act, error, &lot, (wet, at))?),
                Ok(entry) => entry,
            };
            let mut told = vec![Notice::Given {
                wet,
                to: request.to.to_owned(),
                at,
                verdict: answer.keeping.verdict,
            }];
            told.extend(written_twice(act.view(), &[entry])?);
            told.extend(counted_since(act.view(), &lot, at)?);
            told.extend(part_spoiled(act.view(), &lot)?);
            told.extend(guard::unusable_then_or_by_now(
                act.view(),
                &[entry],
                &lot,
                act.now(),
            )?);
            Ok((lot, told, answer.cautions_of_handled(wet)))
        })?;
        let mut cautions = handled;
        cautions.extend([Caution::Gluten, Caution::FoodForOthers]);
        cautions.extend(Caution::of_allergens(lot.allergens()));
        if !lot.form.is_dry() {
            cautions.push(Caution::AirtightPacks);
        }
        let answer = self.lot_after(lot, lacking)?;
        Ok(answer.with_cautions(cautions).with_notices(told))
    }
}
