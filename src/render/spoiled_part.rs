//! Grain of which a part was thrown away as spoiled, or that had left a lot before that was found spoiled: a warning, in the same
//! words wherever the grain is shown.

use super::{times, words::capital};
use crate::desk::TracedOnHand;
use crate::keeping::{SpoiledPart, Verdict};
use crate::quantity::{Instant, Zone};
use crate::report::LotAnswer;

/// What to do with the lot of this code.
pub fn words(lot: &str, part: SpoiledPart, now: Instant, zone: &Zone) -> String {
    let of = part.of.to_string();
    let on = times::date(zone.date(part.at), zone.date(now));
    if part.had_left {
        return format!(
            "{lot} was made of {of} before mould or spoilage was found there on {on}. Mould reaches further than it shows: look at it, and throw it out if in doubt"
        );
    }
    let (was, rest) = if of == lot {
        (format!("part of {lot}"), "the rest")
    } else {
        (format!("{lot} was made of {of}: part of that"), "it")
    };
    format!(
        "{was} was thrown away as mouldy or spoiled on {on}. Mould reaches further than it shows: if {rest} is mouldy or smells bad, throw all of it out"
    )
}

/// The same of a lot on hand. Past grain is thrown away anyway.
pub fn of_lot(answer: &LotAnswer, zone: &Zone) -> Option<String> {
    let is_to_go = answer.is_used_up() || answer.keeping.verdict == Verdict::Past;
    let part = answer.spoiled_part.filter(|_| !is_to_go)?;
    let code = answer.lot.code.to_string();
    Some(words(&code, part, answer.as_of, zone))
}

/// The same of a lot on hand that was traced, as a sentence behind what stands there.
pub fn of_traced(found: &TracedOnHand, now: Instant, zone: &Zone) -> String {
    let code = found.lot.lot.code.to_string();
    let told = found.spoiled_part.map(|part| words(&code, part, now, zone));
    told.map_or(String::new(), |told| format!(". {}", capital(&told)))
}
