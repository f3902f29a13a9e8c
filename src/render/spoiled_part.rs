//! Grain of which a part was thrown away as spoiled: a warning, in the same words wherever the grain is shown.

use super::times;
use crate::keeping::{SpoiledPart, Verdict};
use crate::quantity::{Instant, Zone};
use crate::report::LotAnswer;

/// What to do with the lot of this code.
pub fn words(lot: &str, part: SpoiledPart, now: Instant, zone: &Zone) -> String {
    let of = part.of.to_string();
    let on = times::date(zone.date(part.at), zone.date(now));
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
