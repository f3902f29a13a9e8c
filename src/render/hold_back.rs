//! The hold-back sum: three lines to work by, then the sums.

use super::kitchen_scale::KitchenScale;
use super::lot::Detail;
use super::moisture::warnings;
use super::numbers::{self, Units};
use super::words;
use crate::desk::HoldBackAnswer;
use crate::dough::hold_back::{ACCEPTED_SHARE, Fixed, HoldBack};
use crate::quantity::Milligrams;
use crate::quantity::mass::{from_grams, grams};
use uom::si::f64::Mass;

pub(super) mod thirst;
mod too_wet;

pub use too_wet::refusal;

/// The whole answer; briefly only what to pour and what to be warned of.
pub fn text(answer: &HoldBackAnswer, detail: Detail, units: Units) -> String {
    let mut out = String::new();
    let sum = &answer.sum;
    let grain = match &answer.lot {
        Some((lot, verdict)) => format!("{lot}, {verdict}"),
        None => "no lot".to_owned(),
    };
    let weigh = |mass| units.on_the_bench(mass);
    let scale = KitchenScale::new(units, answer.step);
    // What was typed stays; what follows from it goes on the scale.
    let wet = match sum.fixed {
        Fixed::Wet => weigh(sum.wet),
        Fixed::Share => scale.weigh(sum.wet),
    };
    let flour = if answer.is_flour_typed {
        weigh(sum.flour)
    } else {
        scale.weigh(sum.flour)
    };
    words::labelled(
        &mut out,
        "Weigh",
        &format!(
            "{wet} of {} grain ({grain}) and {flour} of flour",
            if answer.is_dry { "dried" } else { "wet" },
        ),
    );
    let pour = scale.weigh(sum.pour_first);
    let hold_back = scale.weigh(sum.keep_back);
    words::labelled(
        &mut out,
        "Pour",
        &format!(
            "{pour} of water first{}",
            if pour == scale.weigh(Mass::default()) {
                String::new()
            } else {
                let wettest = numbers::tenths(sum.upper.get());
                format!(", for this grain at its wettest ({wettest})")
            }
        ),
    );
    words::labelled(
        &mut out,
        "Hold back",
        &format!(
            "{hold_back} of water. Add from it little by little: likely {} of it",
            scale.weigh(sum.likely_back)
        ),
    );
    if detail != Detail::Brief {
        out.push('\n');
        sums(&mut out, answer, scale);
    }
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
    if let Some(water) = &sum.thirst
        && detail != Detail::Brief
    {
        words::labelled(&mut out, "Thirst", &thirst::whole(sum, water, scale));
    }
    out
}

/// What the water was worked out from.
fn sums(out: &mut String, answer: &HoldBackAnswer, scale: KitchenScale) {
    let sum = &answer.sum;
    let weigh = |mass| scale.units.on_the_bench(mass);
    words::labelled(
        out,
        "Moisture",
        &water_in_grain(sum, answer.from, "the grain"),
    );
    words::labelled(
        out,
        "Grain",
        &format!(
            "{} dry, counted as {} of flour; it carries {} of water",
            weigh(sum.dry),
            weigh(sum.flour_equivalent),
            weigh(sum.carried_water)
        ),
    );
    words::labelled(
        out,
        "Flour",
        &format!(
            "{} in all, of which {} is grain ({})",
            weigh(sum.total_flour),
            numbers::percent(sum.grain_share),
            match sum.fixed {
                Fixed::Wet => "you typed the grain's weight; the share is worked out from it",
                Fixed::Share => "you typed the share; the grain's weight is worked out from it",
            }
        ),
    );
    let poured = scale.nearest(sum.pour_first);
    words::labelled(
        out,
        "Water",
        &water(sum, (poured, "poured"), Mass::default(), scale),
    );
    words::labelled(out, "Held back", &held_for(sum, scale));
}

/// The water of the hydration and the parts that add up to it: what the grain and other ingredients bring, what is poured, and
/// what goes in of the water held back where the grain is no drier than its moisture says.
pub(super) fn water(
    sum: &HoldBack,
    (poured, how): (Milligrams, &str),
    brought: Mass,
    scale: KitchenScale,
) -> String {
    let weigh = |mass| scale.units.on_the_bench(mass);
    let [total, carried, brought] =
        [sum.total_water, sum.carried_water, brought].map(|mass| from_grams(grams(mass).round()));
    let poured = poured.mass();
    let parts: Vec<String> = [
        (carried, "in the grain"),
        (brought, "in other ingredients"),
        (poured, how),
        (total - carried - brought - poured, "of the held-back water"),
    ]
    .into_iter()
    .filter(|(mass, _)| grams(*mass) >= 0.5)
    .map(|(mass, part)| format!("{} {part}", weigh(mass)))
    .collect();
    format!(
        "{} at {} hydration: {}{}",
        weigh(total),
        numbers::percent(sum.hydration),
        parts.join(", "),
        on_top(sum, scale)
    )
}

/// Behind the water of the hydration, where the grain's thirst asks for more than that.
fn on_top(sum: &HoldBack, scale: KitchenScale) -> String {
    match sum.thirst {
        Some(water) if thirst::is_on_top(&water, scale.units) => format!(
            "; on top of that, most likely {} of the held-back water for the grain to drink",
            scale.weigh(water.likely)
        ),
        _ => String::new(),
    }
}

/// The parts of the water held back: for the moisture and for the thirst.
fn both_parts(sum: &HoldBack, scale: KitchenScale) -> [Mass; 2] {
    sum.parts_on_scale(scale.step).map(Milligrams::mass)
}

/// How much of the water held back is likely to go in, and what it is for, in few words.
pub(super) fn parts_in_short(sum: &HoldBack, scale: KitchenScale) -> String {
    let weigh = |mass| scale.weigh(mass);
    let [moisture, thirst] = both_parts(sum, scale);
    let likely = format!(
        "most likely {} goes in, perhaps all",
        weigh(sum.likely_back)
    );
    let Some(water) = &sum.thirst else {
        return likely;
    };
    let range = thirst::range_in_short(sum, water, scale);
    format!(
        "{likely}: {} in case the grain is drier, {} for it to drink{}",
        weigh(moisture),
        weigh(thirst),
        range.map_or(String::new(), |range| format!(" ({range})"))
    )
}

/// What the water held back is for, and how much of it is likely to go in.
pub fn parts(sum: &HoldBack, scale: KitchenScale) -> String {
    let likely = likely(sum, scale);
    match reasons(sum, scale) {
        None => likely,
        Some(reasons) => format!("{reasons}; {likely}"),
    }
}

/// How much of the water held back is likely to go in.
pub(super) fn likely(sum: &HoldBack, scale: KitchenScale) -> String {
    format!("most likely {} goes in", scale.weigh(sum.likely_back))
}

/// What the water held back is for, and when the dough takes all of it.
fn held_for(sum: &HoldBack, scale: KitchenScale) -> String {
    match reasons(sum, scale) {
        None => {
            "for drier grain. Stop when the dough feels right: only the driest grain takes all of it"
                .to_owned()
        }
        Some(reasons) => format!(
            "{reasons}. Stop when the dough feels right: only the driest and thirstiest grain takes all of it"
        ),
    }
}

/// How much water is held back for the moisture and how much for the thirst; nothing where thirst is left out.
fn reasons(sum: &HoldBack, scale: KitchenScale) -> Option<String> {
    let water = sum.thirst?;
    let [moisture, thirst] = both_parts(sum, scale);
    Some(format!(
        "{} in case the grain is drier, {} {}",
        scale.weigh(moisture),
        scale.weigh(thirst),
        thirst::reason(sum, &water, scale)
    ))
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
