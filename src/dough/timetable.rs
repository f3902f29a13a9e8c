//! When each stage and step of a dough begins, worked out from the moment that matters.
//!
//! Durations are elapsed time: a rise of an hour is an hour, also in a night in which the clock is changed.

use super::formula::{Formula, Step, StepKind};
use crate::quantity::text::one_of;
use crate::quantity::{Instant, Problem, Zone};
use chrono::{Duration, NaiveTime};
use std::fmt;
use std::str::FromStr;

/// The moment of a bake that is fixed; all others follow from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Point {
    /// Mixing of the final dough begins.
    Mix,
    /// The first bake step begins.
    InOven,
    /// The last step ends.
    Ready,
}

impl Point {
    /// Every point.
    pub const ALL: [Self; 3] = [Self::Mix, Self::InOven, Self::Ready];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Mix => "mix",
            Self::InOven => "in-oven",
            Self::Ready => "ready",
        }
    }
}

impl fmt::Display for Point {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

impl FromStr for Point {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "point", &Self::ALL, Self::as_str)
    }
}

/// What happens when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timetable {
    /// Mixing of the final dough begins.
    pub mix_at: Instant,
    /// The first bake step begins; nothing where the formula has none.
    pub in_oven_at: Option<Instant>,
    /// The last step ends. Of a formula without steps nothing is known beyond [`Timetable::mix_at`], and
    /// this is the same moment.
    pub ready_at: Instant,
    /// Everything in order of time.
    pub events: Vec<Event>,
}

/// One thing that happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Event {
    /// Begin.
    pub from: Instant,
    /// End. A stage is put together at one moment, since a formula does not say how long that takes: its
    /// end is its begin, and it stands from then until mixing.
    pub until: Instant,
    /// What it is.
    pub what: EventKind,
    /// Whether somebody has to be there all the while.
    pub hands_on: bool,
    /// Whether somebody has to be at the oven when it begins and when it ends.
    pub at_oven: bool,
}

/// What an event is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The stage at this position of [`Formula::stages`] is put together. The final dough has no event of
    /// its own where the first step is its mixing.
    Stage(usize),
    /// The step at this position of [`Formula::steps`].
    Step(usize),
}

impl EventKind {
    /// Whether dough, or a stage of it, is put together.
    pub const fn makes_dough(self) -> bool {
        matches!(self, Self::Stage(_) | Self::Step(0))
    }
}

impl Timetable {
    /// The first moment at which there is something to do.
    pub fn begins_at(&self) -> Instant {
        self.events.first().map_or(self.mix_at, |event| event.from)
    }
}

/// Works out when each stage and step begins if `point` falls on `at`.
///
/// An earlier stage that ripens is put together so long before mixing; one that does not, right before
/// it. Refused where the formula does not say what `point` needs.
pub fn work_out(formula: &Formula, point: Point, at: Instant) -> Result<Timetable, Problem> {
    let total = length(&formula.steps);
    let to_oven = formula
        .steps
        .iter()
        .position(|step| step.kind == StepKind::Bake)
        .map(|bake| length(&formula.steps[..bake]));
    let before_point = match point {
        Point::Mix => Duration::zero(),
        Point::InOven => to_oven.ok_or_else(|| lacks(formula, point, "step `bake`"))?,
        Point::Ready if formula.steps.is_empty() => return Err(lacks(formula, point, "step")),
        Point::Ready => total,
    };
    let mix_at = at - before_point;
    let mut events = stage_events(formula, mix_at);
    let mut from = mix_at;
    for (position, step) in formula.steps.iter().enumerate() {
        let until = from + step.takes;
        events.push(Event {
            from,
            until,
            what: EventKind::Step(position),
            hands_on: step.hands_on,
            at_oven: step.kind == StepKind::Bake,
        });
        from = until;
    }
    Ok(Timetable {
        mix_at,
        in_oven_at: to_oven.map(|to_oven| mix_at + to_oven),
        ready_at: mix_at + total,
        events,
    })
}

fn length(steps: &[Step]) -> Duration {
    steps
        .iter()
        .fold(Duration::zero(), |sum, step| sum + step.takes)
}

/// The moments at which stages are put together, earliest first; of two at one moment the one that the
/// formula makes first.
fn stage_events(formula: &Formula, mix_at: Instant) -> Vec<Event> {
    let mixing_is_a_step = formula
        .steps
        .first()
        .is_some_and(|step| step.kind == StepKind::Mix);
    let named = formula.stages.len() - usize::from(mixing_is_a_step);
    let mut events: Vec<Event> = formula.stages[..named]
        .iter()
        .enumerate()
        .map(|(position, stage)| {
            let at = mix_at - stage.ripens.unwrap_or_else(Duration::zero);
            Event {
                from: at,
                until: at,
                what: EventKind::Stage(position),
                hands_on: true,
                at_oven: false,
            }
        })
        .collect();
    events.sort_by_key(|event| event.from);
    events
}

fn lacks(formula: &Formula, point: Point, what: &str) -> Problem {
    Problem::new(format!(
        "formula `{}` has no {what}, so nothing says how long it is from mixing to {point}",
        formula.name
    ))
    .hint("write its steps into the formula and add it again, or give the time of mixing")
}

/// Whether somebody has to work in the hours that are called night, from the first time of the clock up to
/// the second, over midnight where the second is the earlier one.
///
/// Somebody works all through what is hands-on, and at the oven when baking begins and when it ends.
pub fn at_night(event: &Event, night: Option<(NaiveTime, NaiveTime)>, zone: &Zone) -> bool {
    let Some((begin, end)) = night else {
        return false;
    };
    let is_night = |at: Instant| {
        let clock = zone.local(at).time();
        if begin <= end {
            (begin..end).contains(&clock)
        } else {
            clock >= begin || clock < end
        }
    };
    if event.hands_on {
        // Minute by minute, as the clock shows it: the change of the clock may lie in between. Longer than
        // a day meets every hour there is.
        let minutes = (event.until - event.from).num_minutes().clamp(1, 25 * 60);
        (0..minutes).any(|minute| is_night(event.from + Duration::minutes(minute)))
    } else {
        event.at_oven && (is_night(event.from) || is_night(event.until))
    }
}

#[cfg(test)]
mod tests;
