//! What a warm reading in grain makes of the time before it, in words.

use crate::desk::WarmTime;
use crate::grain::LotCode;
use crate::quantity::{Instant, Zone};
use crate::render::times;

pub(super) fn words(
    lot: LotCode,
    (from, minutes): (Instant, i64),
    known: WarmTime,
    zone: &Zone,
) -> String {
    let (since, lasted) = (times::moment(from, from, zone), times::minutes(minutes));
    let unmeasured = format!(
        "nobody measured lot `{lot}` or its place since {since}, so all that time counts as warm: {lasted}"
    );
    match known {
        WarmTime::Logged => format!(
            "the thermometer in lot `{lot}` shows more than the readings of its place make of its grain. The reading in the grain counts: all the time since {since} counts as warm, {lasted}"
        ),
        WarmTime::NotMeasured => format!(
            "{unmeasured}. A logger's file of its place makes that less: `draff readings PLACE --csv FILE`"
        ),
        WarmTime::Past(entry) => format!(
            "{unmeasured}. It stays past. If the thermometer was elsewhere: `draff strike {entry} --reason \"not in this lot\"`"
        ),
    }
}
