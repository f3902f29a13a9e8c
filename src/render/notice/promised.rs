//! What became of grain that the accepted plan promised.

use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::numbers::Units;
use crate::render::{bake, times};
use crate::report::promise::LostGrain;

/// A bake takes what a plan promised it, more or less.
pub(super) fn taken(
    (bake, is_reweighed, less): (&BakeCode, bool, Milligrams),
    (accepted_at, at): (Instant, Instant),
    units: Units,
    zone: &Zone,
) -> String {
    let taken = format!(
        "the grain is what the plan of {} promised to {bake}",
        times::moment(accepted_at, at, zone)
    );
    if less > Milligrams::ZERO {
        return format!(
            "{taken}, but {} less: by what is known of its moisture now the dough takes no more of it",
            units.weighed(less)
        );
    }
    if is_reweighed {
        return format!(
            "{taken}: the same dry grain. Its moisture is known otherwise since, so its wet weight changed"
        );
    }
    taken
}

/// A plan has no grain for a bake, and this of the lots that it names is promised to others.
pub(super) fn left_out(
    bake: BakeCode,
    left: &[(Milligrams, LotCode, BakeCode)],
    units: Units,
) -> String {
    let left = left.iter().map(|(wet, lot, other)| {
        let wet = units.weighed(*wet);
        format!("; {wet} of `{lot}` is left to {other}")
    });
    let left: String = left.collect();
    format!("the accepted plan leaves {bake} out{left}")
}

/// Not all of it is left for each of these bakes.
pub(super) fn gone(lot: &LotCode, bakes: &[(BakeCode, Milligrams)], units: Units) -> String {
    let bakes: Vec<String> = bakes
        .iter()
        .map(|(bake, lacks)| format!("{bake} is short by {}", units.weighed(*lacks)))
        .collect();
    format!(
        "not all is left that the accepted plan promised of lot `{lot}`: {}. `draff plan --accept` shares out what is left",
        bakes.join(", ")
    )
}

/// It is there, and may not be used any more when these bakes weigh it out.
pub(super) fn lost(lost: &[LostGrain], units: Units, zone: &Zone) -> String {
    let bakes: Vec<String> = lost
        .iter()
        .map(|one| {
            let when = |at| times::moment(at, one.grain_at, zone);
            let because = match (&one.out_before, one.keep_until) {
                (Some(out), _) => bake::out_before(out, one.grain_at, zone),
                (None, Some(until)) if one.verdict == Verdict::Unknown => {
                    format!("known to be good only until {}", when(until))
                }
                (None, Some(until)) => format!("good only until {}", when(until)),
                (None, None) => format!("as it lies now it is {} by then", one.verdict),
            };
            format!(
                "{} ({}) loses {} of `{}`: {because}.",
                one.bake,
                when(one.grain_at),
                units.weighed(one.wet),
                one.lot
            )
        })
        .collect();
    format!(
        "{}\n`draff plan` shows what to use instead",
        bakes.join("\n")
    )
}
