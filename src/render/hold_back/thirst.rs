//! The thirst of the grain in words: how much more or less water a dough takes for it, and where that is known from.

use super::both_parts;
use crate::dough::hold_back::HoldBack;
use crate::dough::learned_thirst::LearnedThirst;
use crate::dough::thirst::{CENTRE, HIGHEST, LOWEST, ThirstWater};
use crate::grain::dry_matter::dry_grain;
use crate::quantity::Milligrams;
use crate::quantity::mass::{from_grams, grams};
use crate::quantity::text::count;
use crate::render::kitchen_scale::KitchenScale;
use crate::render::numbers::Units;
use uom::si::f64::Mass;

/// Whether grain takes more water than flour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Direction {
    More,
    Less,
    /// The range holds both.
    Either,
}

/// A range of water beside what flour takes, each end with its direction.
struct Beside {
    direction: Direction,
    /// `10 g to 107 g more`, `between 48 g less and 45 g more`.
    range: String,
    /// `40 g`, or `1 g less` where the range holds both directions.
    likely: String,
}

impl Beside {
    fn of(low: Mass, likely: Mass, high: Mass, scale: KitchenScale) -> Self {
        let none = Mass::default();
        let weigh = |mass: Mass| scale.weigh(mass.abs());
        // What is shown as nothing has no direction.
        let is_shown = |mass: Mass| !is_nothing(mass, scale.units);
        let is_less = |mass: Mass| mass < none && is_shown(mass);
        let is_more = |mass: Mass| mass > none && is_shown(mass);
        match (is_less(low), is_more(high)) {
            (true, true) => Self {
                direction: Direction::Either,
                range: format!("between {} less and {} more", weigh(low), weigh(high)),
                likely: if is_less(likely) {
                    format!("{} less", weigh(likely))
                } else if is_more(likely) {
                    format!("{} more", weigh(likely))
                } else {
                    weigh(none)
                },
            },
            (true, false) => Self {
                direction: Direction::Less,
                range: format!("{} to {} less", weigh(high), weigh(low)),
                likely: weigh(likely),
            },
            (false, _) => Self {
                direction: Direction::More,
                range: format!("{} to {} more", weigh(low), weigh(high)),
                likely: weigh(likely),
            },
        }
    }

    /// Of a dough: up to what is held back for it, where that is the most that the grain drinks.
    fn of_dough(sum: &HoldBack, water: &ThirstWater, scale: KitchenScale) -> Self {
        let of = |high| Self::of(water.low, water.likely, high, scale);
        let found = of(water.high);
        if found.direction == Direction::More && !is_less_grain(water) {
            of(both_parts(sum, scale)[1])
        } else {
            found
        }
    }
}

/// Whether there is less grain than the hydration was found with.
fn is_less_grain(water: &ThirstWater) -> bool {
    water
        .beyond_found
        .is_some_and(|beyond| beyond < Mass::default())
}

/// Whether the hydration was found with as much grain of this form, so that it covers the thirst at the estimated moisture.
fn is_in_hydration(water: &ThirstWater, units: Units) -> bool {
    let is_nothing = |mass: Mass| is_nothing(mass, units);
    water.beyond_found.is_some() && is_nothing(water.low) && is_nothing(water.high)
}

/// Whether nothing of it shows on the bench: in ounces what is nearly nothing is written otherwise than nothing is.
fn is_nothing(mass: Mass, units: Units) -> bool {
    const SHOWN: f64 = 0.05;
    grams(mass).abs() < SHOWN
        || units.on_the_bench(mass.abs()) == units.on_the_bench(Mass::default())
}

/// Whether its thirst likely asks for more water than the hydration.
pub(super) fn is_on_top(water: &ThirstWater, units: Units) -> bool {
    water.likely > Mass::default() && !is_nothing(water.likely, units)
}

/// Why water is held back for it.
pub(super) fn reason(sum: &HoldBack, water: &ThirstWater, scale: KitchenScale) -> &'static str {
    if is_in_hydration(water, scale.units) {
        return "as drier grain drinks more and wetter grain less";
    }
    let direction = Beside::of_dough(sum, water, scale).direction;
    match (is_less_grain(water), direction) {
        (true, Direction::Less | Direction::Either) => {
            "in case it drinks little, so less grain saves less water"
        }
        (true, Direction::More) => "in case it drinks less than flour, so less grain costs water",
        (false, Direction::More) => "because it drinks more than flour",
        (false, Direction::Either) => "as it may drink less or more than flour",
        (false, Direction::Less) => "in case it drinks only a little less than flour",
    }
}

/// The thirst of the grain with its range, up to what is held back for it.
pub(in crate::render) fn in_short(
    sum: &HoldBack,
    water: &ThirstWater,
    scale: KitchenScale,
) -> String {
    if is_in_hydration(water, scale.units) {
        return "the hydration covers what this much grain usually drinks: it was found with as much grain of this form"
            .to_owned();
    }
    let Beside {
        direction,
        range,
        likely,
    } = Beside::of_dough(sum, water, scale);
    if is_less_grain(water) {
        return format!(
            "this is less grain than the hydration was found with, so the dough takes {range} water, about {likely}"
        );
    }
    let drinks = match direction {
        Direction::More => "drinks more than flour",
        Direction::Less => "drinks less than flour",
        Direction::Either => "may drink less or more than flour",
    };
    format!("dry grain {drinks}: {range} water in this dough, most likely {likely}")
}

/// Its range and where that is known from, in a few words: `in 12 bakes: 16 g to 181 g more than flour`. Nothing where the
/// hydration covers it.
pub(super) fn range_in_short(
    sum: &HoldBack,
    water: &ThirstWater,
    scale: KitchenScale,
) -> Option<String> {
    let from = narrowed(water).map_or_else(
        || "published".to_owned(),
        |learned| format!("in {}", count(learned.doughs, "bake")),
    );
    let range = Beside::of_dough(sum, water, scale).range;
    let than = if is_less_grain(water) {
        ""
    } else {
        " than flour"
    };
    (!is_in_hydration(water, scale.units)).then(|| format!("{from}: {range}{than}"))
}

/// What bakes of the house say, where it is other than what is published.
fn narrowed(water: &ThirstWater) -> Option<&LearnedThirst> {
    let learned = water.learned.as_ref();
    learned.filter(|learned| of_a_hundred(learned.low, learned.likely, learned.high) != published())
}

fn published() -> String {
    of_a_hundred(LOWEST, CENTRE, HIGHEST)
}

/// No scale: what trials and bakes say is told in grams.
const IN_GRAMS: KitchenScale = KitchenScale::new(Units::Metric, Milligrams::new(1000));

/// What 100 g of dry grain drink beside what flour does.
fn of_a_hundred(low: f64, likely: f64, high: f64) -> String {
    let [low, likely, high] = [low, likely, high].map(|points| from_grams(points * 100.0));
    let Beside { range, likely, .. } = Beside::of(low, likely, high, IN_GRAMS);
    format!("for each 100 g of dry grain {range} water than flour takes, most likely {likely}")
}

/// What bakes narrowed it to, and on how many that rests.
pub(in crate::render) fn learned_words(learned: &LearnedThirst) -> String {
    format!(
        "{}, learned from {} with recorded water",
        of_a_hundred(learned.low, learned.likely, learned.high),
        count(learned.doughs, "bake")
    )
}

/// Of how much dry grain the most is, where that is more than the moisture says.
fn of_driest(sum: &HoldBack, water: &ThirstWater, scale: KitchenScale) -> String {
    let [driest, likely] =
        [dry_grain(sum.wet, sum.lower), sum.dry].map(|dry| scale.units.on_the_bench(dry));
    let direction = Beside::of_dough(sum, water, scale).direction;
    if water.beyond_found.is_some() || direction != Direction::More || driest == likely {
        return String::new();
    }
    let highest = scale.weigh(both_parts(sum, scale)[1]);
    format!(" The {highest} is for the driest grain: {driest} dry.")
}

/// The same as [`in_short`], and where that comes from.
pub(super) fn whole(sum: &HoldBack, water: &ThirstWater, scale: KitchenScale) -> String {
    let in_short = in_short(sum, water, scale);
    let (published, of_driest) = (published(), of_driest(sum, water, scale));
    if let Some(learned) = narrowed(water) {
        return format!(
            "{in_short}. Your bakes: {}.{of_driest} `draff settings thirst published` keeps to the published range: {published}",
            learned_words(learned)
        );
    }
    let so_far = water.learned.map_or(String::new(), |learned| {
        format!(
            " {} with recorded water so far: not enough to change them.",
            count(learned.doughs, "bake")
        )
    });
    format!(
        "{in_short}. Published: {published}.{of_driest}{so_far} These figures were measured with dried, milled grain. Yours may drink differently, so add the held-back water slowly (Stojceska and Ainsworth 2008, stiff doughs; International Journal of Food Science 2022:8704684; Dreese and Hoseney 1982, bran without hulls)"
    )
}

#[cfg(test)]
mod tests;
