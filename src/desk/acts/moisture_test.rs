//! Records a moisture test of a lot.

use crate::desk::draws::OutflowsBefore;
use crate::desk::facts::FactFinder;
use crate::desk::guard::{self, Judged, judge_made_of, refuse_eased};
use crate::desk::{Answer, Desk, DishOfOther, Notice, Refusal, UnknownDish, WeighedTooSoon};
use crate::grain::{Evidence, LotCode, Method, MoistureTest, TestResult, WeighedAgain};
use crate::keeping::Verdict;
use crate::ledger::{Act, LotRecord, TestRecord, View};
use crate::quantity::{Instant, Problem};
use crate::report::Caution;
use crate::report::moisture::MoistureAnswer;
use chrono::Duration;

/// What is to be told of samples that are dried so.
fn while_drying(method: Method) -> Vec<Caution> {
    let own = match method {
        Method::Lab => return Vec::new(),
        Method::Microwave => Caution::DryingInMicrowave,
        Method::Oven => Caution::DryingInOven,
        Method::AirFryer => Caution::DryingInAirFryer,
    };
    vec![Caution::DryingASample, own]
}

/// A test.
pub struct RecordTest<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// What was weighed, or what a laboratory found.
    pub test: &'a MoistureTest,
    /// How the samples were dried, where somebody said so: samples that are weighed on keep their method.
    pub method: Option<Method>,
    /// When the sample was taken; nothing for now, or for when it was opened. Where its lot, or what was made of it, is past
    /// by now, nothing is always now: what comes too late makes nothing usable.
    pub at: Option<Instant>,
    /// Whether the samples are other dishes than all before, though they may weigh the same.
    pub is_new_dish: bool,
}

/// Within so long a dish that weighs as one before is taken for that one, and a sample that dries is one to be weighed on: it
/// may lie in the oven over a weekend. Judgement.
const REMEMBERED: Duration = Duration::hours(72);

fn is_remembered(act: &Act<'_>, test: &TestRecord) -> anyhow::Result<bool> {
    Ok(act.now() - act.view().written_at(test.entry)? <= REMEMBERED)
}

/// Sooner after the weighing before it a weight that has not changed does not show that a sample is dry: judgement. In a
/// microwave oven a spell is a minute (Saskatchewan Agriculture, microwave method, from memory).
const fn shortest_spell(method: Method) -> Duration {
    match method {
        Method::Microwave => Duration::minutes(1),
        Method::Oven | Method::AirFryer | Method::Lab => Duration::minutes(10),
    }
}

/// Refuses a single weight that ends the drying of a sample minutes after the one before was written down.
fn refuse_weighed_too_soon(
    act: &Act<'_>,
    test: &MoistureTest,
    open: &TestRecord,
    weighed: &[WeighedAgain],
) -> anyhow::Result<()> {
    let shortest = shortest_spell(open.test.method).max(shortest_spell(test.method));
    for again in weighed {
        let Some(before) = &again.before else {
            continue;
        };
        if again.new != 1 || open.test.is_finished(before) || !test.is_finished(&again.after) {
            continue;
        }
        let (entry, written) = act.view().written_down(open.entry, before)?;
        let since = act.now() - written;
        if since < shortest {
            return Err(Refusal::WeighedTooSoon(WeighedTooSoon {
                entry,
                minutes: since.num_minutes(),
                shortest: shortest.num_minutes(),
            })
            .into());
        }
    }
    Ok(())
}

/// A test to write down, when its samples were taken, and the entry whose samples it weighs on.
type NewTest = (MoistureTest, Instant, Option<i64>);

/// What is to be written down of what was weighed: samples that are drying, or that were dry a short while ago, continue the
/// entry that has them, all others are a test of their own.
fn new_tests(
    act: &Act<'_>,
    lot: LotCode,
    tests: &[TestRecord],
    request: &RecordTest<'_>,
) -> anyhow::Result<Vec<NewTest>> {
    let mut rest = request.test.clone();
    if request.is_new_dish {
        return Ok(vec![(rest, request.at.unwrap_or(act.now()), None)]);
    }
    let (mut found, mut named, mut left) = (Vec::new(), None, Vec::new());
    // Of dishes that weigh the same, one that is drying is meant before one that was dry.
    let (drying, dry): (Vec<&TestRecord>, Vec<&TestRecord>) = tests
        .iter()
        .rev()
        .partition(|open| open.test.is_unfinished());
    for open in drying.into_iter().chain(dry) {
        let was_dry = !open.test.is_unfinished();
        let is_remembered = is_remembered(act, open)?;
        if was_dry && !is_remembered {
            continue;
        }
        let Some(continued) = open.test.weighed_on(&rest) else {
            if is_remembered {
                left.extend(open.test.drying());
            }
            continue;
        };
        let has_news = continued.has_news();
        let test = MoistureTest {
            method: request.method.unwrap_or(open.test.method),
            ..continued.test
        };
        let mut weighed = continued.weighed.iter();
        if was_dry && weighed.any(|again| again.is_dry_otherwise(&open.test, &test)) {
            continue;
        }
        named = Some(open.entry);
        rest = continued.rest;
        if is_remembered {
            left.extend(continued.left);
        }
        if has_news {
            refuse_weighed_too_soon(act, &test, open, &continued.weighed)?;
            found.push((test, request.at.unwrap_or(open.at), Some(open.entry)));
        }
    }
    if !rest.samples.is_empty() && !left.is_empty() {
        return Err(Refusal::UnknownDish(UnknownDish { lot, drying: left }).into());
    }
    let Some(named) = named else {
        return Ok(vec![(rest, request.at.unwrap_or(act.now()), None)]);
    };
    if !rest.samples.is_empty() || !rest.open.is_empty() {
        found.push((rest, request.at.unwrap_or(act.now()), None));
    }
    if found.is_empty() {
        let problem = Problem::new(format!(
            "entry {named} has these weights already: nothing new was weighed"
        ));
        return Err(problem
            .hint("type the dried weight behind pan and wet weight")
            .hint("for another dish of the same weights, say that it is a new one")
            .into());
    }
    Ok(found)
}

/// Whether two tests were written down with the same figures; of a laboratory's the book keeps millionths.
fn says_the_same(one: &MoistureTest, other: &MoistureTest) -> bool {
    let alike = |one: f64, other: f64| (one - other).abs() < 1e-6;
    match (&one.laboratory, &other.laboratory) {
        (Some(own), Some(said)) => {
            alike(own.wet_basis.get(), said.wet_basis.get())
                && alike(own.standard_uncertainty, said.standard_uncertainty)
        }
        _ => one == other,
    }
}

/// What is to be told where a sample of a new test was written down before.
fn same_sample(
    lot: LotCode,
    tests: &[TestRecord],
    (test, _, opened): &NewTest,
    entry: i64,
) -> Option<Notice> {
    let weighed_on = tests.iter().find(|other| Some(other.entry) == *opened);
    if let Some(dry) = weighed_on.filter(|other| !other.test.is_unfinished()) {
        return Some(Notice::DriedOn(lot, dry.entry, entry));
    }
    let mut others = tests
        .iter()
        .rev()
        .filter(|other| Some(other.entry) != *opened);
    if let Some(same) = others
        .clone()
        .find(|other| says_the_same(&other.test, test))
    {
        return Some(Notice::WrittenTwice {
            entries: vec![entry],
            earlier: same.entry,
        });
    }
    let shares = |other: &TestRecord| !other.test.shared_samples(test).is_empty();
    let same = others.find(|other| opened.is_none() && shares(other))?;
    Some(Notice::SameSample(same.entry, entry))
}

/// Refuses that a sample of a corrected test, which `was` otherwise, becomes one of another entry that would be weighed on: one
/// dish would count twice.
pub(super) fn refuse_dish_of_other(
    act: &Act<'_>,
    lot: &LotRecord,
    (entry, was): (i64, Option<&MoistureTest>),
    is: &MoistureTest,
) -> anyhow::Result<()> {
    for other in act.view().tests(lot)? {
        let may_be_meant = other.test.is_unfinished() || is_remembered(act, &other)?;
        if other.entry == entry || !may_be_meant {
            continue;
        }
        let known = was.map_or(Vec::new(), |was| was.shared_samples(&other.test));
        let mut shared = is.shared_samples(&other.test).into_iter();
        if let Some(dish) = shared.find(|dish| !known.contains(dish)) {
            return Err(Refusal::DishOfOther(DishOfOther {
                entry,
                other: other.entry,
                lot: lot.code,
                dish,
            })
            .into());
        }
    }
    Ok(())
}

/// How far below what its weights leave a sample may be, a fraction of wet mass: weighing and spilling. Judgement.
const DRIER: f64 = 0.05;

/// Refuses a test of dried grain that says much drier than the weights before and after the drying can be: its sample
/// was not dried on, or a weight is wrong.
pub(super) fn refuse_drier_than_weights(
    view: View<'_>,
    lot: &LotRecord,
    result: &TestResult,
) -> anyhow::Result<()> {
    let found = result.moisture.value;
    if let Some(weights) = by_weights(view, lot)?
        && result.is_usable()
        && found + DRIER < weights.0
    {
        return Err(Refusal::DrierThanWeights {
            lot: lot.code,
            found,
            weights,
        }
        .into());
    }
    Ok(())
}

/// What the weights before and after a drying leave of moisture: the 95 % range, where the lot was made by one.
pub(super) fn by_weights(view: View<'_>, lot: &LotRecord) -> anyhow::Result<Option<(f64, f64)>> {
    if !lot.form.is_dry() {
        return Ok(None);
    }
    let made = FactFinder::new(view)?.facts(lot.clone())?.moisture.made;
    Ok(made
        .filter(|made| matches!(made.from, Evidence::Treatment { .. }))
        .map(|made| {
            let (least, most) = made.range();
            (least.get(), most.get())
        }))
}

impl Desk {
    /// Records a test and answers with the moisture in force. Later weighings of samples that are still drying
    /// continue the entry that opened them. Of a test that makes no sense nothing is written.
    pub fn record_test(
        &mut self,
        request: &RecordTest<'_>,
    ) -> anyhow::Result<Answer<MoistureAnswer>> {
        let now = self.now;
        let (_, (entries, told), lacking) = self.act_on_lot(request.lot, |act, lot| {
            let as_of = guard::judged_as_of(act.view(), now)?;
            let tests = act.view().tests(&lot)?;
            let (mut entries, mut told) = (Vec::new(), Vec::new());
            for found in new_tests(act, lot.code, &tests, request)? {
                let (test, at, opened) = &found;
                test.refuse_too_little()?;
                let result = test.evaluate(lot.form, lot.kind)?;
                refuse_drier_than_weights(act.view(), &lot, &result)?;
                // A sample is of the lot that it was opened of, whichever part of it is named.
                let of = match opened.map(|opened| act.view().entry(opened)).transpose()? {
                    Some(opened) => act
                        .view()
                        .lot_even_struck(&opened.lot.unwrap_or(lot.code).to_string())?,
                    None => lot.clone(),
                };
                // A new sample is of the lot that is guarded, and of the moment that was said.
                let before = match opened {
                    Some(_) => judge_made_of(act.view(), &of, as_of)?,
                    None => Judged::new(),
                };
                let is_past = before.values().any(|one| one.verdict == Verdict::Past);
                let at = if is_past && request.at.is_none() {
                    now
                } else {
                    *at
                };
                // By its moisture only dried grain is judged.
                let gone_out = match of.form.is_dry() {
                    true => Some(OutflowsBefore::of(act.view(), vec![of.clone()])?),
                    false => None,
                };
                let written = (act.view().last_entry()?, as_of);
                let entry = act.moisture(&of, at, test, *opened)?;
                if let Some(gone_out) = gone_out {
                    let marks = gone_out.marks_of_past_kept(act.view())?;
                    told.extend(marks.notices());
                }
                if of.code != lot.code {
                    let after = judge_made_of(act.view(), &of, as_of)?;
                    refuse_eased(act.view(), written, &before, &after)?;
                }
                if !request.is_new_dish {
                    told.extend(same_sample(lot.code, &tests, &found, entry));
                }
                entries.push(entry);
            }
            Ok((lot, (entries, told)))
        })?;
        let mut found = self.moisture(request.lot)?;
        // The sample is in: of what is told before that, only how hot the grain is still helps.
        found
            .cautions
            .retain(|caution| *caution == Caution::HotGrain);
        let tests = found.answer.tests.iter().map(|test| &test.record);
        let written = tests.rev().find(|record| entries.contains(&record.entry));
        let method = written.map_or(request.test.method, |record| record.test.method);
        found.answer.written = entries;
        Ok(found
            .with_cautions(while_drying(method))
            .with_notices(lacking)
            .with_notices(told))
    }
}
