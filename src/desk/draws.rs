//! Grain that was used or given away, judged at its moment by what the book knows now.

use super::facts::FactFinder;
use crate::grain::LotCode;
use crate::keeping::{Assessment, Verdict};
use crate::ledger::{Gone, LotRecord, Of, Outflow, View};
use crate::quantity::{Instant, Milligrams};
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// Grain that was used or given away when it was past or unknown, as is known by now.
#[derive(Debug, Clone, PartialEq)]
pub struct UnusableDraw {
    /// Its lot.
    pub lot: LotCode,
    /// How much.
    pub wet: Milligrams,
    /// Into which bake, or to whom.
    pub what: String,
    /// When.
    pub at: Instant,
    /// What it was then.
    pub verdict: Verdict,
    /// The limit that binds, in words.
    pub limit: String,
}

/// What the keeping clock says of a lot at a moment, asked once for each.
type Known = HashMap<(LotCode, Instant), Assessment>;

/// Outflows, each told whether it was past or unknown when people got it.
pub(super) fn judged(view: View<'_>, mut outflows: Vec<Outflow>) -> anyhow::Result<Vec<Outflow>> {
    let (mut finder, mut known) = (FactFinder::new(view)?, Known::new());
    for out in &mut outflows {
        if matches!(out.to, Gone::Bake { .. } | Gone::Said | Gone::Given) {
            let keeping = keeping_then(&mut finder, &mut known, out)?;
            out.unusable = !keeping.verdict.may_be_used();
        }
    }
    Ok(outflows)
}

fn keeping_then<'k>(
    finder: &mut FactFinder<'_>,
    known: &'k mut Known,
    out: &Outflow,
) -> anyhow::Result<&'k Assessment> {
    Ok(match known.entry((out.lot.code, out.at)) {
        Entry::Occupied(known) => known.into_mut(),
        Entry::Vacant(place) => place.insert(finder.keeping(&out.lot, out.at)?),
    })
}

/// Which of these outflows people ate or are to eat, and were past or unknown when they left.
fn unusable(view: View<'_>, outflows: &[Outflow]) -> anyhow::Result<Vec<UnusableDraw>> {
    let (mut finder, mut known) = (FactFinder::new(view)?, Known::new());
    let mut found = Vec::new();
    for out in outflows {
        let words = out.words.clone().unwrap_or_default();
        let what = match out.to {
            Gone::Bake { code, .. } => format!("{code}, {words}"),
            Gone::Said | Gone::Given => words,
            Gone::Discard(_) | Gone::Treatment | Gone::Count => continue,
        };
        let keeping = keeping_then(&mut finder, &mut known, out)?;
        if !keeping.verdict.may_be_used() {
            found.push(UnusableDraw {
                lot: out.lot.code,
                wet: out.wet,
                what,
                at: out.at,
                verdict: keeping.verdict,
                limit: keeping.binding.limit.clone(),
            });
        }
    }
    Ok(found)
}

/// The same of everything that was made of these lots.
pub(super) fn unusable_of(view: View<'_>, lots: &[LotRecord]) -> anyhow::Result<Vec<UnusableDraw>> {
    let family = view.descendants(&lots.iter().collect())?;
    let numbers = view.outflow_numbers(&family, Of::All)?;
    unusable(view, &view.outflows(&numbers)?)
}

/// Those that are unusable now and were not before.
pub(super) fn newly(before: &[UnusableDraw], after: Vec<UnusableDraw>) -> Vec<UnusableDraw> {
    let key = |draw: &UnusableDraw| (draw.lot, draw.at, draw.what.clone());
    let known: Vec<_> = before.iter().map(key).collect();
    after
        .into_iter()
        .filter(|draw| !known.contains(&key(draw)))
        .collect()
}
