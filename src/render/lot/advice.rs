//! What to do with a lot, in sentences.

use super::throw_away_unknown;
use crate::keeping::Advice;
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Zone};
use crate::render::in_common::Told;
use crate::render::numbers::Units;
use crate::render::{times, words};

/// Advice as a sentence that ends with what to type.
pub fn advice_words(
    advice: &Advice,
    code: &str,
    now: Instant,
    units: Units,
    zone: &Zone,
) -> String {
    let throw_away = throw_away_unknown(code);
    let seen = match advice {
        // Somebody said it, and it does not count.
        Advice::AskWhetherColdBefore { is_said: true, .. } => String::new(),
        Advice::AskWhenCooled {
            is_refuted: true, ..
        } => format!(": draff strike ENTRY --reason TEXT (draff log {code} shows the entries)"),
        _ => format!(": draff probe {code} --cooled WHEN"),
    };
    let to_do = to_do(advice, (&throw_away, &seen), now, units, zone);
    match advice {
        Advice::AskMashOut => format!(
            "{to_do}: draff correct ENTRY --mash-out TIME --reason TEXT (draff log {code} shows the entry of the pickup)"
        ),
        Advice::TakeTemperature { .. } => {
            format!("{to_do}. Type what it shows: draff probe {code} TEMPERATURE")
        }
        Advice::AskWhenCooled {
            still_hot: Some(_), ..
        } => format!("{to_do}. For the temperature: draff probe {code} TEMPERATURE"),
        Advice::ReadInLogger {
            cold_by,
            good_until,
        } => {
            let (probe, none) = match cold_by {
                Some(_) => (format!("draff probe {code} TEMPERATURE, or "), "either"),
                None => (String::new(), "one"),
            };
            let without = good_until.map_or_else(
                || format!(", do not use unknown grain, {throw_away}"),
                |until| format!(" it is good until {}", times::moment(until, now, zone)),
            );
            let settles = settles(advice);
            format!(
                "{to_do}: {probe}draff readings PLACE --csv FILE; without {none}{without}{settles}"
            )
        }
        Advice::MeasureActivity { .. } => format!("{to_do}: draff probe {code} --aw NUMBER"),
        Advice::BackIntoTheColdBy(_) => {
            format!("{to_do}: draff move {code} --to PLACE; if it is, take its temperature again")
        }
        Advice::AskWhenCooled { .. }
        | Advice::AskWhetherColdBefore { .. }
        | Advice::UseNow
        | Advice::StraightFromTheFreezer
        | Advice::DaysAfterThawing(_) => to_do,
    }
}

/// Why grain is thrown away whose cooling nobody showed, and which is kept: the same for all such lots but for when they
/// had to be cold. Nothing where something else is asked.
pub(in crate::render) fn exception(
    advice: &Advice,
    now: Instant,
    units: Units,
    zone: &Zone,
) -> Option<Told> {
    let (Advice::AskWhenCooled {
        at_most,
        by,
        is_refuted: false,
        ..
    }
    | Advice::AskWhetherColdBefore {
        at_most,
        by,
        is_said: false,
        ..
    }) = advice
    else {
        return None;
    };
    let cold = units.temperature(at_most.in_celsius());
    let to_come = if now <= *by { " (still to come)" } else { "" };
    Some(Told::new(
        format!(
            "{SHOWS_NOTHING}. Keep a lot only if somebody saw that all of it was at {cold} or colder"
        ),
        format!("by {}{to_come}", times::moment(*by, now, zone)),
        ". If so, type since when: draff probe LOT --cooled WHEN",
    ))
}

/// What to type for a logger's file that is missing, and what holds without it: the same for all lots but for how long they
/// are good. Nothing where something else is asked, or a thermometer would do too.
pub(in crate::render) fn logger_file(
    advice: &Advice,
    now: Instant,
    _: Units,
    zone: &Zone,
) -> Option<Told> {
    let Advice::ReadInLogger {
        cold_by: None,
        good_until,
    } = advice
    else {
        return None;
    };
    let read_in = format!("{COVERS_THAT_TIME}: draff readings PLACE --csv FILE; without one");
    Some(match good_until {
        Some(until) => Told::new(
            format!("{read_in} it is good"),
            format!("until {}", times::moment(*until, now, zone)),
            "",
        ),
        None => Told::new(format!("{read_in}, do not use unknown grain"), "", ""),
    })
}

/// Of the file of a logger.
const COVERS_THAT_TIME: &str = "read in a file of its logger that covers that time";

/// What is to be done with such a lot, where its [`exception`] or [`logger_file`] is told of several at once.
pub(in crate::render) fn advice_in_short(
    advice: &Advice,
    code: &str,
    now: Instant,
    units: Units,
    zone: &Zone,
) -> String {
    let throw_away = throw_away_unknown(code);
    let unless_seen = |by: Instant| {
        if now <= by {
            format!("keep it only if somebody watched it cool; else {throw_away}")
        } else {
            throw_away.clone()
        }
    };
    match advice {
        Advice::AskWhenCooled {
            by,
            still_hot: Some(hot),
            ..
        } => format!(
            "take the temperature now, in the middle of the grain, where it is thickest: draff probe {code} TEMPERATURE. At {} or more its time for cooling begins now. Below that: {}",
            units.temperature(hot.in_celsius()),
            unless_seen(*by)
        ),
        Advice::AskWhenCooled { by, .. } => unless_seen(*by),
        Advice::AskWhetherColdBefore { cold, by, .. } => format!(
            "nothing shows it cold before {}: {}",
            times::moment(*cold, now, zone),
            unless_seen(*by)
        ),
        Advice::ReadInLogger {
            good_until: Some(_),
            ..
        } => "read in the file of its logger".to_owned(),
        Advice::ReadInLogger { .. } => {
            format!("read in the file of its logger; without one, {throw_away}")
        }
        other => advice_words(other, code, now, units, zone),
    }
}

const SHOWS_NOTHING: &str = "a thermometer now does not show how fast it cooled";

/// The same without what to type, for whoever shows a button.
pub fn advice_to_do(advice: &Advice, now: Instant, units: Units, zone: &Zone) -> String {
    let to_do = to_do(advice, ("throw it away", ""), now, units, zone);
    format!("{to_do}{}", settles(advice))
}

/// What a thermometer in grain settles that was warm at the last reading of its place, and what it does not.
const fn settles(advice: &Advice) -> &'static str {
    match advice {
        Advice::ReadInLogger {
            cold_by: Some(_), ..
        } => {
            ". One probe counts until the next file of the place, which counts by itself and may overrule it. A second probe before that file settles the time between the two where the logger measures air"
        }
        _ => "",
    }
}

/// Advice as a sentence, with these words for throwing it away, and for saying that somebody saw it cold.
fn to_do(
    advice: &Advice,
    (throw_away, seen): (&str, &str),
    now: Instant,
    units: Units,
    zone: &Zone,
) -> String {
    let time = |at: Instant| times::moment(at, now, zone);
    let unless_seen = |at_most: Limit, by: Instant| {
        let (cold, by_then) = (units.temperature(at_most.in_celsius()), time(by));
        if now <= by {
            format!(
                "keep it only if somebody saw all of it at {cold} or colder by {by_then}{seen}; else {throw_away}"
            )
        } else {
            format!(
                "{throw_away}. Keep it only if somebody saw that all of it was at {cold} or colder by {by_then}{seen}"
            )
        }
    };
    match advice {
        Advice::AskMashOut => "ask the source when mashing was over".to_owned(),
        Advice::TakeTemperature { at_most, by } => format!(
            "take the temperature in the middle of the grain, where it is thickest: it must show {} or less by {}",
            units.temperature(at_most.in_celsius()),
            time(*by)
        ),
        Advice::AskWhenCooled {
            at_most,
            by,
            still_hot,
            is_refuted,
        } => {
            let unless = if *is_refuted {
                format!(
                    "{throw_away}. Somebody's word that it was cold does not count: if that word or a reading is a slip, strike it{seen}"
                )
            } else {
                unless_seen(*at_most, *by)
            };
            match still_hot {
                Some(hot) => format!(
                    "take the temperature now, in the middle of the grain, where it is thickest: at {} or more its time for cooling begins now. Below that: {unless}",
                    units.temperature(hot.in_celsius())
                ),
                None => format!("{unless}. {}", words::capital(SHOWS_NOTHING)),
            }
        }
        Advice::AskWhetherColdBefore {
            cold, at_most, by, ..
        } => format!(
            "nothing shows it cold before {}, and it had to be by {}: {}",
            time(*cold),
            time(*by),
            unless_seen(*at_most, *by)
        ),
        Advice::ReadInLogger { cold_by, .. } => {
            let probe = cold_by.map_or(String::new(), |(at_most, by)| {
                format!(
                    "take the temperature by {}, in the middle of the grain, where it is thickest: at {} or less it keeps for longer; or ",
                    time(by),
                    units.temperature(at_most.in_celsius())
                )
            });
            format!("{probe}{COVERS_THAT_TIME}")
        }
        Advice::MeasureActivity { by } => format!(
            "measure its water activity{}",
            by.map_or(String::new(), |by| format!(
                " by {}, after that it is past",
                time(by)
            ))
        ),
        Advice::BackIntoTheColdBy(by) => {
            format!("it must be in the cold again by {}", time(*by))
        }
        Advice::UseNow => "bake with it now; it must not go back into the cold".to_owned(),
        Advice::StraightFromTheFreezer => {
            "no day is left once it is thawed: straight from the freezer into the dough, or out of the bakery".to_owned()
        }
        Advice::DaysAfterThawing(1) => "1 day is left once it is thawed: the thaw day itself".to_owned(),
        Advice::DaysAfterThawing(days) => format!("{days} days are left once it is thawed, the thaw day counted"),
    }
}
