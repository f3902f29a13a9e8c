//! What a period came to.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, draws};
use crate::grain::{LotCode, Step, clipped};
use crate::keeping::PlaceKind;
use crate::ledger::{
    AcceptedPlan, BakeEnd, BakeRecord, BakeResult, Destination, LotNumbers, LotRecord, Outflow,
    TreatedLot, View,
};
use crate::quantity::{Instant, Milligrams, Period, Uncertain};
use crate::report::bake::BakeNeeds;
use crate::report::period::{
    Ages, Amount, Bread, CameIn, EndOfBake, EndedBake, Flows, LotShare, PeriodReport, PlaceWatched,
    SourceBalance, balances,
};
use crate::report::{Caution, SourceChart};
use chrono::{Duration, NaiveDate};
use std::collections::{BTreeMap, HashMap};
use uom::si::f64::Mass;

/// Outflows that are judged at a time.
const AT_ONCE: usize = 2_000;

impl Desk {
    /// What a period came to, with the moisture of each lot as known today.
    pub fn report(&self, period: Period) -> anyhow::Result<Answer<PeriodReport>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let about = view.about();
        let mut finder = LotFinder::new(view)?;
        // First, since all else asks for the moisture of these lots.
        let lots = finder.lots(period)?;
        let mut report = PeriodReport {
            book: about.name.clone(),
            period: period.until(self.now),
            as_of: self.now,
            goes_on_to: period.before.filter(|before| *before > self.now),
            sources: finder.sources(period)?,
            breads: Vec::new(),
            flour_price: view.house()?.flour_price,
            days: Vec::new(),
            ages: Vec::new(),
            bakes: finder.bakes(period)?,
            lots,
            charts: Vec::new(),
            tests: view.tests_made(period)?,
            places: Vec::new(),
            put_right: view.put_right(period)?,
            plans: view
                .plans_for(period)?
                .iter()
                .filter(|plan| period.holds(plan.accepted_at))
                .count(),
            on_hand: Vec::new(),
        };
        finder.eaten(period, &mut report)?;
        let last = report
            .period
            .before
            .map_or(self.now, |before| before - Duration::seconds(1));
        report.charts = finder.charts(&report.lots, self.zone().date(last))?;
        report.places = self.places_watched(period)?;
        let mut answer = Answer::new(report, Vec::new());
        if answer.answer.period.before.is_none() {
            let shelf = self.stock()?;
            answer.answer.on_hand = shelf.answer.lots;
            answer = answer
                .with_cautions(shelf.cautions)
                .with_notices(shelf.notices);
        }
        let cautions = cautions(&answer.answer);
        Ok(answer.with_cautions(cautions))
    }

    /// Places that keep grain cold or hot, and all others that a logger measured.
    fn places_watched(&self, period: Period) -> anyhow::Result<Vec<PlaceWatched>> {
        let to = period.before.map(|before| before - Duration::seconds(1));
        let begun = self.view().entry(1)?.at;
        let mut found = Vec::new();
        for place in self.view().places()? {
            let mut air = self.air(&place.name, period.from, to)?.answer;
            if let Some(watch) = &mut air.watch {
                // Time before the first and after the last reading is time without one, from when there is a book or a reading.
                let is_asked = |at: &Instant| period.from.is_none_or(|from| *at >= from);
                let mut read_at = air.readings.iter().map(|(at, _)| *at);
                let first = read_at.find(is_asked).unwrap_or(begun);
                let since = begun.min(first);
                let begins = period.from.map_or(since, |from| from.max(since));
                let ends = period
                    .before
                    .map_or(self.now, |before| before.min(self.now));
                watch.unknown = ends - begins - watch.measured();
            }
            let kind = air.kind();
            let is_due = matches!(
                kind,
                PlaceKind::Fridge | PlaceKind::Freezer | PlaceKind::HotHold
            ) && !place.is_closed();
            if air.watch.is_none() && !is_due {
                continue;
            }
            found.push(PlaceWatched {
                name: place.name,
                kind,
                excursions: air
                    .excursions
                    .into_iter()
                    .map(|(excursion, lots)| {
                        let changed = lots.iter().filter(|lot| lot.is_changed()).count();
                        (excursion, changed)
                    })
                    .collect(),
                watch: air.watch,
            });
        }
        Ok(found)
    }
}

fn cautions(report: &PeriodReport) -> Vec<Caution> {
    let mut cautions = vec![Caution::DateIsARule];
    if report.ages.iter().any(|ages| ages.unusable > 0) {
        cautions.push(Caution::BakingRescuesNothing);
    }
    cautions
}

/// Lots with their sources and moistures, each found once.
struct LotFinder<'a> {
    view: View<'a>,
    facts: FactFinder<'a>,
    moistures: HashMap<LotCode, Uncertain>,
    known: HashMap<i64, LotShare>,
}

impl<'a> LotFinder<'a> {
    fn new(view: View<'a>) -> anyhow::Result<Self> {
        Ok(Self {
            facts: FactFinder::new(view)?,
            moistures: HashMap::new(),
            known: HashMap::new(),
            view,
        })
    }

    /// The moisture of a lot.
    fn moisture(&mut self, lot: &LotRecord) -> anyhow::Result<Uncertain> {
        if let Some(known) = self.moistures.get(&lot.code) {
            return Ok(*known);
        }
        let moisture = self.facts.estimate(lot)?.moisture;
        self.moistures.insert(lot.code, moisture);
        Ok(moisture)
    }

    /// The part of a lot's wet grain that is dry.
    fn dry_fraction(&mut self, lot: &LotRecord) -> anyhow::Result<f64> {
        Ok(1.0 - clipped(self.moisture(lot)?.value).get())
    }

    fn share(&mut self, number: i64) -> anyhow::Result<LotShare> {
        if let Some(known) = self.known.get(&number) {
            return Ok(known.clone());
        }
        let lot = self.view.lot_of_number(number)?;
        let share = (lot.source.clone(), self.dry_fraction(&lot)?);
        self.known.insert(number, share.clone());
        Ok(share)
    }

    fn sources(&mut self, period: Period) -> anyhow::Result<Vec<SourceBalance>> {
        let flows = Flows {
            stock: self.view.stock_by_number()?,
            ways: self.view.lot_movements(period)?,
            made: self.view.made_of_lots(period)?,
        };
        let mut sources = balances(&flows, |lot| self.share(lot))?;
        for (lot, wet) in self.view.frozen_lots(period)? {
            let balance = sources.entry(self.share(lot)?.0).or_default();
            balance.frozen = balance.frozen.saturating_add(wet.get());
        }
        for TreatedLot { lot, treatment } in self.view.treated_lots(period)? {
            let before = self.moisture(&self.view.lot_of_number(lot)?)?;
            let balance = sources.entry(self.share(lot)?.0).or_default();
            balance.treatments_dry += treatment.dry_lost(&treatment.moisture(&before));
            if treatment.step == Step::Dry {
                balance.dried.0 = balance.dried.0.saturating_add(treatment.wet_in.get());
                balance.dried.1 = balance.dried.1.saturating_add(treatment.wet_out.get());
            }
        }
        Ok(sources.into_values().collect())
    }

    fn lots(&mut self, period: Period) -> anyhow::Result<Vec<CameIn>> {
        let mut lots = Vec::new();
        for (lot, at, wet) in self.view.came_in(period)? {
            let (estimate, untested) = self.facts.estimate_with_and_without_tests(&lot)?;
            self.moistures.insert(lot.code, estimate.moisture);
            let share = (lot.source.clone(), self.dry_fraction(&lot)?);
            self.known.insert(lot.number(), share);
            lots.push(CameIn {
                lot,
                at,
                wet,
                moisture: estimate.moisture,
                from: estimate.from,
                untested: untested.map(|untested| untested.moisture),
            });
        }
        Ok(lots)
    }

    /// The tested lots of each source, kind and form that came in, up to a day.
    fn charts(&mut self, lots: &[CameIn], last: NaiveDate) -> anyhow::Result<Vec<SourceChart>> {
        let mut like: BTreeMap<_, &LotRecord> = BTreeMap::new();
        for CameIn { lot, .. } in lots {
            like.insert((&lot.source, lot.kind.as_str(), lot.form.as_str()), lot);
        }
        let charts = like.into_values();
        let charts = charts.map(|lot| self.facts.source_chart(lot, last));
        Ok(charts
            .collect::<anyhow::Result<Vec<_>>>()?
            .into_iter()
            .flatten()
            .collect())
    }

    fn bakes(&mut self, period: Period) -> anyhow::Result<Vec<EndedBake>> {
        let plans = self.view.plans_for(period)?;
        let in_words = self.view.uses_in_words()?;
        let mut bakes = Vec::new();
        for mut bake in self.view.bakes_ended(period)? {
            let code = bake.code;
            if let Some(BakeEnd::Done(result)) = &mut bake.end {
                let more = in_words.iter().filter(|one| one.bake == code);
                result
                    .draws
                    .extend(more.map(|one| (one.lot.clone(), one.wet)));
            }
            bakes.push(self.bake(bake, &plans)?);
        }
        bakes.sort_by_key(|bake| (bake.at, bake.code));
        Ok(bakes)
    }

    fn bake(&mut self, bake: BakeRecord, plans: &[AcceptedPlan]) -> anyhow::Result<EndedBake> {
        // An older version of a formula may have been written by hand into the book; its bakes still count.
        let needs = BakeNeeds::of(&bake.setting).ok();
        let mut got = Amount::default();
        let mut draws: &[(LotRecord, Milligrams)] = &[];
        let (at, end) = match &bake.end {
            Some(BakeEnd::Done(result)) => {
                for (lot, wet) in &result.draws {
                    got.add(wet.get(), self.dry_fraction(lot)?);
                }
                draws = &result.draws;
                (result.at, EndOfBake::Baked(Box::new(result.measured)))
            }
            Some(BakeEnd::Dropped { at, reason }) => (*at, EndOfBake::Dropped(reason.clone())),
            None => (bake.setting.at, EndOfBake::Dropped(None)),
        };
        let (entry, is_of_other_grain) = match &bake.end {
            Some(BakeEnd::Done(result)) => (result.entry, is_of_other_grain(result)),
            _ => (None, false),
        };
        Ok(EndedBake {
            is_of_other_grain,
            not_free: bake.not_free(),
            promised: self.promised(&bake, at, draws, plans)?,
            code: bake.code,
            entry,
            formula: bake.setting.formula.name.clone(),
            at,
            wanted: needs.as_ref().map(|needs| needs.dry_wanted),
            lowest: needs.as_ref().map(|needs| needs.dry_lowest),
            got,
            end,
        })
    }

    /// What the last plan accepted before a moment promised to a bake, and how much of that was drawn.
    fn promised(
        &self,
        bake: &BakeRecord,
        at: Instant,
        draws: &[(LotRecord, Milligrams)],
        plans: &[AcceptedPlan],
    ) -> anyhow::Result<Option<(i64, i64)>> {
        let names = |plan: &&AcceptedPlan| {
            plan.accepted_at <= at && plan.draws.iter().any(|draw| draw.bake == bake.code)
        };
        let Some(plan) = plans.iter().rev().find(names) else {
            return Ok(None);
        };
        let mut left: Vec<(LotNumbers, i64)> = Vec::new();
        for draw in plan.draws.iter().filter(|draw| draw.bake == bake.code) {
            let of_lot = self
                .view
                .descendants(&std::iter::once(&draw.lot).collect())?;
            left.push((of_lot, draw.wet.get()));
        }
        let promised: i64 = left.iter().map(|(_, wet)| wet).sum();
        let mut kept = 0;
        for (lot, wet) in draws {
            let mut drawn = wet.get();
            for (_, open) in left.iter_mut().filter(|(of_lot, _)| of_lot.holds(lot)) {
                let taken = drawn.min(*open);
                *open -= taken;
                drawn -= taken;
                kept += taken;
            }
        }
        Ok(Some((promised, kept)))
    }

    /// What went into dough and how old it was.
    fn eaten(&mut self, period: Period, report: &mut PeriodReport) -> anyhow::Result<()> {
        let mut breads: BTreeMap<String, Bread> = BTreeMap::new();
        let mut days: BTreeMap<NaiveDate, Mass> = BTreeMap::new();
        let mut ages: BTreeMap<String, Ages> = BTreeMap::new();
        let mut doughs = SaidDoughs::default();
        for numbers in self.view.eaten_numbers(period)?.chunks(AT_ONCE) {
            for out in draws::judged(self.view, self.view.outflows(numbers)?)? {
                let dry = self.dry_fraction(&out.lot)?;
                let of_source = ages.entry(out.lot.source.clone()).or_default();
                let age = out.lot.mash_out.map(|mash_out| out.at - mash_out);
                let days_old = age.map(|age| age.num_seconds() as f64 / 86_400.0);
                of_source.source.clone_from(&out.lot.source);
                of_source.add(out.wet.get(), days_old, out.unusable);
                if out.is_baked() {
                    let bread = breads
                        .entry(name_of(&out))
                        .or_insert_with_key(|name| bread(name));
                    bread.grain.add(out.wet.get(), dry);
                    bread.bakes += usize::from(doughs.begins_with(&out));
                    *days.entry(self.view.about().zone.date(out.at)).or_default() +=
                        out.wet.mass() * dry;
                }
            }
        }
        for bake in &report.bakes {
            let Some(measured) = bake.measured() else {
                continue;
            };
            let bread = breads
                .entry(bake.formula.clone())
                .or_insert_with_key(|name| bread(name));
            bread.bakes += 1;
            if let Some(pieces) = measured.pieces {
                bread.pieces = Some(bread.pieces.unwrap_or(0).saturating_add(pieces));
            }
            if let Some(baked) = measured.baked {
                bread.baked = bread.baked.checked_add(baked).unwrap_or(bread.baked);
                bread.weighed += 1;
            }
        }
        report.breads = breads.into_values().collect();
        report.days = days.into_iter().collect();
        report.ages = ages.into_values().collect();
        Ok(())
    }
}

/// What was only named and took grain at one moment: of each the lots so far.
#[derive(Default)]
struct SaidDoughs {
    at: Option<Instant>,
    lots: BTreeMap<String, Vec<LotCode>>,
}

impl SaidDoughs {
    /// Whether a dough that was only named begins with this draw. Of what is taken at one moment for the same words, one
    /// dough is made, but a lot goes into it once. Asked in the order in which it happened.
    fn begins_with(&mut self, out: &Outflow) -> bool {
        if !matches!(out.to, Destination::Named) {
            return false;
        }
        if self.at.replace(out.at) != Some(out.at) {
            self.lots.clear();
        }
        let lots = self.lots.entry(name_of(out)).or_default();
        let is_new = lots.is_empty() || lots.contains(&out.lot.code);
        if is_new {
            lots.clear();
        }
        lots.push(out.lot.code);
        is_new
    }
}

/// The formula of a bake of the book, or what was typed.
fn name_of(out: &Outflow) -> String {
    out.words.clone().unwrap_or_default()
}

fn bread(name: &str) -> Bread {
    Bread {
        name: name.to_owned(),
        bakes: 0,
        pieces: None,
        baked: Milligrams::ZERO,
        weighed: 0,
        grain: Amount::default(),
    }
}

/// Grain that differs from that of the sheet by less than this part of it, or by less than a scale may show, is weighed
/// less exactly and not other grain: judgement.
const SAME_GRAIN: f64 = 0.05;
const ON_THE_SCALE: Milligrams = Milligrams::new(20_000);

/// Whether what is written down as used is other grain than the sheet said its water for: another lot, or more or less of it.
fn is_of_other_grain(result: &BakeResult) -> bool {
    let wet =
        |grain: &[(LotRecord, Milligrams)]| -> i64 { grain.iter().map(|(_, wet)| wet.get()).sum() };
    let mut off: BTreeMap<LotCode, i64> = BTreeMap::new();
    for (lot, used) in &result.draws {
        *off.entry(lot.code).or_default() += used.get();
    }
    for (lot, said) in &result.sheet_grain {
        *off.entry(lot.code).or_default() -= said.get();
    }
    let off: i64 = off.values().map(|off| off.abs()).sum();
    let allowed = wet(&result.sheet_grain) as f64 * SAME_GRAIN;
    !result.sheet_grain.is_empty() && off as f64 > allowed.max(ON_THE_SCALE.get() as f64)
}
