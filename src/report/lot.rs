//! What is to be said of one lot: dry matter, place, date, verdict.

use super::moisture::FarApart;
use super::{Caution, SourceChart, TestedLot};
use crate::grain::{
    self, DryGrain, Earlier, Estimate, LotCode, MoistureTest, TestResult, Within, estimate,
    moisture_test::Unfinished,
};
use crate::keeping::{self, Assessment, History, PlaceKind, RuleSet, SpoiledPart, Verdict};
use crate::ledger::{EarlierLot, LotRecord, TestRecord};
use crate::quantity::{Instant, Length, Milligrams, Problem, Zone};
use std::sync::Arc;

/// What the book holds about a lot.
#[derive(Debug, Clone)]
pub struct LotFacts {
    /// The lot.
    pub lot: LotRecord,
    /// What is left of it.
    pub wet: Milligrams,
    /// The sources of the grain in it, its own first.
    pub sources: Vec<String>,
    /// The place it is in; nothing once it is used up.
    pub place: Option<(String, PlaceKind)>,
    /// Its keeping histories: one, or of joined grain one for each lot that went in.
    pub histories: Vec<History>,
    /// What is known of its moisture.
    pub moisture: MoistureFacts,
    /// How thick it lies, where that was stated.
    pub depth: Option<Length>,
}

/// What the book holds about a lot's moisture.
#[derive(Debug, Clone)]
pub struct MoistureFacts {
    /// Its moisture tests since it was last treated or joined.
    pub tests: Vec<TestRecord>,
    /// What its treatment or the lots joined to it say of its moisture.
    pub made: Option<Estimate>,
    /// Earlier tested lots of the same source, kind and form.
    pub earlier: Vec<Arc<EarlierLot>>,
    /// Those of each other source.
    pub elsewhere: Arc<Vec<Vec<EarlierLot>>>,
    /// The first lot that held its grain: itself, unless it was parted off.
    pub first: LotCode,
}

/// What is to be said of a lot.
#[derive(Debug, Clone)]
pub struct LotAnswer {
    /// The lot.
    pub lot: LotRecord,
    /// The sources of the grain in it, its own first.
    pub sources: Vec<String>,
    /// Wet mass left.
    pub wet: Milligrams,
    /// Dry grain in it.
    pub dry: DryGrain,
    /// Its moisture and where that comes from.
    pub estimate: Estimate,
    /// Two samples so far apart that its tests say less than none would.
    pub far_apart: Option<FarApart>,
    /// The place it is in.
    pub place: Option<(String, PlaceKind)>,
    /// When its grain came into the bakery; nothing where it lies with its source.
    pub here_since: Option<Instant>,
    /// How thick it lies, where that was stated.
    pub depth: Option<Length>,
    /// What the keeping clock says.
    pub keeping: Assessment,
    /// The last part of it, or of what it was made of, that was thrown away as spoiled, or the finding of spoilage there since.
    pub spoiled_part: Option<SpoiledPart>,
    /// Whether the grain may still be hot enough to scald.
    pub may_scald: bool,
    /// When it was asked.
    pub as_of: Instant,
}

impl MoistureFacts {
    /// The moisture in force of this lot: tests first, then what its making says, then what earlier lots were,
    /// then the published default.
    pub fn estimate(&self, lot: &LotRecord) -> Result<Estimate, Problem> {
        let within = self.within();
        let (form, kind) = (lot.form, lot.kind);
        let results = |tests: &mut dyn Iterator<Item = &MoistureTest>| {
            tests
                .map(|test| test.evaluate_within(form, kind, &within))
                .collect::<Result<Vec<TestResult>, Problem>>()
        };
        let tests = results(&mut self.tests.iter().map(|record| &record.test))?;
        if let Some(made) = &self.made
            && !tests.iter().any(TestResult::is_usable)
        {
            return Ok(made.clone().beside(Unfinished::of(&tests)));
        }
        let result = |lot: &EarlierLot| {
            Ok::<_, Problem>(TestResult::of_lot(&results(&mut lot.tests.iter())?))
        };
        let mut own = Vec::new();
        for lot in &self.earlier {
            own.extend(result(lot)?);
        }
        let mut others = Vec::new();
        for lots in self.elsewhere.iter() {
            let lots = lots.iter().map(result).collect::<Result<Vec<_>, _>>()?;
            others.push(lots.into_iter().flatten().collect());
        }
        let earlier = Earlier {
            own: &own,
            others: &others,
        };
        let group = format!("{}, {kind} {form}", lot.source);
        Ok(estimate::estimate(&tests, earlier, form, kind, &within)
            .named(&self.first.to_string(), &group))
    }

    /// The tested lots of its source, kind and form with their limits, itself among them where it was tested. Nothing of
    /// grain that was soaked, drained or mixed.
    pub fn source_chart(
        &self,
        lot: &LotRecord,
        zone: &Zone,
    ) -> Result<Option<SourceChart>, Problem> {
        if self.made.is_some() && self.earlier.is_empty() {
            return Ok(None);
        }
        let within = self.within();
        let one = |tests: &mut dyn Iterator<Item = &MoistureTest>| {
            let results = tests
                .map(|test| test.evaluate_within(lot.form, lot.kind, &within))
                .collect::<Result<Vec<TestResult>, Problem>>()?;
            Ok::<_, Problem>(TestResult::of_lot(&results).map(|result| result.moisture))
        };
        let mut lots = Vec::new();
        for earlier in &self.earlier {
            lots.extend(one(&mut earlier.tests.iter())?.map(|moisture| TestedLot {
                code: earlier.origin,
                brewed_on: earlier.brewed_on,
                moisture,
            }));
        }
        let own = one(&mut self.tests.iter().map(|record| &record.test))?;
        lots.extend(own.map(|moisture| TestedLot {
            code: self.first,
            brewed_on: lot.brewed_on(zone),
            moisture,
        }));
        Ok(Some(SourceChart::of(lot, lots)))
    }

    /// How even lots of its form are, from all samples of them and of itself, whatever their source.
    pub fn within(&self) -> Within {
        let own = self.tests.iter().map(|record| &record.test);
        self.within_others().with(own)
    }

    /// How even the other lots of its form are: what its own samples are held against.
    pub fn within_others(&self) -> Within {
        let elsewhere = self.elsewhere.iter().flatten();
        let lots = self.earlier.iter().map(AsRef::as_ref).chain(elsewhere);
        Within::of(lots.map(|lot: &EarlierLot| &lot.tests))
    }
}

impl LotFacts {
    /// The moisture in force.
    pub fn estimate(&self) -> Result<Estimate, Problem> {
        self.moisture.estimate(&self.lot)
    }

    /// What the keeping clock says at a moment.
    pub fn keeping(&self, rules: &RuleSet, zone: &Zone, at: Instant) -> Assessment {
        keeping::assess_all(&self.histories, rules, zone, at)
    }

    /// Whether the grain may still be hot enough to scald at a moment.
    pub fn may_scald(&self, rules: &RuleSet, at: Instant) -> bool {
        let mut histories = self.histories.iter();
        histories.any(|history| history.may_scald(rules, at))
    }

    /// Everything to be said of the lot at a moment.
    pub fn answer(self, rules: &RuleSet, zone: &Zone, at: Instant) -> Result<LotAnswer, Problem> {
        let estimate = self.estimate()?;
        Ok(LotAnswer {
            dry: grain::dry_matter::dry_range(self.wet, &estimate),
            keeping: self.keeping(rules, zone, at),
            here_since: self.histories.iter().filter_map(History::here_since).min(),
            spoiled_part: SpoiledPart::last_of(&self.histories, at),
            may_scald: self.may_scald(rules, at),
            far_apart: FarApart::of(&self.moisture.tests, self.lot.form, &estimate),
            estimate,
            lot: self.lot,
            sources: self.sources,
            wet: self.wet,
            place: self.place,
            depth: self.depth,
            as_of: at,
        })
    }
}

impl LotAnswer {
    /// Hours until the last moment of use; negative once it has gone by.
    pub fn hours_left(&self) -> Option<f64> {
        self.keeping
            .keep_until
            .map(|until| (until - self.as_of).num_seconds() as f64 / 3600.0)
    }

    /// The cautions that belong beside this lot, by what is left of it.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = self.cautions_of_grain();
        if self.is_used_up() {
            cautions.retain(|caution| !matches!(caution, Caution::HotGrain | Caution::Gas));
        }
        cautions
    }

    /// The cautions of so much of its grain that somebody handles, whatever is left after that.
    pub fn cautions_of_handled(&self, wet: Milligrams) -> Vec<Caution> {
        let mut cautions = self.cautions_of_grain();
        cautions.extend(Caution::of_weight(wet));
        cautions
    }

    fn cautions_of_grain(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::DateIsARule];
        let may_be_used = self.keeping.verdict.may_be_used();
        if !may_be_used {
            cautions.push(Caution::BakingRescuesNothing);
        }
        let is_thawed_wet = !self.lot.form.is_dry() && !self.keeping.frozen;
        if self.may_scald {
            cautions.push(Caution::HotGrain);
        } else if is_thawed_wet && !may_be_used {
            cautions.push(Caution::Gas);
        }
        if self.lot.form.is_dry() {
            cautions.push(Caution::Dust);
        }
        cautions
    }

    /// Whether nothing is left of it.
    pub fn is_used_up(&self) -> bool {
        self.place.is_none()
    }

    /// How urgent the lot is: past before unknown before what may still be used, by date.
    pub fn urgency(&self) -> (std::cmp::Reverse<Verdict>, Instant, i64) {
        (
            std::cmp::Reverse(self.keeping.verdict),
            self.keeping.keep_until.unwrap_or(Instant::MAX_UTC),
            self.lot.mash_out.map_or(0, |at| at.timestamp()),
        )
    }
}
