//! What a time in which the grain was dried comes to.

use super::{Bound, Life};
use crate::keeping::RuleSet;
use crate::keeping::verdict::{Advice, Binding, Verdict};
use crate::keeping::wet_and_dry::Dryness;
use crate::quantity::Instant;
use crate::quantity::text::trimmed;

impl Life {
    /// Adds what is known of a time in which the grain was dried: whether it needs no day count, and if it
    /// goes on what is to be said of it.
    pub(super) fn add_dry(
        &mut self,
        dry: &Dryness,
        rules: &RuleSet,
        (goes_on, lies_dried): (bool, bool),
    ) {
        let words = match dry {
            Dryness::ByActivity { activity, .. } => {
                if goes_on && *activity > rules.dried.activity_aim.get() {
                    self.unless_past.push(format!(
                        "moulds can still grow until water activity is at or below {:.2}: look before use",
                        rules.dried.activity_aim.get()
                    ));
                }
                format!(
                    "dried, water activity {activity} is below {}",
                    rules.dried.activity_below.get()
                )
            }
            Dryness::ByMoisture { moisture, .. } => {
                self.use_first_from.push(Instant::MIN_UTC);
                if goes_on {
                    self.unless_past.push(
                        "moisture alone proves nothing: measure the water activity".to_owned(),
                    );
                }
                format!(
                    "dried, moisture {} % is at most {:.0} %: probably dry, an indicator and no proof",
                    trimmed(moisture * 100.0, 2),
                    rules.dried.moisture_at_most.get() * 100.0
                )
            }
            Dryness::TooMoist { .. } | Dryness::NotShown => {
                let found = match dry {
                    Dryness::TooMoist { activity } => format!(", and it is {activity}"),
                    _ => String::new(),
                };
                self.bounds.push(Bound {
                    last_good: Instant::MIN_UTC,
                    verdict: Verdict::Unknown,
                    binding: Binding {
                        limit: format!(
                            "dried grain keeps only with a measured water activity below {}{found}",
                            rules.dried.activity_below.get()
                        ),
                        source: rules.dried.source.clone(),
                    },
                    // What was wetted since has no water activity to show any more.
                    advice: lies_dried.then_some(Advice::MeasureActivity { by: None }),
                });
                return;
            }
        };
        if goes_on {
            self.shelf_stable = Some(words);
        }
    }
}
