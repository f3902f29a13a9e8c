//! What a cold thermometer in grain settles where a logger measures its place, and what a file makes of it.

use crate::grain::LotCode;
use crate::keeping::{AwaitsFile, Overruled, Verdict, WordInWarmth};
use crate::quantity::{Instant, Scale, Temperature, Zone};
use crate::render::numbers::Units;
use crate::render::{cool, times};

/// What it settles until the next file, and what settles it for good.
pub fn awaits_file(lot: LotCode, probe: AwaitsFile, units: Units, zone: &Zone) -> String {
    let moment = |at: Instant| times::moment(at, probe.read, zone);
    format!(
        "this probe of lot `{lot}` counts until you read in the next file of its place. At {last} the logger left the grain at up to {shown}. The file is worked out by itself from then on: where the grain comes out warmer, the file overrules the probe. To settle it, take the temperature again by {again_by}, before you read the file in, and leave the grain where it is. If it shows {cold} or less again, no file changes the time between the two probes. The time from {last} to {read} stays with the file",
        last = moment(probe.last),
        shown = units.temperature(up(probe.shown)),
        again_by = moment(probe.again_by),
        cold = units.limit(probe.cold),
        read = moment(probe.read),
    )
}

/// That a file overrules it, with what that file says, and what to do next.
pub fn overruled(
    lot: LotCode,
    probe: Overruled,
    verdict: Verdict,
    units: Units,
    zone: &Zone,
) -> String {
    let (read, showed) = probe.read;
    let moment = |at: Instant| times::moment(at, read, zone);
    let cold = units.limit(probe.cold);
    let gap = times::minutes(probe.longest_gap.num_minutes());
    let before = if probe.cold.at_or_below(probe.air) {
        ", and warmer before"
    } else {
        ""
    };
    let next = match (verdict, probe.again_by) {
        (Verdict::Past, _) => format!(
            "The lot is past, and no probe changes that: `draff discard {lot} --reason past`. Next time take the temperature twice, no more than {gap} apart, before you read the file in: no file changes the time between two cold probes in one place"
        ),
        (_, Some(by)) => format!(
            "Take the temperature again by {}, and leave the grain where it is: `draff probe {lot} TEMPERATURE`. If it shows {cold} or less, the time between the two probes counts as cold, whatever its air was",
            moment(by)
        ),
        (_, None) => format!(
            "One probe does not settle it. Two do, no more than {gap} apart and in one place, if both show {cold} or less. The shelf says what to do with the lot now"
        ),
    };
    format!(
        "your probe of lot `{lot}` at {} showed {}, and the air of its place overrules it: from {} to {} {} is up to {} warm at its warmest point, above the limit of {cold}. That is worked out from its air, which was at up to {} then{before}. {next}",
        moment(read),
        units.temperature(showed),
        moment(probe.stretch.0),
        moment(probe.stretch.1),
        cool::layer(probe.layer, units),
        units.temperature(up(probe.warmest)),
        units.temperature(probe.air),
    )
}

/// That its place was warm around the moment at which it is said to have been cold.
pub fn word_in_warmth(lot: LotCode, word: WordInWarmth, units: Units, zone: &Zone) -> String {
    format!(
        "the statement that lot `{lot}` was at {} or less by {} does not fit: the logger of its place showed {} or more around then. Take the temperature of the grain: `draff probe {lot} TEMPERATURE`",
        units.limit(word.cold),
        times::moment(word.said, word.said, zone),
        units.temperature(up(word.coldest)),
    )
}

/// Rounded up to the tenth of a degree, so that what is above a limit is never shown as the limit itself.
fn up(temperature: Temperature) -> Temperature {
    let tenths = (temperature.milli_celsius() + 99).div_euclid(100);
    Temperature::new(tenths * 100, Scale::Celsius)
}
