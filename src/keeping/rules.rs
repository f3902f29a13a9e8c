//! A rule set: every limit of the keeping clock, each with its source.

use crate::quantity::temperature::Limit;
use crate::quantity::{Problem, WaterActivity, WetBasis};
use chrono::Duration;

/// The limits of one rule text, or of the strictest practical sum of several.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleSet {
    /// Short name, as typed.
    pub name: String,
    /// One line that says what it is.
    pub title: String,
    /// Hot holding: at or above costs no time.
    pub hot: TemperatureRule,
    /// Cold holding: at or below costs no warm time.
    pub cold: TemperatureRule,
    /// How fast hot grain must cool.
    pub cooling: CoolingRule,
    /// How many calendar days in the cold.
    pub days: DayRule,
    /// Time above the cold limit after cooling.
    pub warm: WarmRule,
    /// At or below, the day count pauses.
    pub frozen: FrozenRule,
    /// When dried grain needs no day count.
    pub dried: DriedRule,
    /// Two hand readings further apart than this say nothing about the time between them.
    pub longest_gap: Duration,
}

/// A temperature limit with its source.
#[derive(Debug, Clone, PartialEq)]
pub struct TemperatureRule {
    /// The limit.
    pub limit: Limit,
    /// The text it comes from.
    pub source: String,
}

/// Cooling in two stages.
#[derive(Debug, Clone, PartialEq)]
pub struct CoolingRule {
    /// Temperature that ends the first stage.
    pub first_to: Limit,
    /// Time for the first stage, from leaving the hot limit.
    pub first_within: Duration,
    /// Time for the second stage, from the end of the first; absent where the text counts in total.
    pub further_within: Option<Duration>,
    /// Time from leaving the hot limit to the cold limit.
    pub total_within: Duration,
    /// The text it comes from.
    pub source: String,
}

/// Calendar days in the cold. The mash-out day is day 1; wholly frozen days do not count.
#[derive(Debug, Clone, PartialEq)]
pub struct DayRule {
    /// The last good day.
    pub most: u32,
    /// The first day on which the lot should go first.
    pub use_first_from: u32,
    /// The day count holds only at or below this temperature.
    pub only_at: Limit,
    /// The text it comes from.
    pub source: String,
}

/// How warm time is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WarmCount {
    /// One running total over the lot's life; cold time stops the count.
    Sum,
    /// From the first warm moment the clock runs on, cold or not.
    FromFirst,
}

/// Time above the cold limit, after cooling.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmRule {
    /// How it is counted.
    pub count: WarmCount,
    /// From this total on the lot goes first, and must not go back into the cold.
    pub rechill_below: Duration,
    /// At this total the lot is past.
    pub past_from: Duration,
    /// Whether exactly `past_from` is still allowed.
    pub past_from_allowed: bool,
    /// How many separate warm times are allowed at all.
    pub most_times: Option<u32>,
    /// The text it comes from.
    pub source: String,
}

/// Freezing pauses the day count and never resets it.
#[derive(Debug, Clone, PartialEq)]
pub struct FrozenRule {
    /// At or below this the grain counts as frozen.
    pub limit: Limit,
    /// After so many days frozen, quality is doubtful.
    pub quality_days: i64,
    /// The text it comes from.
    pub source: String,
}

/// When dried grain needs no day count.
#[derive(Debug, Clone, PartialEq)]
pub struct DriedRule {
    /// Measured water activity must be below.
    pub activity_below: WaterActivity,
    /// At or below this nothing grows at all.
    pub activity_aim: WaterActivity,
    /// At or below this moisture the grain is probably dry: an indicator, no proof.
    pub moisture_at_most: WetBasis,
    /// The text it comes from.
    pub source: String,
}

/// The built-in sets: name and text.
pub const BUILT_IN: [(&str, &str); 4] = [
    ("strict", include_str!("rule_sets/strict.toml")),
    ("us-food-code", include_str!("rule_sets/us-food-code.toml")),
    ("au-2h-4h", include_str!("rule_sets/au-2h-4h.toml")),
    ("uk-chilled", include_str!("rule_sets/uk-chilled.toml")),
];

/// Texts that built-in sets had before: books made then keep them. No limit differs, only a source.
pub(super) const EARLIER: [&str; 2] = [
    include_str!("rule_sets/earlier/strict.toml"),
    include_str!("rule_sets/earlier/uk-chilled.toml"),
];

impl RuleSet {
    /// The text of a built-in set, for a book to keep.
    pub fn built_in_text(name: &str) -> Result<&'static str, Problem> {
        BUILT_IN
            .iter()
            .find(|(known, _)| *known == name)
            .map(|(_, text)| *text)
            .ok_or_else(|| {
                let names: Vec<_> = BUILT_IN.iter().map(|(name, _)| *name).collect();
                Problem::new(format!(
                    "rule set `{name}` is not known: built in are {}",
                    names.join(", ")
                ))
                .hint("an own rule set is a TOML file: give its path, with `./` in front")
            })
    }

    /// An own set may be stricter than the public texts, never laxer than the laxest of them.
    ///
    /// Bounds: Food Code 3-501.14, .16, .17 and .19; FSANZ Standard 3.2.2; SI 2013/2996 Schedule 4.
    pub(super) fn refuse_laxer(&self) -> Result<(), Problem> {
        let hours = Duration::hours;
        let celsius = |limit: Limit| limit.in_celsius().milli_celsius();
        let checks = [
            (
                "hot.at_least is below 57 °C",
                celsius(self.hot.limit) < 57_000,
            ),
            (
                "cold.at_most is above 8 °C",
                celsius(self.cold.limit) > 8_000,
            ),
            (
                "cooling.first_to is above 21 °C",
                celsius(self.cooling.first_to) > 21_000,
            ),
            (
                "cooling.first_within is over 2 h",
                self.cooling.first_within > hours(2),
            ),
            (
                "cooling.further_within is over 4 h",
                self.cooling.further_within.is_some_and(|t| t > hours(4)),
            ),
            (
                "cooling.total_within is over 6 h",
                self.cooling.total_within > hours(6),
            ),
            ("days.most is over 7", self.days.most > 7),
            (
                "days.only_at_or_below is above 5 °C",
                celsius(self.days.only_at) > 5_000,
            ),
            ("warm.past_from is over 4 h", self.warm.past_from > hours(4)),
            (
                "frozen.at_most is above -15 °C",
                celsius(self.frozen.limit) > -15_000,
            ),
            (
                "readings.longest_gap is over 4 h",
                self.longest_gap > hours(4),
            ),
            (
                "warm.rechill_below is over 2 h, and more than once",
                self.warm.rechill_below > hours(2)
                    && self.warm.count == WarmCount::Sum
                    && self.warm.most_times.is_none_or(|most| most > 1),
            ),
            (
                "warm.past_from_allowed goes with a count from the first warm moment only",
                self.warm.past_from_allowed && self.warm.count == WarmCount::Sum,
            ),
            (
                "dried.activity_aim is over 0.60",
                self.dried.activity_aim.get() > 0.60,
            ),
            (
                "dried.activity_below is over 0.85",
                self.dried.activity_below.get() > 0.85,
            ),
            (
                "dried.moisture_at_most is over 10 %",
                self.dried.moisture_at_most.get() > 0.10,
            ),
        ];
        match checks.iter().find(|(_, laxer)| *laxer) {
            None => Ok(()),
            Some((what, _)) => Err(Problem::new(format!(
                "rule set `{}`: {what}, laxer than every public rule text",
                self.name
            ))
            .hint("an own rule set may be stricter than the built-in ones, never laxer than all of them")),
        }
    }
}
