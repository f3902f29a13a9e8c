//! Gathers from the book what a report needs to know of a lot.

use super::{Outcome, promised};
use crate::context::Errand;
use crate::grain::{Estimate, Evidence, LotCode, TestResult, Within, estimate, treatments};
use crate::keeping::{Assessment, PlaceKind, Verdict};
use crate::ledger::{Act, Air, EarlierLot, LotRecord, Making, PlaceRecord, View};
use crate::quantity::{Instant, Milligrams, Problem};
use crate::render::{self, lot::Detail, numbers::Units};
use crate::report::{LotAnswer, LotFacts};
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// A source, kind and form: lots that say what to expect of each other.
type Group = (String, &'static str, &'static str);

/// Gathers facts, asking the book only once for what lots share.
pub struct Gatherer<'a> {
    view: View<'a>,
    places: Vec<PlaceRecord>,
    air: Air,
    earlier: HashMap<Group, Vec<Arc<EarlierLot>>>,
    made: HashMap<LotCode, Option<Estimate>>,
}

impl<'a> Gatherer<'a> {
    /// For one question or act.
    pub fn new(view: View<'a>) -> anyhow::Result<Self> {
        Ok(Self {
            places: view.places()?,
            air: Air::default(),
            earlier: HashMap::new(),
            made: HashMap::new(),
            view,
        })
    }

    /// What the book holds about one lot.
    pub fn facts(&mut self, lot: LotRecord) -> anyhow::Result<LotFacts> {
        let held = self.view.held(&lot, &self.places)?;
        let (wet, place) = match held {
            Some((wet, name, kind)) => (wet, Some((name, kind))),
            None => (Milligrams::ZERO, None),
        };
        self.facts_of(lot, wet, place)
    }

    fn facts_of(
        &mut self,
        lot: LotRecord,
        wet: Milligrams,
        place: Option<(String, PlaceKind)>,
    ) -> anyhow::Result<LotFacts> {
        let (first, making) = self.view.making(&lot)?;
        Ok(LotFacts {
            histories: self.view.histories(&lot, &self.places, &mut self.air)?,
            tests: self.view.tests(&lot)?,
            first: first.code,
            made: self.made(first, &making)?,
            earlier: if making.is_usual_way() {
                self.earlier_lots(&lot)?
            } else {
                Vec::new()
            },
            lot,
            wet,
            place,
        })
    }

    /// The places of the book.
    pub fn into_places(self) -> Vec<PlaceRecord> {
        self.places
    }

    /// Every lot on hand.
    pub fn on_hand(&mut self, now: Instant) -> anyhow::Result<Vec<LotFacts>> {
        let _still = self.view.hold_still()?;
        self.view
            .on_hand(now)?
            .into_iter()
            .map(|found| self.facts_of(found.lot, found.wet, Some((found.place, found.place_kind))))
            .collect()
    }

    fn earlier_lots(&mut self, lot: &LotRecord) -> anyhow::Result<Vec<Arc<EarlierLot>>> {
        let group = (lot.source.clone(), lot.kind.as_str(), lot.form.as_str());
        if !self.earlier.contains_key(&group) {
            let found = self.view.earlier_lots(lot)?.into_iter().map(Arc::new);
            self.earlier.insert(group.clone(), found.collect());
        }
        let found = &self.earlier[&group];
        if found.is_empty() {
            return Ok(Vec::new());
        }
        let origins = self.view.origins(lot)?;
        Ok(found
            .iter()
            .filter(|earlier| !earlier.is_of(&origins))
            .cloned()
            .collect())
    }

    /// The moisture to expect of the next lot of the same source, kind and form, which nobody has tested.
    pub fn estimate_of_next(&self, like: &LotRecord) -> anyhow::Result<Estimate> {
        let lots = self.view.earlier_lots(like)?;
        let within = Within::of(lots.iter().flat_map(|lot| &lot.tests));
        let (form, kind) = (like.form, like.kind);
        let mut earlier = Vec::new();
        for lot in &lots {
            let results = lot
                .tests
                .iter()
                .map(|test| test.evaluate_within(form, kind, &within))
                .collect::<Result<Vec<_>, _>>()?;
            earlier.extend(TestResult::of_lot(&results));
        }
        Ok(estimate::estimate_within(
            &[],
            &earlier,
            form,
            kind,
            &within,
        ))
    }

    /// What a lot's treatment or the lots joined to it say of its moisture; nothing of a lot that came in.
    fn made(&mut self, first: LotRecord, making: &Making) -> anyhow::Result<Option<Estimate>> {
        if let Some(known) = self.made.get(&first.code) {
            return Ok(known.clone());
        }
        let found = match making {
            Making::Arrival => None,
            Making::Treatment(of, record) => {
                let before = self.estimate(of.clone())?;
                let after = record.treatment.moisture_by_cause(&before.by_cause);
                let tested = before.is_tested();
                let from = Evidence::Treatment { tested };
                Some(Estimate::reckoned(after, from, first.form))
            }
            Making::Join(parts) => {
                let from = Evidence::Joined { count: parts.len() };
                let parts = parts
                    .iter()
                    .map(|(part, wet)| Ok((*wet, self.estimate(part.clone())?.by_cause)))
                    .collect::<anyhow::Result<Vec<_>>>()?;
                treatments::joined(&parts)
                    .map(|moisture| Estimate::reckoned(moisture, from, first.form))
            }
        };
        self.made.insert(first.code, found.clone());
        Ok(found)
    }

    /// The moisture in force of a lot.
    pub fn estimate(&mut self, lot: LotRecord) -> anyhow::Result<Estimate> {
        Ok(self.facts(lot)?.estimate()?)
    }
}

/// Does one act on a lot in one transaction and prints the lot as it stands afterwards.
///
/// `at` is what was typed after `option`, or nothing for now. `work` gives back the lot to print.
pub fn act_on_lot(
    errand: &mut Errand<'_>,
    code: &str,
    (option, at): (&str, Option<&str>),
    work: impl FnOnce(&mut Act<'_>, LotRecord, Instant) -> anyhow::Result<LotRecord>,
) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let at = errand.past_or_now(at, option, &zone)?;
    let signature = errand.signature(&zone)?;
    let now = signature.now;
    let lot = promised::act(errand, &mut book, &signature, |act| {
        let lot = act.view().lot(code)?;
        let was_past = is_past(act.view(), &lot, now)?;
        let shown = work(act, lot, at)?;
        if was_past {
            refuse_better(act.view(), &shown, now)?;
        }
        Ok(shown)
    })?;
    let answer = answer(book.view(), lot, signature.now)?;
    print_lot(errand, book.view(), &answer)?;
    Ok(Outcome::Done)
}

/// Whether the keeping clock says that a lot is past now.
pub fn is_past(view: View<'_>, lot: &LotRecord, now: Instant) -> anyhow::Result<bool> {
    Ok(answer(view, lot.clone(), now)?.keeping.verdict == Verdict::Past)
}

/// What the clock says of every lot on hand, by code.
pub type Judged = BTreeMap<String, Assessment>;

/// Judges every lot on hand.
pub fn judged(view: View<'_>, now: Instant) -> anyhow::Result<Judged> {
    let about = view.about();
    Ok(Gatherer::new(view)?
        .on_hand(now)?
        .into_iter()
        .map(|facts| {
            let keeping = facts.keeping(&about.rules, &about.zone, now);
            (facts.lot.code.to_string(), keeping)
        })
        .collect())
}

/// Refuses an act after which lots that were past would be past no more.
pub fn refuse_bettered(before: &Judged, after: &Judged) -> Result<(), Problem> {
    let is_past = |keeping: &Assessment| keeping.verdict == Verdict::Past;
    let bettered = before
        .iter()
        .find(|(lot, keeping)| is_past(keeping) && !after.get(*lot).is_some_and(is_past));
    bettered.map_or(Ok(()), |(lot, _)| Err(would_be_better(lot)))
}

/// Refuses to leave a lot past no more: only a struck entry, with its reason, corrects a history.
pub fn refuse_better(view: View<'_>, lot: &LotRecord, now: Instant) -> anyhow::Result<()> {
    if is_past(view, lot, now)? {
        return Ok(());
    }
    Err(would_be_better(&lot.code.to_string()).into())
}

fn would_be_better(lot: &str) -> Problem {
    Problem::new(format!(
        "lot `{lot}` is past, and this entry about an earlier time would make it usable again"
    ))
    .hint(format!(
        "if an entry of it is wrong, strike that one with the reason: draff log {lot} shows them"
    ))
}

/// Everything to be said of one lot now.
pub fn answer(view: View<'_>, lot: LotRecord, now: Instant) -> anyhow::Result<LotAnswer> {
    let about = view.about();
    let facts = Gatherer::new(view)?.facts(lot)?;
    Ok(facts.answer(&about.rules, &about.zone, now)?)
}

/// The place that was named, or the one a lot is in.
pub fn place_or_own(
    view: View<'_>,
    lot: &LotRecord,
    named: Option<&str>,
) -> anyhow::Result<PlaceRecord> {
    if let Some(name) = named {
        return view.place(name);
    }
    match view.held(lot, &view.places()?)? {
        Some((_, own, _)) => view.place(&own),
        None => Err(Problem::new(format!("nothing is left of lot `{}`", lot.code)).into()),
    }
}

/// What there is to say of grain that was in order when it was used and is known not to be by now.
pub fn known_by_now(
    view: View<'_>,
    lot: &LotRecord,
    now: Instant,
) -> anyhow::Result<Option<String>> {
    let keeping = answer(view, lot.clone(), now)?.keeping;
    Ok((!keeping.verdict.may_be_used()).then(|| {
        format!(
            "lot `{}` is {} by now: {}; what was baked of it holds that grain",
            lot.code, keeping.verdict, keeping.binding.limit
        )
    }))
}

/// Prints a lot after an act on it, as words or as JSON, with its cautions.
pub fn print_lot(
    errand: &mut Errand<'_>,
    view: View<'_>,
    answer: &LotAnswer,
) -> anyhow::Result<()> {
    let zone = &view.about().zone;
    if errand.options.json {
        let text = render::json::text(&render::json::Pickup::new(answer, zone))?;
        return errand.print(&text);
    }
    let mut out = String::new();
    render::lot::block(
        &mut out,
        answer,
        Detail::Limit,
        Units::of(errand.options.us),
        zone,
    );
    render::words::cautions(&mut out, &answer.cautions());
    errand.print(&out)
}
