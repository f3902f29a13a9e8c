//! A sample in the oven: pan and wet weight now, the dry weight hours later, several pans at once.

use crate::desk::RecordTest;
use crate::grain::{Method, MoistureTest, PanReadings};
use crate::ledger::TestRecord;
use crate::quantity::{Milligrams, Problem};
use crate::render::{numbers, times};
use crate::web::draw::{self, Choice};
use crate::web::fields::{Faulty, number};
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::form(
    "/lot/{lot}/sample",
    Form {
        title: |visit| format!("Sample of {}", visit.part("lot")),
        show,
        act,
    },
)];

/// Pans that one form opens.
const PANS: usize = 3;
/// What a kitchen scale shows as its smallest step: as on the command line.
const READABILITY: Milligrams = Milligrams::new(100);

fn drying(visit: &Visit) -> anyhow::Result<Option<TestRecord>> {
    let mut open = visit.desk.drying(visit.part("lot"))?;
    Ok(if open.is_empty() {
        None
    } else {
        Some(open.remove(0))
    })
}

/// The readings of each pan of a test so far, as text with units.
fn readings(test: &MoistureTest) -> Vec<String> {
    let grams = |mass: Milligrams| format!("{}g", mass.grams());
    let dried = test.samples.iter().map(|sample| {
        let first = &sample.first;
        let mut all = vec![grams(first.pan()), grams(first.wet())];
        all.extend(first.dry().iter().map(|dry| grams(*dry)));
        all.join(",")
    });
    let open = test
        .open
        .iter()
        .map(|open| format!("{},{}", grams(open.pan), grams(open.wet)));
    dried.chain(open).collect()
}

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let known = visit.desk.moisture(visit.part("lot"))?.answer;
    let drying = drying(visit)?;
    let (now, zone) = (visit.now, visit.zone());
    Ok(html! {
        p.lead { "Known so far: " (numbers::estimate(&known.estimate)) }
        @match drying {
            Some(open) => {
                p { "In the oven since " (times::moment(open.at, now, zone)) ". Weigh each pan again; what is still drying is left empty." }
                @for (place, before) in readings(&open.test).iter().enumerate() {
                    @let field = format!("dry_{place}");
                    input type="hidden" name=(format!("before_{place}")) value=(before);
                    (draw::mass(visit, &field, &format!("Pan {}, so far {}: now", place + 1, before.replace(',', ", ")), "", "g"))
                }
            }
            None => {
                p { "Weigh the empty pan, then the pan with wet grain. Weigh it again when it is dry: Today reminds you." }
                @for place in 0..PANS {
                    fieldset {
                        legend { "Pan " (place + 1) }
                        (draw::mass(visit, &format!("pan_{place}"), "Empty pan", "", "g"))
                        (draw::mass(visit, &format!("wet_{place}"), "With wet grain", "", "g"))
                        (draw::mass(visit, &format!("dry_{place}"), "Dry, if it is dry already", "", "g"))
                    }
                }
            }
        }
        (draw::choices(visit, "method", "Dried in", &methods(), Method::Oven.as_str()))
        (draw::book(visit, "Book the sample"))
    })
}

fn methods() -> Vec<Choice> {
    [Method::Oven, Method::Microwave, Method::AirFryer]
        .iter()
        .map(|method| Choice::plain(method.as_str()))
        .collect()
}

/// A mass as text with its unit; a tared pan weighs nothing.
fn mass(visit: &mut Visit, field: &str) -> Option<Option<String>> {
    let Some(typed) = visit.typed.given(field) else {
        return Some(None);
    };
    let unit = visit.typed.hidden(&format!("{field}_unit")).to_owned();
    match number(&typed, &unit) {
        Ok(text) => Some(Some(text)),
        Err(problem) => {
            visit.typed.fault(field, &problem);
            None
        }
    }
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let mut pans: Vec<PanReadings> = Vec::new();
    for place in 0.. {
        let before = visit.typed.given(&format!("before_{place}"));
        if before.is_none() && place >= PANS {
            break;
        }
        let field = |name: &str| format!("{name}_{place}");
        let begin = match before {
            Some(before) => Some(before),
            None => {
                let pan = mass(visit, &field("pan"));
                let wet = mass(visit, &field("wet"));
                match (pan, wet) {
                    (Some(Some(pan)), Some(Some(wet))) => Some(format!("{pan},{wet}")),
                    (Some(None), Some(None)) => None,
                    (Some(None), Some(Some(_))) => {
                        let problem = Problem::new("the empty pan is missing: 0 if it was tared");
                        visit.typed.fault(&field("pan"), &problem);
                        None
                    }
                    (Some(Some(_)), Some(None)) => {
                        let problem = Problem::new("the pan with wet grain is missing");
                        visit.typed.fault(&field("wet"), &problem);
                        None
                    }
                    _ => None,
                }
            }
        };
        let dry = mass(visit, &field("dry"));
        let (Some(begin), Some(dry)) = (begin, dry) else {
            continue;
        };
        let all = match dry {
            Some(dry) => format!("{begin},{dry}"),
            None => begin,
        };
        match all.parse() {
            Ok(readings) => pans.push(readings),
            Err(problem) => {
                visit.typed.fault(&field("dry"), &problem);
            }
        }
    }
    let Some(method) = visit.typed.one_of::<Method>("method", "how it was dried") else {
        return Err(Faulty.into());
    };
    visit.typed.all_read()?;
    if pans.is_empty() {
        let problem = Problem::new("no pan is filled in");
        return Err(visit.typed.fault("pan_0", &problem).into());
    }
    let test = MoistureTest::of_pans(method, READABILITY, &pans);
    let lot = visit.part("lot").to_owned();
    let answer = visit.desk.record_test(&RecordTest {
        lot: &lot,
        test: &test,
        method: Some(method),
        at: visit.typed_at(),
    })?;
    Ok(visit.booked(&answer))
}
