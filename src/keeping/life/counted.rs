//! Limits that follow from the count of days.

use super::measured::{AS_AT_THE_LAST_READING, READ_IN};
use super::{Bound, Life, SECOND};
use crate::keeping::RuleSet;
use crate::keeping::days::Days;
use crate::keeping::timeline::Class;
use crate::keeping::verdict::{Binding, Verdict};
use crate::quantity::Instant;

impl Life {
    /// Adds the day count; `firm` are the days without those that a logger's last reading alone lets run.
    pub(super) fn add_days(
        &mut self,
        days: &Days<'_>,
        firm: &Days<'_>,
        rules: &RuleSet,
        at: Instant,
    ) {
        let rule = &rules.days;
        let day = days.number(at);
        self.day = Some(day);
        self.frozen = self
            .intervals
            .iter()
            .any(|i| i.class == Class::Frozen && i.from <= at && i.to.is_none_or(|to| at < to));
        if self.frozen {
            self.days_left = Some(rule.most.saturating_sub(day));
            let since = self
                .intervals
                .iter()
                .rev()
                .find(|i| i.class == Class::Frozen && i.from <= at);
            if since.is_some_and(|since| (at - since.from).num_days() >= rules.frozen.quality_days)
            {
                self.notes.push(format!(
                    "frozen for more than {} days: the day count stands still, but quality falls",
                    rules.frozen.quality_days
                ));
            }
        }
        self.use_first_from
            .extend(days.start_of(rule.use_first_from));
        let firmly_over = firm.over_after(rule.most);
        if let Some(end) = firmly_over {
            self.bounds.push(Bound {
                last_good: end - SECOND,
                verdict: Verdict::Past,
                binding: self.day_binding(rules),
                advice: None,
            });
        }
        if let Some(end) = days.over_after(rule.most)
            && firmly_over.is_none_or(|firmly| end < firmly)
        {
            let mut binding = self.day_binding(rules);
            binding.limit += AS_AT_THE_LAST_READING;
            self.bounds.push(Bound {
                last_good: end - SECOND,
                verdict: Verdict::Unknown,
                binding,
                advice: Some(READ_IN),
            });
        }
    }

    pub(super) fn day_binding(&self, rules: &RuleSet) -> Binding {
        let first = if self.wetted {
            "the day it was wetted"
        } else {
            "the mash-out day"
        };
        Binding {
            limit: format!(
                "{} days at most, {first} counted as the first",
                rules.days.most
            ),
            source: rules.days.source.clone(),
        }
    }
}
