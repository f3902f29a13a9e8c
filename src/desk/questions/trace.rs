//! From a lot to its loaves and back, from a bake to its brews, and what a recall has to reach.

use crate::desk::chunks::Chunks;
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, Refusal, draws, guard};
use crate::dough::bake_code::BakeCode;
use crate::grain::cereals::{self, Says};
use crate::grain::{Grist, LotCode, LotCodeProblem};
use crate::keeping::SpoiledPart;
use crate::ledger::{
    AsOf, BakeEnd, Destination, EntryRecord, LogFilter, LotNumbers, LotRecord, Of, Outflow,
    RecallFilter, TracedLot, View,
};
use crate::quantity::{Instant, Milligrams};
use crate::report::Caution;
use crate::report::trace::{Balance, TracedBake};
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

/// What was traced, as of the newest entry when it was asked for. Of each lot and each time that grain left one
/// only the number is kept; the rest is read chunk by chunk.
pub struct Trace<'a> {
    as_of: AsOf<'a>,
    /// In words.
    pub asked: String,
    /// The source that was asked for.
    pub source: Option<String>,
    /// Names of sources that may be meant by any name that this one has or had, whose lots are among these.
    pub near_sources: Vec<String>,
    /// What happened to the grain of one lot, from the brewery to where it is now.
    pub path: Vec<EntryRecord>,
    /// Whether all that became of the lots was asked for, so that it adds up. A bake is a part of its lots.
    pub has_balance: bool,
    back: LotNumbers,
    lots: LotNumbers,
    /// All lots that grain of these was or is in, asked forward those alone that it went into.
    kin: LotNumbers,
    now: Instant,
    /// Those of the lots that only may hold what was asked for: their grist does not say, and no grain that is
    /// known to hold it went into them.
    may_hold: LotNumbers,
    /// In the order in which they were brewed.
    grist_unknown: Vec<i64>,
    outflows: Vec<i64>,
    /// Bakes of which some grain is booked by their code in words alone, at whatever moment.
    in_words: Vec<BakeCode>,
    /// Of every lot on hand, by its number.
    held: BTreeMap<i64, (Milligrams, String)>,
}

/// A lot on hand that holds the grain that was traced.
#[derive(Debug)]
pub struct TracedOnHand {
    /// The lot.
    pub lot: TracedLot,
    /// Whether it may not be used now.
    pub unusable: bool,
    /// The last part of it, or of what it was made of, that was thrown away as spoiled, or the finding of spoilage there since.
    pub spoiled_part: Option<SpoiledPart>,
}

impl Desk {
    /// A lot traced both ways, or a bake, or what was typed when grain was used, traced back.
    pub fn trace(&self, about: &str) -> anyhow::Result<Answer<Trace<'_>>> {
        let view = self.view();
        let trace = {
            let _still = view.hold_still()?;
            about_one((view, self.now), about)?
        };
        // Each chunk is read in a transaction of its own.
        let mut was_past = false;
        for outflows in trace.outflows() {
            was_past |= outflows?.iter().any(|out| out.unusable);
        }
        let rescue = was_past.then_some(Caution::BakingRescuesNothing);
        Ok(Answer::new(trace, vec![Caution::Recall]).with_cautions(rescue))
    }

    /// All that a recall has to reach.
    pub fn recall(&self, filter: &RecallFilter) -> anyhow::Result<Answer<Trace<'_>>> {
        let view = self.view();
        let _still = view.hold_still()?;
        if let Some(source) = &filter.source {
            view.refuse_unknown_source(source)?;
        }
        let asked = filter.grist.as_deref();
        let read = asked.map(|asked| read_grist(view, asked)).transpose()?;
        let read_as = asked
            .zip(read.as_deref())
            .filter(|(asked, read)| asked != read)
            .map(|(asked, read)| Notice::ReadAs(asked.to_owned(), read.to_owned()));
        let by_grist = asked.map(|_| Caution::CrossContact);
        let filter = RecallFilter {
            grist: read,
            ..filter.clone()
        };
        let trace = recall((view, self.now), &filter)?;
        let no_grist = filter.grist.filter(|_| {
            let named = trace.lots.without(&trace.may_hold);
            named.as_slice().is_empty()
        });
        Ok(Answer::new(trace, vec![Caution::Recall])
            .with_cautions(by_grist)
            .with_notices(read_as)
            .with_notices(no_grist.map(Notice::NoGristNames)))
    }
}

impl Trace<'_> {
    fn traced<'t>(&'t self, numbers: &'t [i64]) -> Chunks<'t, TracedLot> {
        Chunks::of_numbers(self.as_of, numbers, |view, numbers| {
            view.traced_lots(numbers, &self.held)
        })
    }

    /// Lots that the grain was in before, oldest first.
    pub fn back(&self) -> Chunks<'_, TracedLot> {
        self.traced(self.back.as_slice())
    }

    /// The lots that were asked for and, if asked forward, what was made of them.
    pub fn lots(&self) -> Chunks<'_, TracedLot> {
        self.traced(self.lots.as_slice())
    }

    /// Whether there are any.
    pub fn has_lots(&self) -> bool {
        !self.lots.as_slice().is_empty()
    }

    /// Whether a lot only may hold what was asked for.
    pub fn may_hold(&self, lot: &LotRecord) -> bool {
        self.may_hold.holds(lot)
    }

    /// Whether any of the lots only may hold what was asked for.
    pub fn has_lots_that_may_hold(&self) -> bool {
        !self.may_hold.as_slice().is_empty()
    }

    /// Those of the lots that only may hold what was asked for.
    pub fn lots_that_may_hold(&self) -> Chunks<'_, TracedLot> {
        self.traced(self.may_hold.as_slice())
    }

    /// Lots that came in and whose grist is not known, where a grist was asked for.
    pub fn lots_of_unknown_grist(&self) -> Chunks<'_, TracedLot> {
        self.traced(&self.grist_unknown)
    }

    /// Lots on hand that hold the same grain, as they are judged now.
    pub fn on_hand(&self) -> anyhow::Result<Vec<TracedOnHand>> {
        let is_traced = |number: &&i64| self.kin.as_slice().binary_search(number).is_ok();
        let numbers: Vec<i64> = self.held.keys().filter(is_traced).copied().collect();
        self.as_of.read(|view| {
            let now = guard::judged_as_of(view, self.now)?;
            let mut finder = FactFinder::new(view)?;
            let lots = view.traced_lots(&numbers, &self.held)?.into_iter();
            lots.map(|lot| {
                let keeping = finder.keeping(&lot.lot, now)?;
                Ok(TracedOnHand {
                    unusable: !keeping.verdict.may_be_used(),
                    spoiled_part: finder.spoiled_part(&lot.lot, now)?,
                    lot,
                })
            })
            .collect()
        })
    }

    /// What left the lots for good.
    pub fn outflows(&self) -> Chunks<'_, Outflow> {
        self.outflows_where(|_| true)
    }

    /// What left the lots for good but for a bake.
    pub fn ends(&self) -> Chunks<'_, Outflow> {
        self.outflows_where(|out| !out.is_baked())
    }

    /// Only what is asked for is judged, which costs more than reading it.
    fn outflows_where(&self, is_asked_for: fn(&Outflow) -> bool) -> Chunks<'_, Outflow> {
        Chunks::of_numbers(self.as_of, &self.outflows, move |view, numbers| {
            let mut outflows = view.outflows(numbers)?;
            outflows.retain(is_asked_for);
            draws::judged(view, outflows)
        })
    }

    /// The same with the lots that it left.
    pub fn outflows_with_lots(&self) -> Chunks<'_, (Outflow, Arc<TracedLot>)> {
        Chunks::of_numbers(self.as_of, &self.outflows, |view, numbers| {
            let outflows = draws::judged(view, view.outflows(numbers)?)?;
            let lots: LotNumbers = outflows.iter().map(|out| out.lot.as_ref()).collect();
            let known: HashMap<LotCode, Arc<TracedLot>> = view
                .traced_lots(lots.as_slice(), &self.held)?
                .into_iter()
                .map(|lot| (lot.lot.code, Arc::new(lot)))
                .collect();
            let with_lot = |out: Outflow| {
                let lot = known.get(&out.lot.code).map(Arc::clone);
                lot.map(|lot| (out, lot))
            };
            Ok(outflows.into_iter().filter_map(with_lot).collect())
        })
    }

    /// Bakes that hold the grain.
    pub fn bakes(&self) -> Chunks<'_, TracedBake> {
        let mut outflows = self.outflows_where(Outflow::is_baked);
        let mut waiting: Vec<Outflow> = Vec::new();
        Chunks::new(move || {
            let Some(more) = outflows.next().transpose()? else {
                let last = std::mem::take(&mut waiting);
                return Ok((!last.is_empty()).then(|| self.bakes_of(&last)));
            };
            waiting.extend(more);
            // A bake takes its grain at one moment, so what was taken at the last one may go on.
            let last = waiting.last().map(|out| out.at);
            let is_whole = |out: &Outflow| Some(out.at) < last && !self.has_uses_in_words(out);
            let (whole, rest): (Vec<_>, Vec<_>) = waiting.drain(..).partition(is_whole);
            waiting = rest;
            Ok(Some(self.bakes_of(&whole)))
        })
    }

    /// Whether its bake may take grain at other moments too.
    fn has_uses_in_words(&self, out: &Outflow) -> bool {
        matches!(out.to, Destination::Bake { code, .. } if self.in_words.contains(&code))
    }

    fn bakes_of(&self, outflows: &[Outflow]) -> Vec<TracedBake> {
        TracedBake::of_draws(outflows, |lot| self.may_hold(lot))
    }

    /// Adds a lot to the balance of the lots.
    pub fn add_lot(&self, balance: &mut Balance, lot: &TracedLot) {
        balance.add_lot(lot, |of| self.lots.holds(of));
    }
}

/// The book and the moment at which it is asked.
type Asked<'a> = (View<'a>, Instant);

/// Traces a lot both ways, or a bake, what was typed for a use or to whom grain was given back.
fn about_one<'a>(asked_at: Asked<'a>, about: &str) -> anyhow::Result<Trace<'a>> {
    let (view, _) = asked_at;
    let bake = if BakeCode::looks_like(about) {
        Some(view.bake(about)?)
    } else {
        view.bake_in_words(about)?
    };
    if let Some(bake) = bake {
        let lots = view.lots_in_bake(&bake)?;
        let is_done = matches!(bake.end, Some(BakeEnd::Done(_)));
        if !is_done && lots.as_slice().is_empty() {
            return Err(Refusal::BakeNotDone(bake.code).into());
        }
        let words = format!(
            "back from bake {}, {}",
            bake.code, bake.setting.formula.name
        );
        return back(asked_at, words, &lots, Of::Bake(bake.code));
    }
    let lot = if let Err(LotCodeProblem::Malformed(problem)) = about.parse::<LotCode>() {
        let lots = view.lots_used_for(about)?;
        if !lots.as_slice().is_empty() {
            return back(
                asked_at,
                format!("back from `{about}`"),
                &lots,
                Of::Said(about),
            );
        }
        view.lot_by_end(about)?
            .ok_or_else(|| Refusal::NothingUsedFor {
                about: about.to_owned(),
                problem,
            })?
    } else {
        view.lot(about)?
    };
    let asked = format!("lot {}, back and forward", lot.code);
    let one: LotNumbers = std::iter::once(&lot).collect();
    let mut trace = forward(asked_at, asked, &one)?;
    trace.back = view.ancestors(&one)?.without(&one);
    trace.path = path(view, &lot, &trace)?;
    Ok(trace)
}

/// Everything that happened to the grain of a lot while it was in it and in the lots before, and the logger files that
/// say how warm it was where it lay. What happened to the rest of a lot after the last of this grain left it is no part
/// of this; what was found on it at that very moment is, as for the clock.
fn path(view: View<'_>, lot: &LotRecord, trace: &Trace<'_>) -> anyhow::Result<Vec<EntryRecord>> {
    let back = view.traced_lots(trace.back.as_slice(), &trace.held)?;
    let family: HashSet<LotCode> = back.iter().map(|before| before.lot.code).collect();
    let is_ours = |made: LotCode| made == lot.code || family.contains(&made);
    let mut found: BTreeMap<_, EntryRecord> = BTreeMap::new();
    for before in back.iter().map(|before| &before.lot).chain([lot]) {
        let mut own: BTreeMap<_, EntryRecord> = BTreeMap::new();
        let entries = view.log(&LogFilter {
            lot: Some(before),
            ..LogFilter::default()
        })?;
        for entry in entries
            .into_iter()
            .filter(EntryRecord::says_something_in_force)
        {
            // A correction stands where the entry stood that was written first.
            let first = view.first_of(&entry)?.entry;
            own.insert((entry.at, first), entry);
        }
        let leaves = |entry: &EntryRecord| {
            entry.lot == Some(before.code) && entry.new_lot.is_some_and(is_ours)
        };
        let left = own.iter().rfind(|(_, entry)| leaves(entry));
        if let Some(left) = left.map(|(when, _)| *when) {
            own.retain(|when, entry| *when <= left || (when.0 == left.0 && entry.kind.finds()));
        }
        found.append(&mut own);
    }
    for number in view.logger_files_of(lot)? {
        let entry = view.entry(number)?;
        found.insert((entry.at, entry.entry), entry);
    }
    Ok(found.into_values().collect())
}

/// The cereals and other allergens in what was asked for. Words with none of them, such as the name of a malt, are looked
/// for as they stand, where a grist of the book has them.
fn read_grist(view: View<'_>, asked: &str) -> anyhow::Result<String> {
    let problem = match cereals::read(asked) {
        Ok(read) => return Ok(read),
        Err(problem) => problem,
    };
    let texts = view.grists()?;
    let grists: Vec<Grist> = texts.iter().filter_map(|text| text.parse().ok()).collect();
    let has_words = |grist: &Grist| cereals::says(Some(grist), asked) == Says::Names;
    if !cereals::names_any(asked) && grists.iter().any(has_words) {
        return Ok(asked.to_owned());
    }
    let malts: BTreeSet<&String> = grists
        .iter()
        .flat_map(|grist| grist.parts().iter().map(|part| &part.name))
        .collect();
    Err(Refusal::UnknownGrist(problem, malts.into_iter().cloned().collect()).into())
}

fn recall<'a>(asked_at: Asked<'a>, filter: &RecallFilter) -> anyhow::Result<Trace<'a>> {
    let (view, _) = asked_at;
    let mut asked: Vec<String> = Vec::new();
    asked.extend(
        filter
            .source
            .as_ref()
            .map(|source| format!("from {source}")),
    );
    asked.extend(filter.grist.as_ref().map(|grist| {
        let mut words = vec![grist.as_str()];
        words.extend(cereals::under(grist));
        format!("with {}", words.join(" or "))
    }));
    asked.extend(filter.between.map(|(from, to)| {
        if from == to {
            format!("brewed on {from}")
        } else {
            format!("brewed from {from} to {to}")
        }
    }));
    let found = view.recalled(filter)?;
    let asked = format!("everything {}", asked.join(", "));
    let mut trace = forward(asked_at, asked, &found.lots)?;
    if let Some(source) = &filter.source {
        for near in view.names_near(source)? {
            // A name that was mistyped and corrected since has no lots.
            if view.latest_arrival(Some(&near))?.is_some() {
                trace.near_sources.push(near);
            }
        }
        trace.source = Some(source.clone());
    }
    if filter.grist.is_some() {
        trace.grist_unknown = found.grist_unknown;
        trace.may_hold = trace.lots.without(&view.descendants(&found.named)?);
    }
    Ok(trace)
}

/// What was made of lots, and where it went.
fn forward<'a>(asked_at: Asked<'a>, asked: String, lots: &LotNumbers) -> anyhow::Result<Trace<'a>> {
    let family = asked_at.0.descendants(lots)?;
    let mut trace = trace(asked_at, asked, family, Of::All)?;
    trace.has_balance = true;
    Ok(trace)
}

/// Where the grain of a bake came from.
fn back<'a>(
    asked_at: Asked<'a>,
    asked: String,
    lots: &LotNumbers,
    of: Of<'_>,
) -> anyhow::Result<Trace<'a>> {
    let (view, _) = asked_at;
    let mut trace = trace(asked_at, asked, lots.clone(), of)?;
    let before = view.ancestors(lots)?;
    trace.kin = view.descendants(&before)?;
    trace.back = before.without(lots);
    Ok(trace)
}

fn trace<'a>(
    (view, now): Asked<'a>,
    asked: String,
    lots: LotNumbers,
    of: Of<'_>,
) -> anyhow::Result<Trace<'a>> {
    Ok(Trace {
        as_of: view.as_of_newest()?,
        asked,
        path: Vec::new(),
        source: None,
        near_sources: Vec::new(),
        has_balance: false,
        back: LotNumbers::default(),
        may_hold: LotNumbers::default(),
        grist_unknown: Vec::new(),
        outflows: view.outflow_numbers(&lots, of)?,
        in_words: view.uses_in_words()?.iter().map(|one| one.bake).collect(),
        held: view.held_by_number()?,
        kin: lots.clone(),
        now,
        lots,
    })
}
