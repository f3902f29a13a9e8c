//! A timetable in words: what to do at each time of the clock.

use super::numbers::Units;
use super::times;
use crate::dough::formula::{Formula, Stage, StageKind, Step, StepKind};
use crate::dough::timetable::{Event, EventKind, Timetable, at_night};
use crate::quantity::{Instant, Zone};
use chrono::NaiveTime;

/// One line of a timetable.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The day, on the first line of each day: `Thu 19 Nov`.
    pub day: Option<String>,
    /// The time of the clock: `18:00`.
    pub clock: String,
    /// What to do: `bake at 230 °C with steam`.
    pub task: String,
    /// The formula's own words for it; of a stage, how it stands.
    pub words: Option<String>,
    /// How long it takes; nothing for what is done at one moment.
    pub takes: Option<String>,
    /// Whether somebody has to be there.
    pub hands_on: bool,
    /// Whether somebody has to work for it in the hours called night.
    pub at_night: bool,
}

/// The lines of a timetable in order of time.
pub fn rows(
    formula: &Formula,
    timetable: &Timetable,
    night: Option<(NaiveTime, NaiveTime)>,
    now: Instant,
    zone: &Zone,
    units: Units,
) -> Vec<Row> {
    let mut last_day = None;
    timetable
        .events
        .iter()
        .map(|event| {
            let local = zone.local(event.from);
            let is_new = last_day.replace(local.date()) != Some(local.date());
            Row {
                day: is_new.then(|| times::date(local.date(), zone.date(now))),
                clock: local.format("%H:%M").to_string(),
                task: task(formula, event, units),
                words: words(formula, event, units),
                takes: (event.until > event.from)
                    .then(|| times::minutes((event.until - event.from).num_minutes())),
                hands_on: event.hands_on,
                at_night: at_night(event, night, zone),
            }
        })
        .collect()
}

/// What to do, without how long it takes: `make the rye sponge`, `let it rise`, `bake at 230 °C`.
pub fn task(formula: &Formula, event: &Event, units: Units) -> String {
    match event.what {
        EventKind::Stage(position) => {
            let stage = &formula.stages[position];
            match stage.kind {
                StageKind::Preferment => format!("make the {}", stage.name),
                StageKind::Soaker => format!("put the {} to soak", stage.name),
                StageKind::Final => format!("mix the {}", stage.name),
            }
        }
        EventKind::Step(position) => step(&formula.steps[position], units),
    }
}

/// `bake at 218 °C, the first 9 min with steam`.
fn step(step: &Step, units: Units) -> String {
    let words = match step.kind {
        StepKind::Mix => "mix the dough",
        StepKind::Rest => "let it rest",
        StepKind::Fold => "fold",
        StepKind::Knead => "knead",
        StepKind::Rise => "let it rise",
        StepKind::Divide => "divide",
        StepKind::Shape => "shape",
        StepKind::Proof => "proof",
        StepKind::Bake => "bake",
        StepKind::Cool => "let it cool",
    };
    let temperature = step
        .temperature
        .map_or(String::new(), |at| format!(" at {}", units.temperature(at)));
    let steam = step.steam.map_or(String::new(), |steam| {
        if steam >= step.takes {
            " with steam".to_owned()
        } else {
            let first = times::minutes(steam.num_minutes());
            format!(", the first {first} with steam")
        }
    });
    format!("{words}{temperature}{steam}")
}

/// The formula's own words for a step; of a stage, how it stands until mixing.
fn words(formula: &Formula, event: &Event, units: Units) -> Option<String> {
    match event.what {
        EventKind::Step(position) => formula.steps[position].words.clone(),
        EventKind::Stage(position) => stands(&formula.stages[position], units),
    }
}

/// How an earlier stage stands until mixing: `stands 12 h at 20 °C`.
pub fn stands(stage: &Stage, units: Units) -> Option<String> {
    let length = times::minutes(stage.ripens?.num_minutes());
    let temperature = stage
        .temperature
        .map_or(String::new(), |at| format!(" at {}", units.oven(at)));
    Some(format!("stands {length}{temperature}"))
}
