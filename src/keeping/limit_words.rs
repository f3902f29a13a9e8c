//! Limits in words, as they stand beside a verdict.

use super::RuleSet;
use super::air::Unmeasured;
use super::cooling::{Since, Stage};
use super::rules::WarmCount;
use super::warm::WarmEnd;
use crate::quantity::Temperature;
use crate::quantity::temperature::Limit;
use crate::quantity::text::trimmed;
use chrono::Duration;

impl RuleSet {
    /// Both stages of cooling in words.
    pub fn cooling_in_words(&self) -> [String; 2] {
        [Stage::First, Stage::Second].map(|stage| cooling_words(stage, Since::LeftHot, self))
    }
}

/// Cooling that nobody showed, by the words of [`cooling_words`].
pub(super) fn not_shown_words(stage: &str) -> String {
    format!("it has to cool {stage}, and nothing shows it so far")
}

/// A cooling that failed, by the words of [`cooling_words`] and what showed it.
pub(super) fn failed_words(stage: &str, shown: Temperature, is_logged: bool) -> String {
    let by = if is_logged {
        "the logger in the grain"
    } else {
        "a thermometer"
    };
    let shown = trimmed(shown.degrees_celsius(), 2);
    format!("cooling {stage} failed: {by} still showed {shown} °C")
}

/// A cooling stage, behind `cooling`: `to 21 °C within 2 h of falling below 60 °C`, or of what else its time counts from.
pub(super) fn cooling_words(stage: Stage, since: Since, rules: &RuleSet) -> String {
    let rule = &rules.cooling;
    let since = match since {
        Since::MashOut => "mash-out".to_owned(),
        Since::Wetting => "wetting".to_owned(),
        Since::LeftHot => format!("falling below {}", degrees(rules.hot.limit)),
    };
    match stage {
        Stage::First => format!(
            "to {} within {} of {since}",
            degrees(rule.first_to),
            hours(rule.first_within)
        ),
        Stage::Second => match rule.further_within {
            Some(further) => format!(
                "from {} to {} within a further {}",
                degrees(rule.first_to),
                degrees(rules.cold.limit),
                hours(further)
            ),
            None => format!(
                "to {} within {} of {since}",
                degrees(rules.cold.limit),
                hours(rule.total_within)
            ),
        },
    }
}

/// A gap in a logger's readings, whatever its probe stands in: `more than 4 h between two readings of its place`.
pub(super) fn gap_words(why: Unmeasured, rules: &RuleSet) -> String {
    match why {
        Unmeasured::Gap => format!(
            "more than {} between two readings of its place",
            hours(rules.longest_gap)
        ),
        Unmeasured::Cut => {
            "warm rows of a logger's file of its place were left out, so it was not measured then"
                .to_owned()
        }
    }
}

/// Grain out of limit when a logger measured it last, which need not be the one that measured its place last: `5.4 °C,
/// above 5 °C, at the last reading of a logger of its place, and nothing newer from it for more than 4 h`.
pub(super) fn unsettled_words(shown: Temperature, rules: &RuleSet) -> String {
    format!(
        "{:.1} °C, above {}, at the last reading of a logger of its place, and nothing newer from it for more than {}",
        shown.degrees_celsius(),
        degrees(rules.cold.limit),
        hours(rules.longest_gap)
    )
}

/// How warm time ended a lot's use: `4 h above 5 °C in all`.
pub(super) fn warm_words(why: WarmEnd, rules: &RuleSet) -> String {
    let rule = &rules.warm;
    let above = degrees(rules.cold.limit);
    match why {
        WarmEnd::TimeUp => match rule.count {
            WarmCount::Sum => format!("{} above {above} in all", hours(rule.past_from)),
            WarmCount::FromFirst => {
                format!("{} since it was first above {above}", hours(rule.past_from))
            }
        },
        WarmEnd::BackIntoTheCold => format!(
            "back into the cold after {} or more above {above}",
            hours(rule.rechill_below)
        ),
        WarmEnd::ReheatedAndChilled => {
            "heated again and put back into the cold: only its first cooling is judged".to_owned()
        }
        WarmEnd::TooOften => format!(
            "above {above} more than {} in its life",
            rule.most_times.map_or(String::new(), |most| if most == 1 {
                "once".to_owned()
            } else {
                format!("{most} times")
            })
        ),
    }
}

/// A limit as its text gives it: `21 °C`, or `21 °C (70 °F)`.
pub(super) fn degrees(limit: Limit) -> String {
    let celsius = limit.in_celsius().degrees_celsius();
    match limit.in_fahrenheit() {
        Some(partner) => format!("{celsius} °C ({:.0} °F)", partner.degrees_fahrenheit()),
        None => format!("{celsius} °C"),
    }
}

/// `2 h`, `90 min` as `1 h 30 min`.
fn hours(duration: Duration) -> String {
    let (hours, minutes) = (duration.num_hours(), duration.num_minutes() % 60);
    match (hours, minutes) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}
