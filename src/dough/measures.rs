//! Household measures: the cups and spoons that come nearest to a weight.
//!
//! Pure. A weight becomes a volume by a published density; where none is published it stays a weight. Wet
//! grain has no published cup weight.

mod densities;

pub use densities::{DENSITIES, Density, Sort, density};

use super::batch::Line;
use crate::quantity::Problem;
use crate::quantity::text::one_of;
use std::fmt;
use std::str::FromStr;
use uom::si::f64::{Mass, Volume};
use uom::si::ratio::ratio;
use uom::si::volume::milliliter;

/// A measure further off than this, as a fraction of the weight, is pointed out.
pub const NOTICEABLE: f64 = 0.05;

/// One unit alone is enough where it is within this fraction of the weight. Our choice: a second unit would
/// be finer than anyone fills a cup.
const ONE_UNIT_IS_ENOUGH: f64 = 0.025;

/// Parts of a unit are counted in twelfths, so that thirds and quarters are whole numbers.
const TWELFTHS: u32 = 12;

/// A set of cups and spoons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeasureSet {
    /// Cup of 250 mL, tablespoon of 15 mL, teaspoon of 5 mL. Common practice, no source. Australia's
    /// tablespoon is 20 mL, which this set is not; its cup and teaspoon are the same.
    MetricCup,
    /// US customary measures: the gallon of 231 cubic inches (NIST Special Publication 811, Appendix B) has
    /// 16 cups, a cup 16 tablespoons, a tablespoon 3 teaspoons (common practice, no source).
    UsCup,
}

/// A cup or a spoon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Vessel {
    /// Cup.
    Cup,
    /// Tablespoon.
    Tablespoon,
    /// Teaspoon.
    Teaspoon,
}

impl MeasureSet {
    /// Every set.
    pub const ALL: [Self; 2] = [Self::MetricCup, Self::UsCup];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::MetricCup => "metric-cup",
            Self::UsCup => "us-cup",
        }
    }

    /// What one of its vessels holds, level.
    pub fn volume(self, vessel: Vessel) -> Volume {
        Volume::new::<milliliter>(match (self, vessel) {
            (Self::MetricCup, Vessel::Cup) => 250.0,
            (Self::MetricCup, Vessel::Tablespoon) => 15.0,
            (Self::MetricCup, Vessel::Teaspoon) => 5.0,
            (Self::UsCup, Vessel::Cup) => 236.588_236_5,
            (Self::UsCup, Vessel::Tablespoon) => 14.786_764_781_25,
            (Self::UsCup, Vessel::Teaspoon) => 4.928_921_593_75,
        })
    }
}

impl fmt::Display for MeasureSet {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

impl FromStr for MeasureSet {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "set of measures", &Self::ALL, Self::as_str)
    }
}

impl Vessel {
    /// Every vessel, the largest first.
    pub const ALL: [Self; 3] = [Self::Cup, Self::Tablespoon, Self::Teaspoon];

    /// The parts of it that a set of measures has, in twelfths; the whole is among them as nothing left over.
    pub const fn parts(self) -> &'static [u32] {
        match self {
            Self::Cup => &[0, 3, 4, 6, 8, 9],
            Self::Tablespoon => &[0, 6],
            Self::Teaspoon => &[0, 3, 6, 9],
        }
    }

    /// The least that is measured with it, in twelfths: half a tablespoon alone is measured in teaspoons.
    const fn least(self) -> u32 {
        match self {
            Self::Cup | Self::Teaspoon => 3,
            Self::Tablespoon => TWELFTHS,
        }
    }

    /// The volume from which it is used: the least of it, or so little below that the smaller vessels come to
    /// the same or are not worth their trouble.
    fn from(self, set: MeasureSet) -> Volume {
        let least = Filled {
            vessel: self,
            twelfths: self.least(),
        };
        let least = least.volume(set);
        match self {
            Self::Cup => least * (1.0 - ONE_UNIT_IS_ENOUGH),
            // Half a quarter of a teaspoon less is 3 teaspoons, which is a tablespoon.
            Self::Tablespoon => least - set.volume(Self::Teaspoon) / 8.0,
            Self::Teaspoon => Volume::default(),
        }
    }
}

/// So many of one vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Filled {
    /// Which.
    pub vessel: Vessel,
    /// How many, in twelfths.
    pub twelfths: u32,
}

impl Filled {
    fn volume(self, set: MeasureSet) -> Volume {
        set.volume(self.vessel) * f64::from(self.twelfths) / f64::from(TWELFTHS)
    }

    /// The amounts that can be measured next below and next above a volume.
    fn around(vessel: Vessel, volume: Volume, set: MeasureSet) -> [Self; 2] {
        let count = (volume / set.volume(vessel)).get::<ratio>().max(0.0);
        // A volume that came out of a sum a hair below a measure is that measure.
        let wanted = count * f64::from(TWELFTHS) + 1e-9;
        let whole = (wanted as u32) / TWELFTHS * TWELFTHS;
        let above = vessel.parts().iter().map(|part| whole + part);
        let mut steps = above.chain([whole + TWELFTHS]);
        let mut below = whole;
        let next = steps
            .find(|step| {
                let is_above = f64::from(*step) > wanted;
                if !is_above {
                    below = *step;
                }
                is_above
            })
            .unwrap_or(whole + TWELFTHS);
        [below, next].map(|twelfths| Self { vessel, twelfths })
    }

    /// The nearer of the two.
    fn nearest(vessel: Vessel, volume: Volume, set: MeasureSet) -> Self {
        let [below, above] = Self::around(vessel, volume, set);
        if volume - below.volume(set) <= above.volume(set) - volume {
            below
        } else {
            above
        }
    }
}

impl fmt::Display for Filled {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let part = match self.twelfths % TWELFTHS {
            3 => "1/4",
            4 => "1/3",
            6 => "1/2",
            8 => "2/3",
            9 => "3/4",
            _ => "",
        };
        let unit = match self.vessel {
            Vessel::Cup if self.twelfths > TWELFTHS => "cups",
            Vessel::Cup => "cup",
            Vessel::Tablespoon => "tbsp",
            Vessel::Teaspoon => "tsp",
        };
        match (self.twelfths / TWELFTHS, part) {
            (0, part) => write!(formatter, "{part} {unit}"),
            (whole, "") => write!(formatter, "{whole} {unit}"),
            (whole, part) => write!(formatter, "{whole} {part} {unit}"),
        }
    }
}

/// A household measure of a weight, in one unit or two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// What to fill.
    pub first: Filled,
    /// What to add to it.
    pub second: Option<Filled>,
    /// What the measure holds beyond the weight, ÷ the weight: below 0 where it holds less. The density's
    /// own uncertainty is not in it.
    pub relative_error: f64,
}

impl Measure {
    fn new(first: Filled, second: Option<Filled>, wanted: Volume, set: MeasureSet) -> Self {
        let second = second.filter(|one| one.twelfths > 0);
        let held = first.volume(set) + second.map_or(Volume::default(), |one| one.volume(set));
        Self {
            first,
            second,
            relative_error: (held / wanted).get::<ratio>() - 1.0,
        }
    }

    /// What it holds.
    pub fn volume(&self, set: MeasureSet) -> Volume {
        self.first.volume(set) + self.second.map_or(Volume::default(), |one| one.volume(set))
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}", self.first)?;
        match self.second {
            Some(second) => write!(formatter, " + {second}"),
            None => Ok(()),
        }
    }
}

/// The measure that comes nearest to a mass: cups from a quarter cup, tablespoons below that, teaspoons
/// below a tablespoon; a second, smaller unit where one alone is more than 2.5 % off. Nothing where the mass
/// is nearer to nothing than to the smallest spoon.
pub fn nearest(mass: Mass, density: &Density, set: MeasureSet) -> Option<Measure> {
    let wanted: Volume = mass / density.mass_density();
    let at = Vessel::ALL
        .iter()
        .position(|vessel| wanted >= vessel.from(set))
        .unwrap_or(Vessel::ALL.len() - 1);
    let vessel = Vessel::ALL[at];
    let nearest = Filled::nearest(vessel, wanted, set);
    if nearest.twelfths == 0 {
        return None;
    }
    let alone = Measure::new(nearest, None, wanted, set);
    if alone.relative_error.abs() <= ONE_UNIT_IS_ENOUGH {
        return Some(alone);
    }
    let [below, _] = Filled::around(vessel, wanted, set);
    let mut best = alone;
    if below.twelfths < vessel.least() {
        return Some(best);
    }
    let rest = wanted - below.volume(set);
    for smaller in &Vessel::ALL[at + 1..] {
        // From a tablespoon on nobody counts teaspoons.
        if *smaller == Vessel::Teaspoon && rest >= set.volume(Vessel::Tablespoon) {
            continue;
        }
        let second = Filled::nearest(*smaller, rest, set);
        let both = Measure::new(below, Some(second), wanted, set);
        // Noise of floating point must not turn one unit into two.
        if both.relative_error.abs() + 1e-9 < best.relative_error.abs() {
            best = both;
        }
    }
    Some(best)
}

/// The measure of what a batch weighs, where its density is published: of the exact amount, not of what the
/// scale makes of it.
pub fn of_line(line: &Line, set: MeasureSet) -> Option<Measure> {
    nearest(line.exact, density(&line.name, line.what)?, set)
}

#[cfg(test)]
mod tests;
