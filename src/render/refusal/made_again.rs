//! How what made a lot is struck and done again, as what to type in this order.

use super::remedy::strike;
use crate::desk::{HowMade, JoinedMore, MadeAgain};
use crate::grain::LotCode;
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
    let counts: Vec<String> = lots
        .iter()
        .map(|lot| format!("draff count {lot} --wet MASS"))
        .collect();
    format!(
        "its grain went into another lot. In one act: weigh what is there now, {}. The pickup then stays as it is, and the difference stands as missing",
        counts.join(" and ")
    )
}

/// The join corrected, then the pickup.
pub(super) fn join_first(joined: &JoinedMore) -> String {
    format!(
        "or put the pickup right too: draff correct {} --wet {} --reason TEXT, then draff correct {} --wet {} --reason TEXT",
        joined.join,
        joined.went_in.as_typed(),
        joined.pickup,
        joined.came.as_typed()
    )
}

/// What made the lot, to the milligram.
fn made(again: &MadeAgain, zone: &Zone) -> String {
    let of: Vec<String> = again.of.iter().map(ToString::to_string).collect();
    let of = of.join(" ");
    let (place, at) = (shell_word(&again.place), zone.rfc3339(again.at));
    match &again.how {
        HowMade::Part(wet) => format!(
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
