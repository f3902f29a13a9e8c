//! Whether a tub cools in time, what to do where it does not, then the calculation.

use super::numbers::Units;
use super::words;
use crate::heat::cooling::{Air, ICE_WATER_COEFFICIENT, Underside};
use crate::keeping::Layer;
use crate::quantity::Length;
use crate::quantity::text::trimmed;
use crate::report::cool::{CoolAnswer, Forecast};

/// The whole answer, the verdict first.
pub fn text(answer: &CoolAnswer, units: Units) -> String {
    let mut out = String::new();
    let (request, rules) = (&answer.request, &answer.rules);
    let forecast = answer.forecast();
    let first = units.limit(rules.cooling.first_to);
    let cold = units.limit(rules.cold.limit);
    words::labelled(
        &mut out,
        match forecast {
            Forecast::InTime => "In time",
            Forecast::Doubtful => "Doubtful",
            Forecast::TooSlow => "Too slow",
        },
        &match forecast {
            Forecast::InTime if answer.clock_runs_already() => format!(
                "the middle should be at {cold} in time if the grain left {} only just now; take its temperature all the same",
                units.limit(rules.hot.limit)
            ),
            Forecast::InTime => {
                format!("the middle should be at {cold} in time; take its temperature all the same")
            }
            Forecast::Doubtful => format!(
                "the middle may or may not be at {cold} in time: do what stands below, or do not count on this grain"
            ),
            Forecast::TooSlow => format!(
                "the middle will not be at {cold} in time, cooled by this air alone: do not leave it like this"
            ),
        },
    );
    if forecast != Forecast::InTime {
        ways_out(&mut out, answer, units);
    }
    out.push('\n');
    words::labelled(
        &mut out,
        "Grain",
        &format!(
            "{} deep at {}, {}, {} grain of {} % moisture",
            length(request.depth, units),
            units.temperature(request.start),
            match request.width {
                Some(width) => format!("in a round tub {} wide", length(width, units)),
                None => "a wide tray, its sides not counted".to_owned(),
            },
            request.form,
            trimmed(answer.moisture.percent(), 1),
        ),
    );
    words::labelled(
        &mut out,
        "Place",
        &format!(
            "{} air of {}, {}",
            request.air.as_str(),
            units.temperature(request.fridge),
            match request.underside {
                Underside::Shelf =>
                    "on a shelf: nothing leaves through the bottom, the middle of the bottom is warmest",
                Underside::Rack => "on a rack: air reaches the bottom too",
            }
        ),
    );
    words::labelled(
        &mut out,
        "Middle",
        &format!(
            "at {first} {}; at {cold} {}",
            span(answer.quick.to_first, answer.slow.to_first),
            span(answer.quick.to_cold, answer.slow.to_cold)
        ),
    );
    words::labelled(
        &mut out,
        "Range",
        &format!(
            "air takes {} to {} W/(m² K), judgement; grain conducts {} W/(m K), Choi and Okos 1986",
            answer.slow.coefficient,
            answer.quick.coefficient,
            trimmed(answer.material.conductivity, 2)
        ),
    );
    let [one, two] = rules.cooling_in_words();
    words::labelled(
        &mut out,
        "Rule",
        &units.in_words(&format!(
            "{one}; {two} [{}: {}]",
            rules.name, rules.cooling.source
        )),
    );
    if forecast == Forecast::InTime {
        words::labelled(&mut out, "Depth", &deepest(answer, units));
    }
    if answer.clock_runs_already() {
        words::labelled(
            &mut out,
            "Clock",
            &format!(
                "it runs from when the grain left {}: take off what has passed already",
                units.limit(rules.hot.limit)
            ),
        );
    }
    words::labelled(
        &mut out,
        "Left out",
        &units.in_words(&left_out(answer).join("; ")),
    );
    out
}

/// What the calculation leaves out, and which way that goes, in °C.
pub fn left_out(answer: &CoolAnswer) -> [&'static str; 3] {
    let steam = if answer.clock_runs_already() {
        "steam from open grain: faster, though less than from hot grain"
    } else {
        "steam from open grain: faster, at 62 °C the top gives off three times as much heat as counted here and more, and from there on some 4 % of the weight is lost"
    };
    [
        steam,
        "a closed lid: slower, the top gives off about half of what still air takes",
        "a full or small fridge that warms: slower, at 4 °C the last part to 5 °C takes twice as long as at 3 °C",
    ]
}

fn ways_out(out: &mut String, answer: &CoolAnswer, units: Units) {
    let request = &answer.request;
    words::labelled(out, "Do", &format!("depth: {}", deepest(answer, units)));
    let better = request.underside == Underside::Shelf || request.air == Air::Still;
    if let Some(depth) = answer.deepest_on_a_rack.filter(|_| better) {
        words::labelled(
            out,
            "",
            &format!(
                "in portions on a rack with a fan: no deeper than {}",
                metres_down(depth, units)
            ),
        );
    }
    if let Some(depth) = answer.thickest_in_ice_water {
        words::labelled(
            out,
            "",
            &format!(
                "in flat bags, the air pressed out, in ice water, moved now and then: no thicker than {} ({ICE_WATER_COEFFICIENT} W/(m² K), judgement)",
                metres_down(depth, units)
            ),
        );
    }
    words::labelled(
        out,
        "",
        "in any case stir, measure the middle before the first limit, and keep hot tubs away from what is cold",
    );
}

fn deepest(answer: &CoolAnswer, units: Units) -> String {
    match (answer.slow.deepest, answer.quick.deepest) {
        (Some(slow), Some(quick)) => format!(
            "here no deeper than {} to be sure, {} at best, without its steam",
            metres_down(slow, units),
            metres_down(quick, units)
        ),
        (None, Some(quick)) => format!(
            "here no deeper than {} at best, without its steam, and no depth is sure",
            metres_down(quick, units)
        ),
        _ => "no layer, however thin, cools in time here".to_owned(),
    }
}

/// A depth rounded down to the millimetre or the tenth of an inch.
fn metres_down(metres: f64, units: Units) -> String {
    let (unit, name) = unit(units);
    format!(
        "{} {name}",
        trimmed((metres / unit * 10.0 + 1e-6).floor() / 10.0, 1)
    )
}

/// `a layer of 1 cm`, or `a layer of 1 cm that cools like one of 2 cm`.
pub(super) fn layer(layer: Layer, units: Units) -> String {
    let (thin, thick) = (length(layer.depth, units), length(layer.cools_like, units));
    if thin == thick {
        format!("a layer of {thin}")
    } else {
        format!("a layer of {thin} that cools like one of {thick}")
    }
}

pub(super) fn length(length: Length, units: Units) -> String {
    let (unit, name) = unit(units);
    format!("{} {name}", trimmed(length.metres() / unit, 1))
}

const fn unit(units: Units) -> (f64, &'static str) {
    match units {
        Units::Metric => (0.01, "cm"),
        Units::Us => (0.0254, "in"),
    }
}

/// `after 5 h to 9 h`; the quicker rounded down, the slower rounded up.
fn span(quick: Option<f64>, slow: Option<f64>) -> String {
    match (quick, slow) {
        (Some(quick), Some(slow)) if slow == 0.0 && quick == 0.0 => "from the beginning".to_owned(),
        (Some(quick), Some(slow)) => {
            format!("after {} to {}", hours(quick, false), hours(slow, true))
        }
        (Some(quick), None) => format!("after {} or never", hours(quick, false)),
        _ => "never".to_owned(),
    }
}

/// To 5 min below 4 h, to half an hour below 12 h, else to the hour.
fn hours(seconds: f64, up: bool) -> String {
    let step = match seconds / 3600.0 {
        h if h < 4.0 => 300.0,
        h if h < 12.0 => 1800.0,
        _ => 3600.0,
    };
    let steps = seconds / step;
    let steps = if up { steps.ceil() } else { steps.floor() };
    super::times::minutes((steps * step / 60.0) as i64)
}
