//! What a count says of an entry that comes late and of an earlier count, and what is on hand again after all of it was taken, in words.

use crate::desk::{CountedSince, LaterCount, OnHandAgain};
use crate::ledger::EntryKind;
use crate::quantity::{Milligrams, Zone};
use crate::render::numbers::Units;

/// The act that makes the book say again what was counted.
pub(super) fn since(count: &CountedSince, units: Units, zone: &Zone) -> String {
    let entry = count.entry;
    let counted = format!(
        "entry {entry} counted {} after that, {}",
        units.weighed(count.found),
        zone.in_words(count.at)
    );
    match count.less.get() {
        0 => format!(
            "{counted}, and took the difference off already: if this was it, `draff strike {entry} --reason \"entry was missing\"`"
        ),
        more if count.is_too_much => format!(
            "{counted}, {} more than the book says of that time by now: one of the two is wrong, `draff log` shows both",
            units.weighed(Milligrams::new(-more))
        ),
        less => {
            let by_that = match less {
                1.. => String::new(),
                more => format!(
                    ": by that the count found {} more than the book says",
                    units.weighed(Milligrams::new(-more))
                ),
            };
            format!(
                "{counted}, and did not know of this. If {} were there, `draff correct {entry} --wet {} --reason \"entry was missing\"` works out the difference anew{by_that}",
                units.weighed(count.found),
                units.typed(count.found)
            )
        }
    }
}

/// That a later count stands, and what it says of the book by now.
pub(super) fn later(later: LaterCount, units: Units, zone: &Zone) -> String {
    let difference = |less: Milligrams| match less.get() {
        0 => "just what the book said".to_owned(),
        1.. => format!("{} less than the book said", units.weighed(less)),
        more => format!(
            "{} more than the book said",
            units.weighed(Milligrams::new(-more))
        ),
    };
    format!(
        "the later count stands, now as entry {}: it found {}, {}. That is {} by now, and was {}",
        later.entry,
        units.weighed(later.found),
        zone.in_words(later.at),
        difference(later.is),
        difference(later.was)
    )
}

/// What to type where the grain went into the other lot too, and where it is not there.
pub(super) fn on_hand_again(again: &OnHandAgain, units: Units) -> String {
    let lot = again.lot;
    let verdict = match again.verdict {
        verdict if verdict.may_be_used() => String::new(),
        verdict => format!(", which is {verdict},"),
    };
    let by_this = match again.more {
        more if more == again.left => " by this".to_owned(),
        more => format!(", {} of it by this", units.weighed(more)),
    };
    let took = match again.by {
        Some(EntryKind::Join) => "; all of it had been joined",
        Some(EntryKind::Treat) => "; all of it had been treated",
        Some(_) => "; all of it had been parted off",
        None => "",
    };
    let too = again.too.map_or(String::new(), |too| {
        format!(
            "If that went into {} too, `draff correct {} --wet {} --reason \"all went in\"` says so. ",
            too.product,
            too.entry,
            units.typed(too.wet)
        )
    });
    format!(
        "{} of lot `{lot}`{verdict} stand on the shelf{by_this}{took}. {too}If it is not there, `draff discard {lot} --reason \"not there\"`",
        units.weighed(again.left)
    )
}
