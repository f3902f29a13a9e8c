//! What a treatment or a join does to the history of the grain.

use super::Line;
use crate::keeping::{Event, RuleSet, What};
use crate::quantity::{Instant, Temperature};

/// What a treatment or a join adds to the line of one lot that went in.
pub(super) struct Handled {
    pub at: Instant,
    /// From when on it was worked on, and how warm it was there.
    pub window: Option<(Instant, Temperature)>,
    pub events: Vec<Event>,
}

impl Handled {
    /// While a part of a lot was being treated, what moved or was measured was the rest: a cold or hot reading
    /// and a word then speak for that, a warm one is no excuse for either.
    pub fn add_to(&self, line: &mut Line, rules: &RuleSet) {
        if let Some((from, stated)) = self.window {
            let within = |at: Instant| from < at && at < self.at;
            line.steps.retain(|step| !within(step.at));
            line.events.retain(|event| {
                let of_the_rest = match event.what {
                    What::Cooled => true,
                    What::Read(reading) => {
                        rules.cold.limit.at_or_below(reading)
                            || rules.hot.limit.at_or_above(reading)
                    }
                    _ => false,
                };
                !(of_the_rest && within(event.at))
            });
            line.events.push(Event {
                at: from,
                what: What::Handled {
                    until: self.at,
                    stated,
                },
            });
        }
        line.events.extend(self.events.iter().cloned());
    }
}
