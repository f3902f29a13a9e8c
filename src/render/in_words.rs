//! Sentences that come with their numbers in them: limits, notes, what was wrong with something typed.
//!
//! They are written in °C, grams and kilograms. What stands between backticks was typed by somebody and stays.

use super::numbers::Units;
use crate::quantity::{Milligrams, Temperature};

impl Units {
    /// The sentence in these units.
    pub fn in_words(self, sentence: &str) -> String {
        match self {
            Self::Metric => sentence.to_owned(),
            Self::Us => us(sentence),
        }
    }
}

fn us(sentence: &str) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut is_quoted = false;
    for word in sentence.split(' ') {
        let (unit, end) = split_end(word);
        let is_unit = !is_quoted && matches!(unit, "°C" | "g" | "kg");
        is_quoted ^= word.matches('`').count() % 2 == 1;
        if let ("°F", Some(limit)) = (unit, partner(&out)) {
            // A text that gives its limit in °F too is quoted as it stands.
            let (_, end) = split_end(end.strip_prefix(')').unwrap_or(end));
            out.truncate(out.len() - 3);
            out.push(format!("{limit} °F{end}"));
            continue;
        }
        // So is one that gives its limit in °C behind that in °F: `250 °F (121 °C)`.
        if let ("°C", [.., fahrenheit, celsius]) = (unit, out.as_slice())
            && fahrenheit == "°F"
            && celsius.starts_with('(')
            && let Some(end) = end.strip_prefix(')')
        {
            out.pop();
            out.pop();
            out.push(format!("°F{end}"));
            continue;
        }
        let before = out.last().cloned();
        let shown = before
            .filter(|_| is_unit)
            .and_then(|number| shown(&number, unit));
        let Some((open, number, unit)) = shown else {
            out.push(word.to_owned());
            continue;
        };
        out.pop();
        // The other end of a range: `60 to 21 °C`.
        if let [.., first, to] = out.as_slice()
            && to == "to"
            && unit == "°F"
            && let Some((open, first, _)) = self::shown(first, "°C")
        {
            let place = out.len() - 2;
            out[place] = format!("{open}{first}");
        }
        out.push(format!("{open}{number}"));
        out.push(format!("{unit}{end}"));
    }
    out.join(" ")
}

/// A word and the marks after it.
fn split_end(word: &str) -> (&str, &str) {
    let bare = word.trim_end_matches([',', ';', '.', ':', ')', ']']);
    word.split_at(bare.len())
}

/// The limit in °F that stands in brackets behind one that was just shown: `69.8`, `°F`, `(70`.
fn partner(out: &[String]) -> Option<String> {
    let [.., _, unit, limit] = out else {
        return None;
    };
    let limit = limit.strip_prefix('(')?;
    (unit == "°F" && limit.parse::<f64>().is_ok()).then(|| limit.to_owned())
}

/// What stands before a number, the number and its unit.
fn shown(number: &str, unit: &str) -> Option<(String, String, &'static str)> {
    let bare = number.trim_start_matches(['(', '[']);
    let open = &number[..number.len() - bare.len()];
    let value: f64 = bare.replace('−', "-").parse().ok()?;
    let text = match unit {
        "°C" => {
            let milli = (value * 1000.0).round();
            let temperature =
                Temperature::new(milli as i32, crate::quantity::temperature::Scale::Celsius);
            Units::Us.temperature(temperature)
        }
        _ => {
            let grams = if unit == "kg" { value * 1000.0 } else { value };
            Units::Us.weighed(Milligrams::new((grams * 1000.0).round() as i64))
        }
    };
    let (number, unit) = text.split_once(' ')?;
    match unit {
        "°F" => Some((open.to_owned(), number.to_owned(), "°F")),
        "lb" => Some((open.to_owned(), number.to_owned(), "lb")),
        "oz" => Some((open.to_owned(), number.to_owned(), "oz")),
        // An amount as small as yeast is shown in ounces with its grams in brackets: the sentence keeps its own grams.
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// °F = °C × 9 ÷ 5 + 32; 1 lb is 453.59237 g, 1 oz a sixteenth of it.
    #[test]
    fn a_sentence_is_told_in_the_units_of_the_reader() {
        for (metric, us) in [
            (
                "cooling to 21 °C within 2 h of falling below 60 °C is not shown",
                "cooling to 69.8 °F within 2 h of falling below 140 °F is not shown",
            ),
            (
                "cooling to 21 °C (70 °F) within 2 h of falling below 57 °C (135 °F)",
                "cooling to 70 °F within 2 h of falling below 135 °F",
            ),
            (
                "under a screen at 250 °F (121 °C) for 30 min",
                "under a screen at 250 °F for 30 min",
            ),
            ("4 h above 5 °C in all", "4 h above 41 °F in all"),
            (
                "(strict: 60 to 21 °C within 2 h, then to 5 °C)",
                "(strict: 140 to 69.8 °F within 2 h, then to 41 °F)",
            ),
            (
                "allowed is -60 °C to 300 °C.",
                "allowed is -76 °F to 572 °F.",
            ),
            (
                "lot `COR-261120-15` has 12321 g left: 45359.237 g is more than that",
                "lot `COR-261120-15` has 27.16 lb left: 100 lb is more than that",
            ),
            ("allowed is 0.001 g to 50 g", "allowed is 0.001 g to 1.8 oz"),
            (
                "`say 4 °C or 500 g`, not 4 °C",
                "`say 4 °C or 500 g`, not 39.2 °F",
            ),
            (
                "moisture 77 ± 3 %, earlier lots",
                "moisture 77 ± 3 %, earlier lots",
            ),
        ] {
            assert_eq!(Units::Us.in_words(metric), us);
            assert_eq!(Units::Metric.in_words(metric), metric);
        }
    }
}
