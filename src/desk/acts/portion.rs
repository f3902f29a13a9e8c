//! Parts a lot into tubs or bags, each a lot with the same history and a code of its own.

use super::{found_since, written_twice};
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, Refusal, facts, thawing};
use crate::grain::Portions;
use crate::ledger::LotRecord;
use crate::quantity::{Instant, Length, Milligrams};
use crate::report::{Caution, LotAnswer};

/// How a lot is parted.
pub struct Portion<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How many of which weight; what is over stays in the lot.
    pub into: &'a [Portions],
    /// The place they go to; nothing for where the lot is.
    pub to: Option<&'a str>,
    /// When they were weighed out.
    pub at: Instant,
    /// How thick each lies, where that is known.
    pub depth: Option<Length>,
    /// A note.
    pub note: Option<&'a str>,
}

/// The portions that were made, as they stand now.
pub type PortionsMade = Vec<LotAnswer>;

impl Desk {
    /// Parts a lot.
    pub fn portion(&mut self, request: &Portion<'_>) -> anyhow::Result<Answer<PortionsMade>> {
        let (_, (lot, portions, told), lacking) = self.act_on_lot(request.lot, |act, lot| {
            let left = act.view().left_or_refuse(&lot)?;
            refuse_too_much(&lot, left, request.into)?;
            let to = facts::place_or_own(act.view(), &lot, (request.to, request.at))?;
            let before = act.view().last_entry()?;
            let mut portions = Vec::new();
            for wanted in request.into {
                for _ in 0..wanted.number {
                    portions.push(act.part(
                        &lot,
                        request.at,
                        wanted.each,
                        &to,
                        (request.note, request.depth),
                    )?);
                }
            }
            // All of them have one history, so the guard needs to see but one.
            let one = portions.last().unwrap_or(&lot).clone();
            let written: Vec<i64> = (before + 1..=act.view().last_entry()?).collect();
            let mut told = Vec::from_iter(written_twice(act.view(), &written)?);
            // The answer shows the first one, and says that the others are like it.
            if let Some(first) = portions.first() {
                told.extend(found_since(act, first, request.at)?);
            }
            Ok((one, (lot, portions, told)))
        })?;
        let view = self.view();
        let frozen = thawing::of_frozen(view, &portions, self.now)?;
        let _still = view.hold_still()?;
        let as_of = self.as_of()?;
        let mut finder = FactFinder::new(view)?;
        let answers = portions
            .into_iter()
            .map(|portion| self.shown(finder.facts(portion)?, as_of))
            .collect::<anyhow::Result<PortionsMade>>()?;
        let mut cautions = answers.first().map(LotAnswer::cautions).unwrap_or_default();
        cautions.extend(answers.iter().filter_map(|lot| Caution::of_weight(lot.wet)));
        if !lot.form.is_dry() {
            cautions.push(Caution::AirtightPacks);
        }
        let left = Notice::LeftOf(lot.code, view.left(&lot)?);
        Ok(Answer::new(answers, Vec::new())
            .with_cautions(cautions)
            .with_notices(lacking)
            .with_notices([left])
            .with_notices(frozen)
            .with_notices(told))
    }
}

fn refuse_too_much(lot: &LotRecord, left: Milligrams, wanted: &[Portions]) -> Result<(), Refusal> {
    let number: u32 = wanted.iter().map(|one| one.number).sum();
    if number > Portions::MOST {
        return Err(Refusal::TooManyPortions {
            number,
            most: Portions::MOST,
        });
    }
    let all = wanted
        .iter()
        .map(|one| i64::from(one.number) * one.each.get())
        .sum();
    let all = Milligrams::new(all);
    if all > left {
        return Err(Refusal::PortionsTooHeavy {
            lot: lot.code,
            left,
            number,
            all,
        });
    }
    Ok(())
}
