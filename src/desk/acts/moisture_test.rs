//! Records a moisture test of a lot.

use crate::desk::{Answer, Desk};
use crate::grain::{Method, MoistureTest};
use crate::quantity::Instant;
use crate::report::Caution;
use crate::report::moisture::MoistureAnswer;

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

impl Desk {
    /// Records a test and answers with the moisture in force. Later weighings of samples that are still drying
    /// continue the entry that opened them. Of a test that makes no sense nothing is written.
    pub fn record_test(
        &mut self,
        request: &RecordTest<'_>,
    ) -> anyhow::Result<Answer<MoistureAnswer>> {
        let (_, entry, lacking) = self.act_on_lot(request.lot, |act, lot| {
            let continued = act
                .view()
                .tests(&lot)?
                .into_iter()
                .rev()
                .filter(|open| open.test.is_unfinished())
                .find_map(|open| Some((open.test.weighed_on(request.test)?, open)));
            let (test, at, opened) = match continued {
                Some((test, open)) => (
                    MoistureTest {
                        method: request.method.unwrap_or(open.test.method),
                        ..test
                    },
                    request.at.unwrap_or(open.at),
                    Some(open.entry),
                ),
                None => (request.test.clone(), request.at.unwrap_or(act.now()), None),
            };
            test.evaluate(lot.form, lot.kind)?;
            let entry = act.moisture(&lot, at, &test, opened)?;
            Ok((lot, entry))
        })?;
        let mut answer = self.moisture(request.lot)?.answer;
        answer.written = Some(entry);
        let tests = answer.tests.iter().map(|test| &test.record);
        let written = tests.rev().find(|record| record.entry == entry);
        let method = written.map_or(request.test.method, |record| record.test.method);
        Ok(Answer::new(answer, while_drying(method)).with_notices(lacking))
    }
}
