//! Rule sets as TOML text: the one place that knows how such a file is written.

use super::rules::{
    BUILT_IN, CoolingRule, DayRule, DriedRule, EARLIER, FrozenRule, RuleSet, TemperatureRule,
    WarmCount, WarmRule,
};
use crate::quantity::fraction::Percent;
use crate::quantity::temperature::Limit;
use crate::quantity::{
    Problem, Scale, Temperature, WaterActivity, WetBasis, bounds, duration, text, toml_text,
};
use chrono::Duration;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    name: String,
    title: String,
    hot: Hot,
    cold: Cold,
    cooling: Cooling,
    days: Days,
    warm: Warm,
    frozen: Frozen,
    dried: Dried,
    readings: Readings,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Hot {
    at_least: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cold {
    at_most: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cooling {
    first_to: String,
    first_within: String,
    further_within: Option<String>,
    total_within: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Days {
    most: u32,
    use_first_from: u32,
    only_at_or_below: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Warm {
    count: String,
    rechill_below: String,
    past_from: String,
    past_from_allowed: bool,
    most_times: Option<u32>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Frozen {
    at_most: String,
    quality_days: i64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Dried {
    activity_below: String,
    activity_aim: String,
    moisture_at_most: String,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Readings {
    longest_gap: String,
}

impl RuleSet {
    /// Reads a rule set from its text. One laxer than every public rule text is refused.
    pub fn from_text(text: &str) -> Result<Self, Problem> {
        let rules = read(text)?;
        let built_in = BUILT_IN.iter().find(|(name, _)| *name == rules.name);
        if built_in.is_some_and(|(_, known)| *known != text && !EARLIER.contains(&text)) {
            return Err(Problem::new(format!(
                "rule set `{}` is not the built-in one of that name",
                rules.name
            ))
            .hint("give an own rule set a name of its own"));
        }
        rules.refuse_laxer()?;
        Ok(rules)
    }
}

/// Reads the text of a rule set, with its limits as they are.
fn read(text: &str) -> Result<RuleSet, Problem> {
    let file: File = toml_text::read(text, "rule set")?;
    let name = text::checked(&file.name, "name of the rule set", text::LONGEST_NAME)?;
    let here = |what: &str| format!("rule set `{name}`, {what}");
    let rules = RuleSet {
        title: text::checked(&file.title, "title of the rule set", text::LONGEST_NOTE)?,
        hot: TemperatureRule {
            limit: limit(&file.hot.at_least, &here("hot.at_least"))?,
            source: source(&file.hot.source)?,
        },
        cold: TemperatureRule {
            limit: limit(&file.cold.at_most, &here("cold.at_most"))?,
            source: source(&file.cold.source)?,
        },
        cooling: CoolingRule {
            first_to: limit(&file.cooling.first_to, &here("cooling.first_to"))?,
            first_within: duration(&file.cooling.first_within, &here("cooling.first_within"))?,
            further_within: file
                .cooling
                .further_within
                .map(|text| duration(&text, &here("cooling.further_within")))
                .transpose()?,
            total_within: duration(&file.cooling.total_within, &here("cooling.total_within"))?,
            source: source(&file.cooling.source)?,
        },
        days: DayRule {
            most: file.days.most,
            use_first_from: file.days.use_first_from,
            only_at: limit(&file.days.only_at_or_below, &here("days.only_at_or_below"))?,
            source: source(&file.days.source)?,
        },
        warm: WarmRule {
            count: match file.warm.count.as_str() {
                "sum" => WarmCount::Sum,
                "from-first" => WarmCount::FromFirst,
                other => {
                    return Err(Problem::new(format!(
                        "{} is `{other}`: allowed are sum, from-first",
                        here("warm.count")
                    )));
                }
            },
            rechill_below: duration(&file.warm.rechill_below, &here("warm.rechill_below"))?,
            past_from: duration(&file.warm.past_from, &here("warm.past_from"))?,
            past_from_allowed: file.warm.past_from_allowed,
            most_times: file.warm.most_times,
            source: source(&file.warm.source)?,
        },
        frozen: FrozenRule {
            limit: limit(&file.frozen.at_most, &here("frozen.at_most"))?,
            quality_days: file.frozen.quality_days,
            source: source(&file.frozen.source)?,
        },
        dried: DriedRule {
            activity_below: activity(&file.dried.activity_below, &here("dried.activity_below"))?,
            activity_aim: activity(&file.dried.activity_aim, &here("dried.activity_aim"))?,
            moisture_at_most: moisture(
                &file.dried.moisture_at_most,
                &here("dried.moisture_at_most"),
            )?,
            source: source(&file.dried.source)?,
        },
        longest_gap: duration(&file.readings.longest_gap, &here("readings.longest_gap"))?,
        name,
    };
    let orderly = rules.frozen.quality_days > 0
        && 1 <= rules.days.use_first_from
        && rules.days.use_first_from <= rules.days.most
        && rules.warm.rechill_below <= rules.warm.past_from
        && rules.cooling.first_within <= rules.cooling.total_within
        && rules.cold.limit.in_celsius().milli_celsius()
            < rules.hot.limit.in_celsius().milli_celsius();
    if orderly {
        Ok(rules)
    } else {
        Err(Problem::new(format!(
            "rule set `{}`: its limits contradict each other",
            rules.name
        ))
        .hint("use_first_from is 1 to most, rechill_below at most past_from, first_within at most total_within, cold below hot"))
    }
}

fn source(words: &str) -> Result<String, Problem> {
    text::checked(words, "source of a limit", text::LONGEST_NOTE)
}

/// How far the °F of a rounded pair may lie from its °C, in thousandths of a degree Celsius.
const ROUNDED_PAIR: i32 = 600;

/// Reads `21C` or `21C 70F`: the second holds for readings taken in °F.
fn limit(words: &str, place: &str) -> Result<Limit, Problem> {
    let mut parts = words.split_whitespace();
    let read = |part: &str| {
        part.parse::<Temperature>()
            .map_err(|problem| problem.within(place))
    };
    let celsius = read(parts.next().unwrap_or(""))?;
    let fahrenheit = parts.next().map(read).transpose()?;
    let scales_fit = celsius.scale() == Scale::Celsius
        && fahrenheit.is_none_or(|partner| partner.scale() == Scale::Fahrenheit);
    // Rule texts round their pairs; further apart than this they are two limits and not one.
    let are_one_limit = fahrenheit.is_none_or(|partner| {
        (partner.milli_celsius() - celsius.milli_celsius()).abs() <= ROUNDED_PAIR
    });
    if !scales_fit || !are_one_limit || parts.next().is_some() {
        return Err(Problem::new(format!(
            "{place} is `{words}`: allowed is 21C or 21C 70F"
        )));
    }
    Ok(Limit::new(celsius, fahrenheit))
}

fn duration(words: &str, place: &str) -> Result<Duration, Problem> {
    duration::parse(words).map_err(|problem| problem.within(place))
}

fn activity(words: &str, place: &str) -> Result<WaterActivity, Problem> {
    words
        .parse()
        .map_err(|problem: Problem| problem.within(place))
}

fn moisture(words: &str, place: &str) -> Result<WetBasis, Problem> {
    words
        .parse::<Percent>()
        .and_then(|percent| percent.within(&bounds::MOISTURE))
        .and_then(WetBasis::new)
        .map_err(|problem| problem.within(place))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strict_with(from: &str, to: &str) -> Result<RuleSet, Problem> {
        let text = RuleSet::built_in_text("strict").unwrap();
        assert!(text.contains(from), "{from}");
        let own = text.replace("name = \"strict\"", "name = \"own\"");
        RuleSet::from_text(&own.replace(from, to))
    }

    #[test]
    fn every_built_in_set_reads_and_is_named_as_it_is_called() {
        for (name, text) in BUILT_IN {
            assert_eq!(RuleSet::from_text(text).unwrap().name, name);
        }
    }

    #[test]
    fn an_own_set_may_be_stricter_but_not_laxer() {
        assert!(strict_with("most = 7", "most = 5").is_ok());
        for (from, to) in [
            ("most = 7", "most = 8"),
            ("at_most = \"5C\"", "at_most = \"9C\""),
            ("at_least = \"60C\"", "at_least = \"50C\""),
            ("past_from = \"4h\"", "past_from = \"5h\""),
            ("first_within = \"2h\"", "first_within = \"3h\""),
            ("activity_below = \"0.85\"", "activity_below = \"0.9\""),
            ("longest_gap = \"4h\"", "longest_gap = \"5h\""),
        ] {
            let problem = strict_with(from, to).unwrap_err();
            assert!(problem.to_string().contains("laxer"), "{to}: {problem}");
        }
    }

    #[test]
    fn an_own_set_does_not_borrow_a_built_in_name() {
        let text = RuleSet::built_in_text("strict").unwrap();
        let problem = RuleSet::from_text(&text.replace("most = 7", "most = 5")).unwrap_err();
        assert!(
            problem.to_string().contains("not the built-in one"),
            "{problem}"
        );
    }

    /// Books keep the text they were made with, so one that a source was mended in since has to be readable still.
    #[test]
    fn an_earlier_text_of_a_built_in_set_has_the_same_limits() {
        for earlier in EARLIER {
            let mut found = RuleSet::from_text(earlier).unwrap();
            let now = RuleSet::from_text(RuleSet::built_in_text(&found.name).unwrap()).unwrap();
            assert_ne!(found, now, "a source differs");
            found.hot.source.clone_from(&now.hot.source);
            found.days.source.clone_from(&now.days.source);
            assert_eq!(found, now);
        }
    }

    #[test]
    fn slips_in_the_file_are_named() {
        let problem = strict_with("most = 7", "mots = 7").unwrap_err();
        assert!(problem.to_string().contains("mots"), "{problem}");
        assert!(
            problem.hints()[0].starts_with("see line "),
            "{:?}",
            problem.hints()
        );
        assert!(strict_with("past_from = \"4h\"", "past_from = \"4\"").is_err());
        assert!(strict_with("use_first_from = 5", "use_first_from = 8").is_err());
        assert!(strict_with("at_most = \"5C\"", "at_most = \"41F\"").is_err());
    }
}
