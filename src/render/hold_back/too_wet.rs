//! A dough that its grain alone makes too wet: what was found, and the ways out.

use crate::dough::hold_back::{Fixed, Refusal, WaysOut};
use crate::grain::clipped;
use crate::grain::dry_matter::{dry_grain, wet_for};
use crate::quantity::Problem;
use crate::render::numbers::{self, Units};

/// A refusal of the sum, in words.
pub fn refusal(refusal: Refusal, units: Units) -> Problem {
    match refusal {
        Refusal::TooWet(ways) => too_wet(&ways, units),
        Refusal::Other(problem) => problem,
    }
}

/// The refusal of a dough that the grain alone makes too wet, with the ways out rounded to the safe side: each is
/// accepted as it is printed.
fn too_wet(ways: &WaysOut, units: Units) -> Problem {
    let weigh = |mass| units.to_weigh(mass);
    let mut problem = Problem::new(format!(
        "the grain brings more water than the dough takes: {} of wet grain at {} carries {}, the dough takes {} in all",
        weigh(ways.wet),
        numbers::percent(ways.moisture.get()),
        weigh(ways.carried_water),
        weigh(ways.total_water)
    ));
    if let Some(share) = numbers::percent_at_most(ways.share_at_most) {
        let share = numbers::percent(share);
        problem = problem.hint(format!("less grain: a share of no more than {share}"));
    }
    if let Some(pressed) = numbers::percent_at_most(ways.moisture_at_most.get()) {
        let dry = dry_grain(ways.wet, ways.moisture);
        let left = wet_for(dry, clipped(pressed));
        let press = format!(
            "drier grain: press it to no more than {} moisture",
            numbers::percent(pressed)
        );
        problem = problem.hint(match ways.fixed {
            Fixed::Wet => format!("{press}, then take {}", units.to_weigh_at_most(left)),
            Fixed::Share => press,
        });
    }
    match ways.fixed {
        Fixed::Wet => problem.hint(format!(
            "more flour: no less than {} from the bag",
            units.to_weigh_at_least(ways.flour_at_least)
        )),
        Fixed::Share => problem,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dough::hold_back::{FlourAmount, GrainAmount, Request, work_out};
    use crate::quantity::fraction::Percent;
    use crate::quantity::{Milligrams, Uncertain, WetBasis, bounds};
    use proptest::prelude::*;
    use uom::si::f64::Mass;

    /// The part of a hint between two parts of it, as it is typed.
    fn typed<'a>(hint: &'a str, before: &str, after: &str) -> Option<&'a str> {
        let (_, rest) = hint.split_once(before)?;
        let found = rest.split_once(after).map_or(rest, |(found, _)| found);
        // Beside ounces stand grams.
        Some(found.split(" (").next().unwrap_or(found))
    }

    fn percent(text: &str) -> f64 {
        text.parse::<Percent>()
            .unwrap()
            .within(&bounds::GRAIN_SHARE)
            .unwrap()
    }

    fn mass(text: &str) -> Mass {
        text.parse::<Milligrams>().unwrap().mass()
    }

    /// What a hint says to type, typed.
    fn taken(request: &Request, hint: &str) -> Request {
        let mut changed = *request;
        if let Some(share) = typed(hint, "less grain: a share of no more than ", "\n") {
            changed.grain = GrainAmount::Share(percent(share));
        } else if let Some(moisture) = typed(hint, "press it to no more than ", " moisture") {
            changed.moisture.value = percent(moisture);
            if let Some(wet) = typed(hint, "then take ", "\n") {
                changed.grain = GrainAmount::Wet(mass(wet));
            }
        } else if let Some(flour) = typed(hint, "more flour: no less than ", " from the bag") {
            changed.flour = FlourAmount::Bag(mass(flour));
        } else {
            panic!("nothing to type: {hint}");
        }
        changed
    }

    prop_compose! {
        fn typed_request()(
            wet in 50_000i64..20_000_000,
            share in prop_oneof![Just(None), (5i32..950).prop_map(Some)],
            flour in 50_000i64..30_000_000,
            total in any::<bool>(),
            whole in any::<bool>(),
            hydration in 300i32..1200,
            moisture in 50i32..950,
            flour_basis in prop_oneof![Just(0.0), Just(0.14)],
            elsewhere in prop_oneof![Just(0.0), 0.0f64..0.9],
        ) -> Request {
            let milligrams = |count: i64| {
                let count = if whole { count / 10_000 * 10_000 } else { count };
                Milligrams::new(count).mass()
            };
            let hydration = f64::from(hydration) / 1000.0;
            Request {
                grain: match share {
                    Some(tenths) => GrainAmount::Share(f64::from(tenths) / 1000.0),
                    None => GrainAmount::Wet(milligrams(wet)),
                },
                flour: if total {
                    FlourAmount::Total(milligrams(flour))
                } else {
                    FlourAmount::Bag(milligrams(flour))
                },
                hydration,
                moisture: Uncertain::known(f64::from(moisture) / 1000.0, 0.0),
                flour_basis: WetBasis::new(flour_basis).unwrap(),
                elsewhere: elsewhere * hydration,
                thirst: None,
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        #[test]
        fn each_remedy_is_accepted_as_it_is_printed(request in typed_request(), us in any::<bool>()) {
            let Err(found @ Refusal::TooWet(_)) = work_out(&request) else { return Ok(()) };
            let problem = refusal(found, Units::of(us));
            for hint in problem.hints() {
                let found = work_out(&taken(&request, hint));
                prop_assert!(found.is_ok(), "{hint}: {found:?}");
            }
        }
    }
}
