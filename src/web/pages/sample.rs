//! A sample in the oven: pan and wet weight now, the dry weight hours later, several pans at once.

use super::lot_acts::when;
use crate::desk::RecordTest;
use crate::grain::{Method, MoistureTest, PanReadings};
use crate::quantity::{Milligrams, Problem};
use crate::render::{numbers, times};
use crate::report::Caution;
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

/// The readings so far of each pan that is still drying, as text with units.
fn readings(test: &MoistureTest) -> Vec<String> {
    let typed = |mass: &Milligrams| mass.as_typed();
    let drying = test.samples.iter().filter(|one| !test.is_finished(one));
    let dried = drying.map(|sample| {
        let first = &sample.first;
        let all = [first.pan(), first.wet()];
        let all: Vec<String> = all.iter().chain(first.dry()).map(typed).collect();
        all.join(",")
    });
    let open = test
        .open
        .iter()
        .map(|open| format!("{},{}", typed(&open.pan), typed(&open.wet)));
    dried.chain(open).collect()
}

/// The same to read: the wet weight, with which the drying of an opened sample begins, is said once.
fn booked(readings: &str) -> String {
    let mut weights: Vec<&str> = readings.split(',').collect();
    weights.dedup();
    let names = ["empty", "wet"]
        .into_iter()
        .chain(std::iter::repeat("dried"));
    let named = names
        .zip(weights)
        .map(|(name, weight)| format!("{name} {} g", weight.trim_end_matches('g')));
    named.collect::<Vec<_>>().join(", ")
}

/// The readings with the last dried weight once more: it was weighed again and stayed the same. Nothing where the pan was
/// not weighed dried yet.
fn seen_again(readings: &str) -> Option<String> {
    let last = readings.split(',').skip(2).last()?;
    Some(format!("{readings},{last}"))
}

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    // Whoever comes here dries one, or has one in the oven.
    let found = visit.desk.moisture(visit.part("lot"))?;
    let found = found.with_cautions([Caution::DryingASample]);
    let cautions = visit.notes_of(&found).cautions;
    let known = found.answer;
    let drying = visit.desk.drying(visit.part("lot"))?;
    let pans = drying.iter().flat_map(|open| readings(&open.test));
    let pans: Vec<String> = pans.collect();
    let method = drying.first().map_or(Method::Oven, |open| open.test.method);
    let (now, zone) = (visit.now, visit.zone());
    Ok(html! {
        p.lead { "Known so far: " (numbers::estimate(&known.estimate)) }
        @if let Some(first) = drying.last() {
            p { "Drying since " (times::moment(first.at, now, zone)) ". Weigh the pans again. Leave empty what you do not weigh now: it stays in the oven. A sample is dry once two weights in a row agree, and no earlier weight is lighter. If all still weigh what is booked, tick the box alone." }
            @for (place, before) in pans.iter().enumerate() {
                @let field = format!("dry_{place}");
                input type="hidden" name=(format!("before_{place}")) value=(before);
                (draw::mass(visit, &field, &format!("Pan {} now. Booked: {}", place + 1, booked(before)), "", "g"))
            }
            (draw::tick(visit, "twice", "I weighed twice, 10 min in the oven between, and the weights stayed the same", false))
        } @else {
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
        (draw::choices(visit, "method", "Dried in", &methods(), method.as_str()))
        @if drying.is_empty() {
            (draw::tick(visit, "new_dish", "These are other dishes than those weighed before, even where they weigh the same", false))
            (when(visit))
        }
        (draw::cautions(&cautions))
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
    let is_twice = visit.typed.given("twice").is_some();
    let is_drying = visit.typed.given("before_0").is_some();
    // The time of a sample is when it was taken: weighing it again does not move it.
    let at = if is_drying {
        Some(None)
    } else {
        let (moment, zone) = (visit.moment(), visit.zone().clone());
        let at = visit.typed.past_if("at", moment, &zone);
        at.map(|at| at.or_else(|| visit.typed_at()))
    };
    let is_weighed = visit
        .typed
        .measures()
        .any(|(field, ..)| field.starts_with("dry_"));
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
            Some(dry) if is_twice => Some(format!("{begin},{dry},{dry}")),
            Some(dry) => Some(format!("{begin},{dry}")),
            // A pan that is drying and was not weighed now stays as it is, but where the box alone speaks of all.
            None if is_drying && is_twice && !is_weighed => seen_again(&begin),
            None if is_drying => None,
            None => Some(begin),
        };
        let Some(all) = all else {
            continue;
        };
        match all.parse() {
            Ok(readings) => pans.push(readings),
            Err(problem) => {
                visit.typed.fault(&field("dry"), &problem);
            }
        }
    }
    let method = visit.typed.one_of::<Method>("method", "how it was dried");
    let (Some(method), Some(at)) = (method, at) else {
        return Err(Faulty.into());
    };
    visit.typed.all_read()?;
    if pans.is_empty() {
        let (field, words) = if is_drying {
            ("dry_0", "no pan was weighed: type at least one weight")
        } else {
            ("pan_0", "no pan is filled in")
        };
        let problem = Problem::new(words);
        return Err(visit.typed.fault(field, &problem).into());
    }
    let test = MoistureTest::of_pans(method, READABILITY, &pans);
    let lot = visit.part("lot").to_owned();
    let answer = visit.desk.record_test(&RecordTest {
        lot: &lot,
        test: &test,
        method: Some(method),
        at,
        is_new_dish: visit.typed.given("new_dish").is_some(),
    })?;
    Ok(visit.booked(&answer))
}
