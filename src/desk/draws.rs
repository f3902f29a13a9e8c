//! Grain that was used or given away, judged at its moment by what the book knows now.

use super::facts::FactFinder;
use super::{Notice, Refusal, guard};
use crate::grain::{Ending, LotCode};
use crate::keeping::{self, Assessment, History, Verdict, What};
use crate::ledger::{Destination, LotRecord, Of, Outflow, PlaceRecord, View};
use crate::quantity::{Instant, Milligrams};
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// Grain that was used or given away, with what it was then by what is known now.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedDraw {
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

/// Judges draws by the keeping clock: the histories of each lot are asked for once, the clock once for each moment.
struct Judge<'a> {
    view: View<'a>,
    finder: FactFinder<'a>,
    histories: HashMap<LotCode, Vec<History>>,
    known: HashMap<(LotCode, Instant), Assessment>,
}

impl<'a> Judge<'a> {
    fn new(view: View<'a>) -> anyhow::Result<Self> {
        Ok(Self {
            view,
            finder: FactFinder::new(view)?,
            histories: HashMap::new(),
            known: HashMap::new(),
        })
    }

    fn keeping_then(&mut self, out: &Outflow) -> anyhow::Result<&Assessment> {
        let place = match self.known.entry((out.lot.code, out.at)) {
            Entry::Occupied(known) => return Ok(known.into_mut()),
            Entry::Vacant(place) => place,
        };
        let histories = match self.histories.entry(out.lot.code) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(self.finder.histories(&out.lot)?),
        };
        let about = self.view.about();
        let keeping = keeping::assess_all(histories, &about.rules, &about.zone, out.at);
        Ok(place.insert(keeping))
    }
}

/// Outflows, each told whether it was past or unknown when people got it. Of each lot the clock is asked once, until when it
/// was good, however many outflows it has.
pub(super) fn judged(view: View<'_>, mut outflows: Vec<Outflow>) -> anyhow::Result<Vec<Outflow>> {
    let mut finder = FactFinder::new(view)?;
    let about = view.about();
    let mut known: HashMap<LotCode, Option<Instant>> = HashMap::new();
    for out in &mut outflows {
        if !out.is_baked() && !matches!(out.to, Destination::Given) {
            continue;
        }
        let usable_through = match known.entry(out.lot.code) {
            Entry::Occupied(known) => *known.get(),
            Entry::Vacant(new) => {
                let histories = finder.histories(&out.lot)?;
                *new.insert(keeping::usable_through(
                    &histories,
                    &about.rules,
                    &about.zone,
                ))
            }
        };
        out.unusable = usable_through.is_some_and(|last| out.at > last);
    }
    Ok(outflows)
}

/// Which of these outflows people ate or are to eat, or animals too, and were of such a verdict when they left.
fn eaten(
    view: View<'_>,
    outflows: &[Outflow],
    animals_too: bool,
    is_wanted: impl Fn(Verdict) -> bool,
) -> anyhow::Result<Vec<JudgedDraw>> {
    let mut judge = Judge::new(view)?;
    let mut found = Vec::new();
    for out in outflows {
        let words = out.words.clone().unwrap_or_default();
        let what = match out.to {
            Destination::Bake { code, .. } => format!("{code}, {words}"),
            Destination::Named | Destination::Given => words,
            Destination::Discard(Some(Ending::Feed)) if animals_too => format!("feed, {words}"),
            Destination::Discard(_) | Destination::Treatment | Destination::Count => continue,
        };
        let keeping = judge.keeping_then(out)?;
        if is_wanted(keeping.verdict) {
            found.push(JudgedDraw {
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

/// Which grain that people got counts as past or unknown by an act, and which does so no more.
#[derive(Default)]
pub(super) struct Marks {
    /// What is unusable now and was not before.
    pub set: Vec<JudgedDraw>,
    /// What was unusable and is not now, as it was judged before.
    pub gone: Vec<JudgedDraw>,
    /// What of that went out as it did and counts as usable, so that it was not struck or corrected itself.
    pub cleared: Vec<JudgedDraw>,
}

impl Marks {
    /// Adds those of other lots that the same act bears on, each once.
    pub(super) fn add(&mut self, others: Self) {
        for (known, more) in [
            (&mut self.set, others.set),
            (&mut self.gone, others.gone),
            (&mut self.cleared, others.cleared),
        ] {
            for draw in more {
                if !known.contains(&draw) {
                    known.push(draw);
                }
            }
        }
    }

    /// A notice of each of them.
    pub fn notices(&self) -> Vec<Notice> {
        let set = self.set.iter().cloned().map(Notice::UsedWhenUnusable);
        let gone = self.gone.iter().cloned().map(Notice::Unmarked);
        set.chain(gone).collect()
    }
}

/// What had gone out of lots before an act, so that it can be told which marks the act sets and which it takes off.
pub(super) struct OutflowsBefore {
    last_entry: i64,
    lots: Vec<LotRecord>,
    known: Vec<JudgedDraw>,
}

impl OutflowsBefore {
    /// Looks at everything that was made of these lots.
    pub fn of(view: View<'_>, lots: Vec<LotRecord>) -> anyhow::Result<Self> {
        let known = unusable_of(view, &lots)?;
        Ok(Self {
            last_entry: view.last_entry()?,
            lots,
            known,
        })
    }

    /// The same of all lots that lay in a place within a time.
    pub fn of_place(
        view: View<'_>,
        place: &PlaceRecord,
        within: (Instant, Instant),
    ) -> anyhow::Result<Self> {
        let stayed = view.stayed_in(place, within)?;
        Self::of(view, stayed.into_iter().map(|stayed| stayed.lot).collect())
    }

    /// All that people and animals ate or are to eat, usable or not.
    pub fn eaten(&self, view: View<'_>) -> anyhow::Result<Vec<JudgedDraw>> {
        draws_of(view, &self.lots, true, |_| true)
    }

    /// The marks after an act that takes an entry back.
    pub fn marks(&self, view: View<'_>) -> anyhow::Result<Marks> {
        self.compare(view, unusable_of(view, &self.lots)?)
    }

    /// The same after an act that takes no entry back, which takes no mark off grain that was past.
    ///
    /// # Errors
    ///
    /// [`Refusal::WouldUnmark`] where grain that was past when it left would not have been. What was unknown then may be
    /// known now, but not where it would have been past without an entry that was written late before:
    /// [`Refusal::UsableByLateEntry`].
    pub fn marks_of_past_kept(&self, view: View<'_>) -> anyhow::Result<Marks> {
        let now = unusable_of(view, &self.lots)?;
        let is_past = |draw: &JudgedDraw| draw.verdict == Verdict::Past;
        let is_marked = |was: &JudgedDraw| now.iter().any(|is| is_past(is) && key(is) == key(was));
        let mut known = self.known.iter();
        if let Some(unmarked) = known.find(|was| is_past(was) && !is_marked(was)) {
            let from = judged_until(view, unmarked)?;
            return Err(Refusal::WouldUnmark(Box::new(unmarked.clone()), from).into());
        }
        guard::refuse_kept_by_late_entry(view, self.last_entry, || {
            let mut unmarked = draws_of(view, &self.lots, false, |_| true)?;
            unmarked.retain(|draw| !among(&now, draw) && !among(&self.known, draw));
            Ok(unmarked.iter().map(|draw| (draw.lot, draw.at)).collect())
        })?;
        let marks = self.compare(view, now)?;
        let cleared = marks.cleared.iter().map(|draw| (draw.lot, draw.at));
        guard::refuse_usable_by_late_entry(view, self.last_entry, cleared)?;
        Ok(marks)
    }

    fn compare(&self, view: View<'_>, unusable: Vec<JudgedDraw>) -> anyhow::Result<Marks> {
        let known = self.known.iter();
        let mut gone: Vec<_> = known
            .filter(|was| !among(&unusable, was))
            .cloned()
            .collect();
        let mut set = unusable;
        set.retain(|is| !among(&self.known, is));
        let mut cleared = Vec::new();
        if !gone.is_empty() {
            let stand = draws_of(view, &self.lots, false, |_| true)?;
            cleared.extend(gone.iter().filter(|was| among(&stand, was)).cloned());
            // What was put right in its weight, time or lot and is unusable still is told as what it is now.
            gone.retain(|was| among(&cleared, was) || set.iter().all(|is| is.what != was.what));
        }
        Ok(Marks { set, gone, cleared })
    }
}

fn among(draws: &[JudgedDraw], draw: &JudgedDraw) -> bool {
    draws.iter().any(|one| key(one) == key(draw))
}

/// What tells one draw from another, however it is judged.
fn key(draw: &JudgedDraw) -> (LotCode, Instant, Milligrams) {
    (draw.lot, draw.at, draw.wet)
}

/// The moment after which nothing that is measured or stated bears on a draw: a thermometer that came after it speaks for
/// the time before.
pub(super) fn judged_until(view: View<'_>, draw: &JudgedDraw) -> anyhow::Result<Instant> {
    let lot = view.lot_even_struck(&draw.lot.to_string())?;
    let histories = FactFinder::new(view)?.histories(&lot)?;
    let events = histories.iter().flat_map(|history| &history.events);
    let read = events.filter(|event| matches!(event.what, What::Read(_)));
    let last = read.map(|event| event.at).max();
    Ok(last.map_or(draw.at, |last| last.max(draw.at)))
}

fn unusable_of(view: View<'_>, lots: &[LotRecord]) -> anyhow::Result<Vec<JudgedDraw>> {
    draws_of(view, lots, false, |verdict| !verdict.may_be_used())
}

/// What went to people by these entries and was past or unknown when it left.
pub(super) fn unusable_in(view: View<'_>, entries: &[i64]) -> anyhow::Result<Vec<JudgedDraw>> {
    let is_unusable = |verdict: Verdict| !verdict.may_be_used();
    eaten(view, &view.outflows(entries)?, false, is_unusable)
}

/// What went to people of these lots and of what was made of them, where it was of such a verdict.
fn draws_of(
    view: View<'_>,
    lots: &[LotRecord],
    animals_too: bool,
    is_wanted: impl Fn(Verdict) -> bool,
) -> anyhow::Result<Vec<JudgedDraw>> {
    let family = view.descendants(&lots.iter().collect())?;
    let numbers = view.outflow_numbers(&family, Of::All)?;
    eaten(view, &view.outflows(&numbers)?, animals_too, is_wanted)
}

/// An outflow told that went to animals, where its lot was found spoiled by then or since.
pub(super) fn feed_of_spoiled(
    view: View<'_>,
    lot: &LotRecord,
    entry: i64,
) -> anyhow::Result<Vec<Notice>> {
    let mut finder = FactFinder::new(view)?;
    if !finder.was_found_spoiled(lot, Instant::MAX_UTC)? {
        return Ok(Vec::new());
    }
    let fed = eaten(view, &view.outflows(&[entry])?, true, |_| true)?;
    fed.into_iter()
        .map(|draw| {
            Ok(if finder.was_found_spoiled(lot, draw.at)? {
                Notice::UsedWhenUnusable(draw)
            } else {
                Notice::WentOutBefore(draw)
            })
        })
        .collect()
}
