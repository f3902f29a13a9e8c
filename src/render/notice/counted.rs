//! What a count says of an entry that comes late and of an earlier count, and what is on hand again after a join, in words.

use crate::desk::{CountedSince, LaterCount};
use crate::grain::LotCode;
use crate::quantity::text::shell_word;
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

/// What to type where the grain went into the joined lot too, and where it is not there.
pub(super) fn on_hand_again(
    lot: LotCode,
    left: Milligrams,
    joined: Option<&(LotCode, String)>,
    units: Units,
) -> String {
    let too = joined.map_or(String::new(), |(joined, place)| {
        format!(
            "If that went into {joined} too, `draff join {lot} {joined} --to {}` makes one lot of both. ",
            shell_word(place)
        )
    });
    format!(
        "{} of lot `{lot}` stand on the shelf by this; all of it had been joined. {too}If it is not there, `draff discard {lot} --reason \"not there\"`",
        units.weighed(left)
    )
}
