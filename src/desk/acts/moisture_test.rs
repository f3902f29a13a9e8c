//! Records a moisture test of a lot.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, Refusal};
use crate::grain::{Evidence, Method, MoistureTest, Sample, TestResult};
use crate::ledger::{LotRecord, TestRecord, View};
use crate::quantity::Instant;
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
    /// When the sample was taken; nothing for now, or for when it was opened.
    pub at: Option<Instant>,
}

/// Sooner after the weighing before it a weight that has not changed does not show that a sample is dry: judgement. In a
/// microwave oven a spell is a minute (Saskatchewan Agriculture, microwave method, from memory).
const fn shortest_spell(method: Method) -> Duration {
    match method {
        Method::Microwave => Duration::minutes(1),
        Method::Oven | Method::AirFryer | Method::Lab => Duration::minutes(10),
    }
}

/// Refuses weights that end the drying of samples minutes after those before were written down.
fn refuse_weighed_too_soon(
    test: &MoistureTest,
    open: &TestRecord,
    since: Duration,
) -> Result<(), Refusal> {
    let shortest = shortest_spell(open.test.method).max(shortest_spell(test.method));
    if test.is_unfinished() || since >= shortest {
        return Ok(());
    }
    Err(Refusal::WeighedTooSoon {
        entry: open.entry,
        minutes: since.num_minutes(),
        shortest: shortest.num_minutes(),
    })
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
            let (least, most) = made.moisture.range();
            (least, most.min(1.0))
        }))
}

impl Desk {
    /// Records a test and answers with the moisture in force. Later weighings of samples that are still drying
    /// continue the entry that opened them. Of a test that makes no sense nothing is written.
    pub fn record_test(
        &mut self,
        request: &RecordTest<'_>,
    ) -> anyhow::Result<Answer<MoistureAnswer>> {
        let (_, (entry, twice), lacking) = self.act_on_lot(request.lot, |act, lot| {
            let continued = act
                .view()
                .tests(&lot)?
                .into_iter()
                .rev()
                .filter(|open| open.test.is_unfinished())
                .find_map(|open| Some((open.test.weighed_on(request.test)?, open)));
            let (test, at, opened) = match continued {
                Some((test, open)) => {
                    let test = MoistureTest {
                        method: request.method.unwrap_or(open.test.method),
                        ..test
                    };
                    // Of a sample that was only opened it is known when it was taken.
                    let last = if open.test.samples.is_empty() {
                        open.at
                    } else {
                        act.view().entry(open.entry)?.recorded_at
                    };
                    let since = act.now() - last;
                    // Several weights typed at once are of several weighings.
                    let once = |sample: &Sample| sample.first.dry().len() == 1;
                    if request.test.samples.iter().any(once) {
                        refuse_weighed_too_soon(&test, &open, since)?;
                    }
                    (test, request.at.unwrap_or(open.at), Some(open.entry))
                }
                None => (request.test.clone(), request.at.unwrap_or(act.now()), None),
            };
            let result = test.evaluate(lot.form, lot.kind)?;
            refuse_drier_than_weights(act.view(), &lot, &result)?;
            let same = act
                .view()
                .tests(&lot)?
                .into_iter()
                .find(|other| Some(other.entry) != opened && other.test == test);
            let entry = act.moisture(&lot, at, &test, opened)?;
            let twice = same.map(|same| Notice::WrittenTwice {
                entries: vec![entry],
                earlier: same.entry,
            });
            Ok((lot, (entry, twice)))
        })?;
        let mut answer = self.moisture(request.lot)?.answer;
        answer.written = Some(entry);
        let tests = answer.tests.iter().map(|test| &test.record);
        let written = tests.rev().find(|record| record.entry == entry);
        let method = written.map_or(request.test.method, |record| record.test.method);
        Ok(Answer::new(answer, while_drying(method))
            .with_notices(lacking)
            .with_notices(twice))
    }
}
