//! How what made a lot is struck and done again, and what is corrected first, as what to type in this order.

use super::option;
use super::remedy::strike;
use crate::desk::{CorrectFirst, HowMade, MadeAgain};
use crate::grain::LotCode;
use crate::ledger::EntryKind;
use crate::quantity::text::shell_word;
use crate::quantity::{Milligrams, Zone};
use std::fmt::Write;

/// Struck, and made with the right weight.
pub(super) fn right(again: &MadeAgain, zone: &Zone) -> String {
    let mut words = format!(
        "{}, then {} with what is right in it",
        strike(&again.strike),
        made(again, zone)
    );
    if again.strike.len() > 1
        && let Some(lot) = again.of.first()
    {
        let _ = write!(
            words,
            "; what else was struck is to be written down again too: draff log {} and draff log {lot} show it",
            again.made
        );
    }
    words
}

/// Counts of what lies there, in place of the correction.
pub(super) fn count(lots: &[LotCode]) -> String {
    let codes: Vec<String> = lots.iter().map(ToString::to_string).collect();
    let counts = match codes.as_slice() {
        [one] => format!("In one act: weigh what is there now, draff count {one} --wet MASS"),
        several => format!(
            "Weigh what is there now, draff count LOT --wet MASS, once for each of {}",
            several.join(", ")
        ),
    };
    format!(
        "its grain went into another lot. {counts}. What came in then stays as it is, and the difference stands as missing"
    )
}

/// What took too much corrected, then what was asked for.
pub(super) fn correct_first(correct: &CorrectFirst) -> String {
    let typed = |entry: i64, masses: &[(&str, Milligrams)]| {
        let masses: Vec<String> = masses
            .iter()
            .map(|(field, mass)| format!("{} {}", option(field), mass.as_typed()))
            .collect();
        format!("draff correct {entry} {} --reason TEXT", masses.join(" "))
    };
    let first = correct.first.iter();
    let mut commands: Vec<String> = first
        .map(|(entry, wet)| typed(*entry, &[("wet", *wet)]))
        .collect();
    let why = match &correct.then {
        Some(then) => {
            commands.push(typed(then.entry, &then.masses));
            match then.kind {
                EntryKind::Pickup => "put the pickup right too",
                _ => "put what took of it right first",
            }
        }
        None => {
            commands.push("this again".to_owned());
            "if less of it went into the other lot"
        }
    };
    format!("{why}: {}", commands.join(", then "))
}

/// What made the lot, to the milligram.
fn made(again: &MadeAgain, zone: &Zone) -> String {
    let of: Vec<String> = again.of.iter().map(ToString::to_string).collect();
    let of = of.join(" ");
    let (place, at) = (shell_word(&again.place), zone.rfc3339(again.at));
    match &again.how {
        HowMade::Move(wet) => format!(
            "draff move {of} --wet {} --to {place} --at {at}",
            wet.as_typed()
        ),
        HowMade::Portion(wet) => format!(
            "draff portion {of} --into 1x{} --to {place} --at {at}",
            wet.as_typed()
        ),
        HowMade::Join => format!("draff join {of} --to {place} --at {at}"),
        HowMade::Treat(treatment, lasted) => {
            let mut words = format!(
                "draff treat {of} --step {} --wet-in {} --wet-out {}",
                treatment.step,
                treatment.wet_in.as_typed(),
                treatment.wet_out.as_typed()
            );
            for (option, wet) in [
                ("water-added", treatment.water),
                ("left-behind", treatment.left),
                ("dry-loss", treatment.dry_loss),
            ] {
                if wet > Milligrams::ZERO {
                    let _ = write!(words, " --{option} {}", wet.as_typed());
                }
            }
            if let Some((minutes, warm)) = lasted {
                let _ = write!(
                    words,
                    " --minutes {minutes} --temp {}C",
                    warm.degrees_celsius()
                );
            }
            let _ = write!(words, " --place {place} --at {at}");
            words
        }
    }
}
