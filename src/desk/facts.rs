//! What the book knows of a lot: stock, place, keeping histories, moisture.

use crate::grain::{Estimate, Evidence, LotCode, treatments};
use crate::keeping::{self, Assessment, History, PlaceKind, SpoiledPart, What};
use crate::ledger::{self, Air, EarlierLot, LotRecord, Making, PlaceRecord, View};
use crate::quantity::{Instant, Milligrams};
use crate::report::{LotAnswer, LotFacts, MoistureFacts, SourceChart};
use chrono::NaiveDate;
use std::collections::HashMap;
use std::sync::Arc;

/// A source, kind and form: lots that say what to expect of each other.
type Group = (String, &'static str, &'static str);

/// Finds facts, asking the book only once for what lots share.
pub struct FactFinder<'a> {
    view: View<'a>,
    places: Vec<PlaceRecord>,
    air: Air,
    earlier: HashMap<Group, Vec<Arc<EarlierLot>>>,
    elsewhere: HashMap<Group, Arc<Vec<Vec<EarlierLot>>>>,
    made: HashMap<LotCode, Option<Estimate>>,
}

impl<'a> FactFinder<'a> {
    /// For one question or act.
    pub fn new(view: View<'a>) -> anyhow::Result<Self> {
        Ok(Self {
            places: view.places()?,
            air: Air::default(),
            earlier: HashMap::new(),
            elsewhere: HashMap::new(),
            made: HashMap::new(),
            view,
        })
    }

    /// Forgets what grows with every lot that is asked for; what earlier lots say is kept.
    pub fn forget_made(&mut self) {
        self.made.clear();
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
        let (histories, depth) = self.view.histories(&lot, &self.places, &mut self.air)?;
        Ok(LotFacts {
            histories,
            moisture: self.moisture(&lot)?,
            sources: self.view.sources_in(&lot)?,
            depth,
            lot,
            wet,
            place,
        })
    }

    /// What the book holds about a lot's moisture.
    fn moisture(&mut self, lot: &LotRecord) -> anyhow::Result<MoistureFacts> {
        let (first, making) = self.view.making(lot)?;
        Ok(MoistureFacts {
            tests: self.view.tests(lot)?,
            first: first.code,
            made: self.made(first, &making)?,
            elsewhere: if making.is_usual_way() {
                self.lots_elsewhere(lot)?
            } else {
                Arc::default()
            },
            earlier: if making.is_usual_way() {
                self.earlier_lots(lot)?
            } else {
                Vec::new()
            },
        })
    }

    /// The keeping histories of a lot.
    pub fn histories(&mut self, lot: &LotRecord) -> anyhow::Result<Vec<History>> {
        let (histories, _) = self.view.histories(lot, &self.places, &mut self.air)?;
        Ok(histories)
    }

    /// What the keeping clock says of a lot at a moment.
    pub fn keeping(&mut self, lot: &LotRecord, at: Instant) -> anyhow::Result<Assessment> {
        let histories = self.histories(lot)?;
        let about = self.view.about();
        Ok(keeping::assess_all(
            &histories,
            &about.rules,
            &about.zone,
            at,
        ))
    }

    /// Whether a lot, or grain that is in it, was found spoiled by a moment.
    pub fn was_found_spoiled(&mut self, lot: &LotRecord, by: Instant) -> anyhow::Result<bool> {
        let histories = self.histories(lot)?;
        let mut events = histories.iter().flat_map(|history| &history.events);
        Ok(events.any(|event| event.at <= by && matches!(event.what, What::Spoiled(_))))
    }

    /// The last part of a lot, or of what it was made of, that was thrown away as spoiled by a moment, or the finding of spoilage
    /// there since.
    pub fn spoiled_part(
        &mut self,
        lot: &LotRecord,
        by: Instant,
    ) -> anyhow::Result<Option<SpoiledPart>> {
        Ok(SpoiledPart::last_of(&self.histories(lot)?, by))
    }

    /// Everything to be said of a lot at a moment.
    pub fn answer(&mut self, lot: LotRecord, at: Instant) -> anyhow::Result<LotAnswer> {
        let _still = self.view.hold_still()?;
        let about = self.view.about();
        Ok(self.facts(lot)?.answer(&about.rules, &about.zone, at)?)
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

    fn lots_elsewhere(&mut self, lot: &LotRecord) -> anyhow::Result<Arc<Vec<Vec<EarlierLot>>>> {
        let group = (lot.source.clone(), lot.kind.as_str(), lot.form.as_str());
        if !self.elsewhere.contains_key(&group) {
            let found = self.view.lots_elsewhere(lot)?;
            self.elsewhere.insert(group.clone(), Arc::new(found));
        }
        Ok(Arc::clone(&self.elsewhere[&group]))
    }

    /// What these tested lots and those of other sources say of lots like one.
    fn of_tested(
        &mut self,
        like: &LotRecord,
        lots: Vec<EarlierLot>,
    ) -> anyhow::Result<MoistureFacts> {
        Ok(MoistureFacts {
            tests: Vec::new(),
            made: None,
            earlier: lots.into_iter().map(Arc::new).collect(),
            elsewhere: self.lots_elsewhere(like)?,
            first: like.code,
        })
    }

    /// The moisture to expect of the next lot of the same source, kind and form, which nobody has tested.
    pub fn estimate_of_next(&mut self, like: &LotRecord) -> anyhow::Result<Estimate> {
        let lots = self.view.earlier_lots(like)?;
        let facts = self.of_tested(like, lots)?;
        Ok(facts.estimate(like)?)
    }

    /// The tested lots of the same source, kind and form up to a day, with their limits.
    pub fn source_chart(
        &mut self,
        like: &LotRecord,
        last: NaiveDate,
    ) -> anyhow::Result<Option<SourceChart>> {
        let lots = self.view.lots_until(like, last)?;
        let facts = self.of_tested(like, lots)?;
        Ok(facts.source_chart(like, &self.view.about().zone)?)
    }

    /// What a lot's treatment or the lots joined to it say of its moisture; nothing of a lot that came in.
    fn made(&mut self, first: LotRecord, making: &Making) -> anyhow::Result<Option<Estimate>> {
        if let Some(known) = self.made.get(&first.code) {
            return Ok(known.clone());
        }
        let found = match making {
            Making::Arrival => None,
            Making::Treatment(of, record) => {
                let before = self.estimate(of)?;
                let after = record.treatment.moisture_by_cause(&before.by_cause);
                let tested = before.is_tested();
                let from = Evidence::Treatment { tested };
                Some(Estimate::calculated(after, from, first.form))
            }
            Making::Join(parts) => {
                let parts = parts
                    .iter()
                    .map(|(part, wet)| Ok((*wet, self.estimate(part)?)))
                    .collect::<anyhow::Result<Vec<_>>>()?;
                let from = Evidence::Joined {
                    count: parts.len(),
                    tested: parts.iter().all(|(_, estimate)| estimate.is_tested()),
                };
                let parts: Vec<_> = parts
                    .into_iter()
                    .map(|(wet, estimate)| (wet, estimate.by_cause))
                    .collect();
                treatments::joined(&parts)
                    .map(|moisture| Estimate::calculated(moisture, from, first.form))
            }
        };
        self.made.insert(first.code, found.clone());
        Ok(found)
    }

    /// The moisture in force of a lot and, where it was tested, what it would be taken to be untested.
    pub fn estimate_with_and_without_tests(
        &mut self,
        lot: &LotRecord,
    ) -> anyhow::Result<(Estimate, Option<Estimate>)> {
        let mut moisture = self.moisture(lot)?;
        let estimate = moisture.estimate(lot)?;
        if !estimate.is_tested() {
            return Ok((estimate, None));
        }
        moisture.tests.clear();
        Ok((estimate, Some(moisture.estimate(lot)?)))
    }

    /// The moisture in force of a lot.
    pub fn estimate(&mut self, lot: &LotRecord) -> anyhow::Result<Estimate> {
        Ok(self.moisture(lot)?.estimate(lot)?)
    }
}

/// Everything to be said of one lot at a moment.
pub fn answer_at(view: View<'_>, lot: LotRecord, at: Instant) -> anyhow::Result<LotAnswer> {
    FactFinder::new(view)?.answer(lot, at)
}

/// The place that was named for grain of a moment, or the one a lot is in.
pub fn place_or_own(
    view: View<'_>,
    lot: &LotRecord,
    (named, at): (Option<&str>, Instant),
) -> anyhow::Result<PlaceRecord> {
    if let Some(name) = named {
        return view.open_place(name, at);
    }
    match view.held(lot, &view.places()?)? {
        Some((_, own, _)) => view.place(&own),
        None => Err(ledger::BookRefusal::NothingLeft(lot.code).into()),
    }
}
