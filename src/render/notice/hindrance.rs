//! Why promised grain is not taken as the plan said.

use crate::desk::Hindrance;
use crate::quantity::{Instant, Zone};
use crate::render::bake;
use crate::render::numbers::Units;

/// Why a promise does not hold as it was made, told at a moment.
pub fn words(why: &Hindrance, at: Instant, units: Units, zone: &Zone) -> String {
    match why {
        Hindrance::OtherLotsNamed => "the bake now names other lots".to_owned(),
        Hindrance::Gone { lot, missing } => {
            format!("{} of lot `{lot}` is missing", units.weighed(*missing))
        }
        Hindrance::TooManyLots => {
            "the promised grain is of more lots than the bake is to be made of".to_owned()
        }
        Hindrance::Unusable {
            lot,
            verdict,
            limit,
        } => format!(
            "lot `{lot}`, as it lies now, is {verdict} when it would go in: {}",
            units.in_words(limit)
        ),
        Hindrance::OutBefore(lot, out) => format!(
            "the bake cannot have lot `{lot}`: {}",
            bake::out_before(out, at, zone)
        ),
        Hindrance::DoesNotSuit(lot) => format!("lot `{lot}` does not suit the bake"),
        Hindrance::TooMuch { dry, most } => format!(
            "the promised grain holds {} of dry grain, and the bake takes {} at most",
            units.to_weigh(dry.mass()),
            units.to_weigh(most.mass())
        ),
    }
}
