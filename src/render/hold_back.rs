//! The hold-back sum: three lines to work by, then the sums.

use super::moisture::warnings;
use super::numbers::{self, Units};
use super::words;
use crate::desk::HoldBackAnswer;
use crate::dough::hold_back::{ACCEPTED_SHARE, Fixed, HoldBack, Refusal, WaysOut};
use crate::dough::learned_thirst::LearnedThirst;
use crate::dough::thirst::{CENTRE, HIGHEST, LOWEST, ThirstWater};
use crate::grain::clipped;
use crate::grain::dry_matter::{dry_grain, wet_for};
use crate::quantity::Problem;
use crate::quantity::mass::{from_grams, grams};
use crate::quantity::text::count;
use uom::si::f64::Mass;
use uom::si::ratio::ratio;

/// The whole answer.
pub fn text(answer: &HoldBackAnswer, units: Units) -> String {
    let mut out = String::new();
    let (sum, from) = (&answer.sum, answer.from);
    let grain = match &answer.lot {
        Some((lot, verdict)) => format!("{lot}, {verdict}"),
        None => "no lot".to_owned(),
    };
    let weigh = |mass| units.to_weigh(mass);
    let step = answer.step.mass();
    let on_scale = |mass: Mass| weigh(step * (mass / step).get::<ratio>().round());
    // What was typed stays; what follows from it goes on the scale.
    let wet = match sum.fixed {
        Fixed::Wet => weigh(sum.wet),
        Fixed::Share => on_scale(sum.wet),
    };
    words::labelled(
        &mut out,
        "Weigh",
        &format!(
            "{} of wet grain ({grain}) and {} of flour",
            wet,
            weigh(sum.flour)
        ),
    );
    let pour = on_scale(sum.pour_first);
    let hold_back = on_scale(sum.keep_back);
    words::labelled(
        &mut out,
        "Pour",
        &format!(
            "{pour} of water first{}",
            if pour == weigh(Mass::default()) {
                String::new()
            } else {
                let wettest = numbers::tenths(sum.upper.get());
                format!(", enough for the wettest grain ({wettest})")
            }
        ),
    );
    words::labelled(
        &mut out,
        "Hold back",
        &format!(
            "{hold_back} of water. Add it little by little: likely {} goes in",
            weigh(sum.likely_back)
        ),
    );
    out.push('\n');
    words::labelled(
        &mut out,
        "Moisture",
        &water_in_grain(sum, from, "the grain"),
    );
    words::labelled(
        &mut out,
        "Grain",
        &format!(
            "{} dry, counted as {} of flour; it carries {} of water",
            weigh(sum.dry),
            weigh(sum.flour_equivalent),
            weigh(sum.carried_water)
        ),
    );
    words::labelled(
        &mut out,
        "Flour",
        &format!(
            "{} in all, of which {} is grain ({})",
            weigh(sum.total_flour),
            numbers::percent(sum.grain_share),
            match sum.fixed {
                Fixed::Wet => "you typed the wet grain; the share is worked out from it",
                Fixed::Share => "you typed the share; the wet grain is worked out from it",
            }
        ),
    );
    words::labelled(
        &mut out,
        "Water",
        &format!(
            "{} is in the grain, you pour {pour}, and up to {hold_back} more is held back; {} hydration is {} in all{}",
            weigh(sum.carried_water),
            numbers::percent(sum.hydration),
            weigh(sum.total_water),
            on_top(sum, units)
        ),
    );
    words::labelled(&mut out, "Held back", &held_for(sum, units));
    if sum.too_much_at_worst > Mass::default() {
        words::labelled(
            &mut out,
            "Warning",
            &format!(
                "at the wet end of its range the grain alone brings {} more than the dough takes: test its moisture, or take less of it",
                weigh(sum.too_much_at_worst)
            ),
        );
    }
    if answer.unfinished.samples > 0 {
        words::labelled(
            &mut out,
            "Warning",
            &format!(
                "{}: weigh until the weight is constant, then ask again",
                numbers::unfinished(&answer.unfinished)
            ),
        );
    }
    if let (Some(far_apart), Some((lot, _))) = (&answer.far_apart, &answer.lot) {
        let to_do = warnings::put_right(far_apart, &lot.to_string());
        words::labelled(
            &mut out,
            "Warning",
            &format!(
                "the moisture of {lot} is not known: {}; {to_do}",
                warnings::far_apart(far_apart)
            ),
        );
    }
    if sum.above_accepted_share {
        words::labelled(
            &mut out,
            "Note",
            &format!(
                "tasters accepted bread with up to {} dry grain (Prentice and D'Appolonia 1977; Waters and others 2012): this is more",
                numbers::percent(ACCEPTED_SHARE)
            ),
        );
    }
    if let Some(thirst) = &sum.thirst {
        words::labelled(&mut out, "Thirst", &thirst_words(sum, thirst, units));
    }
    out
}

/// Behind the water of the hydration, where the grain's thirst asks for more than that.
pub(super) fn on_top(sum: &HoldBack, units: Units) -> &'static str {
    match sum.thirst {
        Some(water) if !takes_less(&water) && !is_in_hydration(&water, units) => {
            "; the water for the grain's thirst comes on top"
        }
        _ => "",
    }
}

/// The parts of the water held back: for the moisture and for the thirst.
fn both_parts(sum: &HoldBack) -> (Mass, Mass) {
    // Shown amounts must add up on paper, so the last is what the rounded others leave.
    let whole = |mass| from_grams(grams(mass).round());
    let moisture = whole(sum.keep_back - sum.keep_back_thirst);
    (moisture, whole(sum.keep_back) - moisture)
}

/// How much of the water held back is likely to go in, and what it is for, in few words.
pub(super) fn parts_in_short(sum: &HoldBack, units: Units) -> String {
    let weigh = |mass| units.to_weigh(mass);
    let (moisture, thirst) = both_parts(sum);
    let likely = format!(
        "most likely {} goes in, perhaps all",
        weigh(sum.likely_back)
    );
    match sum.thirst {
        None => likely,
        Some(_) => format!(
            "{likely} ({} for drier grain, {} for its thirst)",
            weigh(moisture),
            weigh(thirst)
        ),
    }
}

/// What the water held back is for, and how much of it is likely to go in.
pub fn parts(sum: &HoldBack, units: Units) -> String {
    let likely = format!("most likely {} goes in", units.to_weigh(sum.likely_back));
    match reasons(sum, units) {
        None => likely,
        Some(reasons) => format!("{reasons}; {likely}"),
    }
}

/// What the water held back is for, and when the dough takes all of it.
fn held_for(sum: &HoldBack, units: Units) -> String {
    match reasons(sum, units) {
        None => {
            "for drier grain. Stop when the dough feels right: it takes all only if the grain is as dry as it may be"
                .to_owned()
        }
        Some(reasons) => format!(
            "{reasons}. Stop when the dough feels right: it takes all only if the grain is as dry and as thirsty as it may be"
        ),
    }
}

/// How much water is held back for the moisture and how much for the thirst; nothing where thirst is left out.
fn reasons(sum: &HoldBack, units: Units) -> Option<String> {
    let water = sum.thirst?;
    let (moisture, thirst) = both_parts(sum);
    Some(format!(
        "{} in case the grain is drier, {} {}",
        units.to_weigh(moisture),
        units.to_weigh(thirst),
        if is_in_hydration(&water, units) {
            "as drier grain drinks more and wetter grain less"
        } else if takes_less(&water) {
            "in case it drinks little, so less grain saves less water"
        } else {
            "in case it drinks more than flour"
        }
    ))
}

/// Whether there is less grain than the hydration was found with, so that its thirst takes water off.
fn takes_less(thirst: &ThirstWater) -> bool {
    thirst.likely < Mass::default()
}

/// Whether the hydration was found with as much grain of this form, so that it covers the thirst at the estimated moisture.
fn is_in_hydration(thirst: &ThirstWater, units: Units) -> bool {
    let shown = [thirst.low, thirst.high, Mass::default()].map(|mass| units.to_weigh(mass.abs()));
    shown.iter().all(|mass| *mass == shown[2])
}

/// The thirst of the grain with its range, up to what is held back for it.
pub(super) fn thirst_in_short(sum: &HoldBack, thirst: &ThirstWater, units: Units) -> String {
    let weigh = |mass: Mass| units.to_weigh(mass.abs());
    if is_in_hydration(thirst, units) {
        "the hydration covers what this much grain usually drinks: it was found with as much grain of this form".to_owned()
    } else if takes_less(thirst) {
        format!(
            "this is less grain than the hydration was found with, so the dough takes {} to {} less water, about {}",
            weigh(thirst.high),
            weigh(thirst.low),
            weigh(thirst.likely)
        )
    } else {
        let (_, held) = both_parts(sum);
        format!(
            "dry grain drinks more than flour: {} to {} more water in this dough, most likely {}",
            weigh(thirst.low),
            weigh(held),
            weigh(thirst.likely)
        )
    }
}

/// What 100 g of dry grain drink more than flour does.
fn of_a_hundred(low: f64, high: f64, likely: f64) -> String {
    format!(
        "for each 100 g of dry grain {:.0} to {:.0} g more water than flour takes, most likely {:.0} g",
        low * 100.0,
        high * 100.0,
        likely * 100.0
    )
}

/// What bakes narrowed it to, and on how many that rests.
pub(super) fn learned_words(learned: &LearnedThirst) -> String {
    format!(
        "{}, learned from {} with recorded water",
        of_a_hundred(learned.low, learned.high, learned.likely),
        count(learned.doughs, "bake")
    )
}

/// The same, and where that comes from.
fn thirst_words(sum: &HoldBack, thirst: &ThirstWater, units: Units) -> String {
    let in_short = thirst_in_short(sum, thirst, units);
    let published = of_a_hundred(LOWEST, HIGHEST, CENTRE);
    if let Some(learned) = &thirst.learned {
        return format!(
            "{in_short}. Your bakes: {}. `draff settings thirst published` keeps to the published range: {published}",
            learned_words(learned)
        );
    }
    format!(
        "{in_short}. Published: {published}. All trials took dried, milled grain (Stojceska and Ainsworth 2008, stiff doughs of 700 BU; International Journal of Food Science 2022:8704684; Dreese and Hoseney 1982, bran without hulls)"
    )
}

/// How much of the grain is water, with where that is known from and its 95 % range.
pub(super) fn water_in_grain(sum: &HoldBack, from: &str, grain: &str) -> String {
    format!(
        "{} of {grain} is water ({}), almost surely {} to {}",
        numbers::tenths(sum.moisture.get()),
        numbers::known_from(from),
        numbers::tenths(sum.lower.get()),
        numbers::tenths(sum.upper.get())
    )
}

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
