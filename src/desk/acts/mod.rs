//! What can be done to the book, one file for each act. Every act that writes entries goes through the guard.

mod accept_plan;
mod bakes;
mod correct;
mod count;
mod discard;
mod far_from_sheet;
mod findings;
mod finish_bake;
mod formula;
mod give;
mod join;
mod made_of;
mod moisture_test;
mod move_lot;
mod note_tickets;
mod other_grain;
mod pickup;
mod place;
mod portion;
mod probe;
mod readings;
mod settings;
mod source;
mod strike;
mod treat;
mod use_grain;

pub use bakes::{AddBake, BakeWishes, ChangeBake};
pub use correct::{Correct, Corrected, Correction};
pub use count::Count;
pub use discard::Discard;
pub use far_from_sheet::FarFromSheet;
pub use finish_bake::FinishBake;
pub use give::Give;
pub use join::Join;
pub use moisture_test::RecordTest;
pub use move_lot::MoveLot;
pub use pickup::{BookedIn, TakePickups};
pub use place::{StatePlace, kind_of_new_place};
pub use portion::{Portion, PortionsMade};
pub use probe::{Found, Probe};
pub use readings::{LoggedAir, TooCold};
pub use source::called_alike;
pub use strike::{Strike, Struck};
pub use treat::Treat;
pub use use_grain::UseGrain;

use super::facts::FactFinder;
use super::{Answer, CountedSince, Desk, Notice, Refusal, guard};
use crate::keeping::{History, QUICKEST_COOLING, RuleSet, Verdict};
use crate::ledger::{Act, Detail, LotRecord, View};
use crate::quantity::{Instant, Milligrams, Temperature};
use crate::report::LotAnswer;
use std::collections::BTreeSet;

impl Desk {
    /// A lot as it stands after an act on it.
    fn lot_after(&self, lot: LotRecord, notices: Vec<Notice>) -> anyhow::Result<Answer<LotAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let facts = FactFinder::new(view)?.facts(lot)?;
        let answer = self.shown(facts, self.as_of()?)?;
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions).with_notices(notices))
    }

    /// The same of several lots, each caution once.
    fn lots_after(
        &self,
        lots: Vec<LotRecord>,
        notices: Vec<Notice>,
    ) -> anyhow::Result<Answer<Vec<LotAnswer>>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let as_of = self.as_of()?;
        let mut finder = FactFinder::new(view)?;
        let answers = lots
            .into_iter()
            .map(|lot| self.shown(finder.facts(lot)?, as_of))
            .collect::<anyhow::Result<Vec<_>>>()?;
        let cautions: BTreeSet<_> = answers.iter().flat_map(LotAnswer::cautions).collect();
        let cautions = cautions.into_iter().collect();
        Ok(Answer::new(answers, cautions).with_notices(notices))
    }
}

/// What is to be told where the same was written minutes before, or of a pickup at any time before.
fn written_twice(view: View<'_>, entries: &[i64]) -> anyhow::Result<Option<Notice>> {
    let (mut again, mut first) = (Vec::new(), None);
    for entry in entries {
        if let Some(earlier) = view.written_twice(*entry, entries[0])? {
            again.push(*entry);
            first.get_or_insert(earlier);
        }
    }
    Ok(first.map(|earlier| Notice::WrittenTwice {
        entries: again,
        earlier,
    }))
}

/// What is to be told where the grain was counted after the moment of an entry that is written late.
fn counted_since(view: View<'_>, lot: &LotRecord, at: Instant) -> anyhow::Result<Option<Notice>> {
    let Some(later) = view.counted_since(lot, at)? else {
        return Ok(None);
    };
    let Detail::Counted(count) = later.detail else {
        return Ok(None);
    };
    let booked = view.booked_before(lot, later.entry)?;
    let less = Milligrams::new(booked.get() - count.found.get());
    // A count whose difference is still right knew of it.
    if less == count.less {
        return Ok(None);
    }
    let beyond = view.most_found(lot, (booked, count.found), count.less)?;
    Ok(Some(Notice::CountedSince(CountedSince {
        entry: later.entry,
        at: later.at,
        found: count.found,
        less,
        is_too_much: beyond.is_some(),
    })))
}

/// What is to be told of a lot of which, or of what it was made of, a part was thrown away as spoiled, and of one whose grain
/// had left such a lot before.
fn part_spoiled(view: View<'_>, lot: &LotRecord) -> anyhow::Result<Option<Notice>> {
    let part = FactFinder::new(view)?.spoiled_part(lot, Instant::MAX_UTC)?;
    Ok(part.map(|part| Notice::PartSpoiled(lot.code, part)))
}

/// What is to be told of a lot that is made now at an earlier moment: a part of its grain was thrown away as spoiled since then, or it
/// is past by now.
fn found_since(act: &Act<'_>, made: &LotRecord, at: Instant) -> anyhow::Result<Vec<Notice>> {
    let (view, now) = (act.view(), act.now());
    if at >= now {
        return Ok(Vec::new());
    }
    let mut finder = FactFinder::new(view)?;
    let part = finder.spoiled_part(made, Instant::MAX_UTC)?;
    let part = part.filter(|part| part.at > at);
    let mut told = Vec::from_iter(part.map(|part| Notice::PartSpoiled(made.code, part)));
    let is = finder.keeping(made, guard::judged_as_of(view, now)?)?;
    if is.verdict == Verdict::Past {
        told.push(Notice::OnHandUnusable {
            lot: made.code,
            verdict: is.verdict,
            limit: is.binding.limit,
        });
    }
    Ok(told)
}

/// Refuses that grain lies in a closed place by an act that puts it back.
fn refuse_in_closed_place(view: View<'_>, lot: &LotRecord, now: Instant) -> anyhow::Result<()> {
    if let Some((_, place, _)) = view.held(lot, &view.places()?)? {
        view.open_place(&place, now)?;
    }
    Ok(())
}

/// What is to be told of a temperature that was measured in a lot, by this entry.
fn measured(
    entry: i64,
    mash_out: Option<Instant>,
    temperature: Temperature,
    at: Instant,
    rules: &RuleSet,
) -> Vec<Notice> {
    let mut told = vec![Notice::Measured { temperature, at }];
    let minutes = mash_out.map(|mash_out| (at - mash_out).num_minutes());
    if let Some(minutes) = minutes
        && minutes < QUICKEST_COOLING.num_minutes()
        && rules.cooling.first_to.at_or_below(temperature)
    {
        told.push(Notice::CooledFast {
            temperature,
            minutes,
            entry,
        });
    }
    told
}

/// A temperature, if the grain of a lot can have had it then: wet grain that no freezer held is not colder than ice.
fn possible(
    view: View<'_>,
    lot: &LotRecord,
    at: Instant,
    temperature: Temperature,
) -> anyhow::Result<Temperature> {
    if !lot.form.is_dry() && !was_frozen(view, lot, at)? {
        return Ok(temperature.of_unfrozen_grain()?);
    }
    Ok(temperature.of_grain()?)
}

/// Whether a lot, or grain that is in it, was in a freezer by a moment.
fn was_frozen(view: View<'_>, lot: &LotRecord, by: Instant) -> anyhow::Result<bool> {
    let histories = FactFinder::new(view)?.histories(lot)?;
    let mut frozen_at = histories.iter().flat_map(History::frozen_at);
    Ok(frozen_at.any(|at| at <= by))
}

/// The lots of these codes; a lot that is named twice is refused.
fn lots_named_once<'a>(
    view: View<'_>,
    codes: impl IntoIterator<Item = &'a String>,
) -> anyhow::Result<Vec<LotRecord>> {
    let mut lots = Vec::new();
    for code in codes {
        let lot = view.lot(code)?;
        refuse_twice(&lots, &lot)?;
        lots.push(lot);
    }
    Ok(lots)
}

/// Refuses a lot that is among those named before.
fn refuse_twice(lots: &[LotRecord], lot: &LotRecord) -> Result<(), Refusal> {
    if lots.iter().any(|known| known.code == lot.code) {
        return Err(Refusal::NamedTwice(lot.code.to_string()));
    }
    Ok(())
}
