//! Durations as people write them: `2h`, `90min`, `1h30min`, `3d`.

use super::{Problem, decimal};
use chrono::Duration;

/// Longest duration that a rule or a step may take.
const LONGEST: i64 = 31 * 24 * 60;

/// Reads a duration of at least a minute and at most 31 days, in whole minutes.
pub fn parse(words: &str) -> Result<Duration, Problem> {
    let refuse = || {
        Problem::new(format!(
            "duration `{}` is not understood",
            decimal::trim(words)
        ))
        .hint("write it like 2h, 90min, 1h30min or 3d, at least 1min and at most 31d")
    };
    let mut rest = decimal::trim(words);
    let mut minutes: i64 = 0;
    while !rest.is_empty() {
        let end = rest
            .find(|c: char| !c.is_ascii_digit())
            .ok_or_else(refuse)?;
        let number: i64 = rest[..end].parse().map_err(|_| refuse())?;
        let unit = decimal::trim(&rest[end..]);
        let stop = unit
            .find(|c: char| !c.is_ascii_alphabetic())
            .unwrap_or(unit.len());
        let per_unit = match &unit[..stop] {
            "d" => 24 * 60,
            "h" => 60,
            "min" => 1,
            _ => return Err(refuse()),
        };
        minutes = number
            .checked_mul(per_unit)
            .and_then(|part| minutes.checked_add(part))
            .ok_or_else(refuse)?;
        rest = decimal::trim(&unit[stop..]);
    }
    if (1..=LONGEST).contains(&minutes) {
        Ok(Duration::minutes(minutes))
    } else {
        Err(refuse())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn durations_are_days_hours_and_minutes() {
        for (words, minutes) in [
            ("2h", 120),
            ("90min", 90),
            ("1h30min", 90),
            ("1 h 30 min", 90),
            ("3d", 4320),
        ] {
            assert_eq!(parse(words), Ok(Duration::minutes(minutes)), "{words}");
        }
        for words in [
            "",
            "0h",
            "h",
            "90",
            "1w",
            "-1h",
            "1.5h",
            "32d",
            "99999999999999999999h",
        ] {
            assert!(parse(words).is_err(), "{words}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_the_parser_panic(text in ".{0,40}") {
            let _ = parse(&text);
        }
    }
}
