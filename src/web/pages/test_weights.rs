//! The weights of a moisture test, on the form that corrects its entry.

use crate::grain::{MoistureTest, OpenSample, PanReadings, Weighing};
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, WetBasis, bounds};
use crate::web::draw;
use crate::web::fields::Typed;
use crate::web::visit::Visit;
use maud::{Markup, html};

/// One pan as it is booked.
struct Pan {
    empty: Milligrams,
    wet: Milligrams,
    dried: Vec<Milligrams>,
    /// It was weighed wet in an entry of its own: its wet weight stands before the dried ones.
    was_opened: bool,
    is_drying: bool,
}

fn pans(test: &MoistureTest) -> Vec<Pan> {
    let dried = test.samples.iter().map(|sample| {
        let first = &sample.first;
        let was_opened = first.dry().first() == Some(&first.wet());
        Pan {
            empty: first.pan(),
            wet: first.wet(),
            dried: first.dry()[usize::from(was_opened)..].to_vec(),
            was_opened,
            is_drying: !test.is_finished(sample),
        }
    });
    let open = test.open.iter().map(|open| Pan {
        empty: open.pan,
        wet: open.wet,
        dried: Vec::new(),
        was_opened: true,
        is_drying: true,
    });
    dried.chain(open).collect()
}

/// What the fields of the weights begin with.
const WEIGHT: &str = "weight_";

fn field(place: usize, step: usize) -> String {
    format!("{WEIGHT}{place}_{step}")
}

/// A field for each weight with what is booked, or for the laboratory's figure.
pub(super) fn fields(visit: &Visit, test: &MoistureTest) -> Markup {
    if test.laboratory.is_some() {
        return draw::count(visit, "lab", "Moisture found by the laboratory", "", "%");
    }
    html! {
        @for (place, pan) in pans(test).iter().enumerate() {
            fieldset {
                legend { "Pan " (place + 1) }
                @for (step, (what, booked)) in weights(pan).iter().enumerate() {
                    (draw::mass(visit, &field(place, step), &format!("{what}, booked {} g", booked.grams()), "", "g"))
                }
                @if pan.is_drying {
                    (draw::mass(visit, &field(place, pan.dried.len() + 2), "Dried, a weight that was not booked", "", "g"))
                }
            }
        }
    }
}

fn weights(pan: &Pan) -> Vec<(&'static str, Milligrams)> {
    let dried = pan.dried.iter().map(|weight| ("Dried", *weight));
    [("Empty pan", pan.empty), ("With wet grain", pan.wet)]
        .into_iter()
        .chain(dried)
        .collect()
}

/// All pans with what was typed of them; none where nothing was typed. Nothing at all where something is wrong.
pub(super) fn read(typed: &mut Typed, test: &MoistureTest) -> Option<Vec<PanReadings>> {
    let is_typed = typed
        .measures()
        .any(|(field, ..)| field.starts_with(WEIGHT));
    if !is_typed {
        return Some(Vec::new());
    }
    let pans = pans(test);
    let read = pans.iter().enumerate();
    read.map(|(place, pan)| pan_of(typed, place, pan)).collect()
}

fn pan_of(typed: &mut Typed, place: usize, pan: &Pan) -> Option<PanReadings> {
    let mut right = Vec::new();
    for (step, (_, booked)) in weights(pan).into_iter().enumerate() {
        let weight = typed.mass_or_nothing_if(&field(place, step))?;
        right.push(weight.unwrap_or(booked));
    }
    // Only a pan that is drying has this field.
    right.extend(typed.mass_if(&field(place, pan.dried.len() + 2))?);
    match readings(&right, pan.was_opened) {
        Ok(readings) => Some(readings),
        Err(problem) => {
            typed.fault(&field(place, 0), &problem);
            None
        }
    }
}

fn readings(right: &[Milligrams], was_opened: bool) -> Result<PanReadings, Problem> {
    let (empty, wet) = (right[0], right[1]);
    let mut dried = right[2..].to_vec();
    if dried.is_empty() {
        return OpenSample::new(empty, wet).map(PanReadings::Wet);
    }
    if was_opened {
        dried.insert(0, wet);
    }
    Weighing::new(empty, wet, dried).map(PanReadings::Dried)
}

/// The laboratory's figure; nothing inside where none was typed.
pub(super) fn laboratory(typed: &mut Typed) -> Option<Option<WetBasis>> {
    let Some(percent) = typed.value_if::<Percent>("lab", "%")? else {
        return Some(None);
    };
    match percent.within(&bounds::MOISTURE).and_then(WetBasis::new) {
        Ok(moisture) => Some(Some(moisture)),
        Err(problem) => {
            typed.fault("lab", &problem);
            None
        }
    }
}
