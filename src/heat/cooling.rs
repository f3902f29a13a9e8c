//! How long the middle of a layer or a tub takes to cool: conduction inside, a resistance at the surface.
//!
//! Heisler's problem: a body of one temperature meets surroundings of another. Series solutions for the slab
//! and the long cylinder, and their product for a round tub (Carslaw & Jaeger, Conduction of Heat in Solids;
//! Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, both from memory). Equations, range and
//! what is left out: `docs/models/cooling.md`.

use super::properties::{self, Composition};
use super::roots::{self, Term};

/// What conducts the heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Thermal conductivity, W/(m K).
    pub conductivity: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat: f64,
}

impl Material {
    /// A food without air in it at one temperature, °C.
    pub fn of(composition: &Composition, celsius: f64) -> Self {
        Self {
            conductivity: properties::conductivity(composition, celsius),
            density: properties::density(composition, celsius),
            specific_heat: properties::specific_heat(composition, celsius) * 1000.0,
        }
    }

    /// The same with a share of its volume being air, which neither conducts nor takes up heat (Maxwell's
    /// relation for spheres that conduct nothing).
    #[must_use]
    pub fn with_voids(self, share: f64) -> Self {
        Self {
            conductivity: self.conductivity * 2.0 * (1.0 - share) / (2.0 + share),
            density: self.density * (1.0 - share),
            specific_heat: self.specific_heat,
        }
    }

    /// How fast warmth evens out in it, m²/s.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity / (self.density * self.specific_heat)
    }
}

/// Where the layer gives off its heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Underside {
    /// It stands on a shelf: nothing leaves through the bottom.
    Shelf,
    /// Air reaches it from below as well as from above.
    Rack,
}

impl Underside {
    /// The word for it in commands.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Shelf => "shelf",
            Self::Rack => "rack",
        }
    }
}

/// The air around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Air {
    /// Air that nothing moves.
    Still,
    /// Air that a fan moves.
    Moving,
}

impl Air {
    /// The word for it in commands.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Still => "still",
            Self::Moving => "moving",
        }
    }

    /// Surface heat transfer coefficient, least and most, W/(m² K). Judgement, see `docs/models/cooling.md`:
    /// textbooks give 2 to 25 for free and 25 to 250 for forced convection of gases (Incropera & DeWitt, from
    /// memory); radiation adds about 5, the wall of a tub, a loose cover and a slow fan take away.
    pub const fn coefficients(self) -> [f64; 2] {
        match self {
            Self::Still => [5.0, 10.0],
            Self::Moving => [10.0, 25.0],
        }
    }
}

/// The most of the volume of wet grain that is air. Judgement: no figure for wet spent grain is published.
pub const VOIDS: f64 = 0.2;

/// The least that stirred ice water takes through a thin bag, W/(m² K). Judgement: textbooks give 50 to 1000
/// for free convection of liquids (Incropera & DeWitt, from memory).
pub const ICE_WATER_COEFFICIENT: f64 = 100.0;
/// Ice water with a warm bag in it, °C. Judgement.
pub const ICE_WATER_CELSIUS: f64 = 1.0;

/// A layer, wide or round, in surroundings of one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Depth of the layer, m.
    pub depth: f64,
    /// Radius of a round tub, m; a wide layer has none and its sides do not count.
    pub radius: Option<f64>,
    /// What is below it.
    pub underside: Underside,
    /// Surface heat transfer coefficient, W/(m² K).
    pub coefficient: f64,
    /// All of it at the beginning, °C.
    pub start: f64,
    /// The surroundings, °C.
    pub around: f64,
}

/// The cooling of one layer, ready to be asked.
#[derive(Debug, Clone)]
pub struct Cooling {
    setting: Setting,
    /// Series and Fourier number for each second, of the depth and of the radius.
    series: Vec<(Vec<Term>, f64)>,
}

/// Fourier number before which nothing of what happens at the surface has reached the middle: 2 erfc(5) is
/// 3e-12 for a slab whose surface is held cold. The series needs more terms the earlier it is asked.
const REACHED: f64 = 0.01;

/// Longest time that is looked at, s: 100 days. What takes longer does not cool.
const LONGEST: f64 = 100.0 * 86_400.0;

/// Depths that are looked at for the deepest layer, m.
const THINNEST: f64 = 0.001;
const DEEPEST: f64 = 1.0;

impl Setting {
    /// The same elsewhere.
    #[must_use]
    pub const fn standing(self, underside: Underside, coefficient: f64, around: f64) -> Self {
        Self {
            underside,
            coefficient,
            around,
            ..self
        }
    }

    /// Half of what cools from both sides, all of what cools from one, m.
    fn half_depth(&self) -> f64 {
        match self.underside {
            Underside::Shelf => self.depth,
            Underside::Rack => self.depth / 2.0,
        }
    }

    /// Resistance inside over resistance at the surface, by the half depth.
    pub fn biot(&self, material: &Material) -> f64 {
        self.coefficient * self.half_depth() / material.conductivity
    }

    /// Works the cooling out.
    pub fn cooling(&self, material: &Material) -> Cooling {
        let mut series = vec![self.of_depth(material)];
        series.extend(self.of_radius(material));
        Cooling {
            setting: *self,
            series,
        }
    }

    fn of_depth(&self, material: &Material) -> (Vec<Term>, f64) {
        let half = self.half_depth();
        (
            roots::slab(self.biot(material)),
            material.diffusivity() / (half * half),
        )
    }

    fn of_radius(&self, material: &Material) -> Option<(Vec<Term>, f64)> {
        let radius = self.radius?;
        Some((
            roots::cylinder(self.coefficient * radius / material.conductivity),
            material.diffusivity() / (radius * radius),
        ))
    }

    /// The deepest layer that `meets` still holds for, m, all else the same; nothing where not even a
    /// millimetre does. What holds for a layer has to hold for every thinner one.
    pub fn deepest(&self, material: &Material, meets: impl Fn(&Cooling) -> bool) -> Option<f64> {
        // The radius stays, so its series does too.
        let round = self.of_radius(material);
        let holds = |depth: f64| {
            let setting = Self { depth, ..*self };
            let mut series = vec![setting.of_depth(material)];
            series.extend(round.clone());
            meets(&Cooling { setting, series })
        };
        if !holds(THINNEST) {
            return None;
        }
        if holds(DEEPEST) {
            return Some(DEEPEST);
        }
        let (mut low, mut high) = (THINNEST, DEEPEST);
        while high - low > 1e-6 {
            let middle = low.midpoint(high);
            if holds(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(low)
    }
}

impl Cooling {
    /// The warmest point after some seconds, °C: the middle of the layer, or the middle of its bottom where
    /// it stands on a shelf.
    pub fn middle_after(&self, seconds: f64) -> f64 {
        let Setting { start, around, .. } = self.setting;
        let left: f64 = self
            .series
            .iter()
            .map(|(terms, per_second)| {
                let fourier = per_second * seconds;
                if fourier < REACHED {
                    return 1.0;
                }
                let term =
                    |term: &Term| term.coefficient * libm::exp(-term.root * term.root * fourier);
                terms.iter().map(term).sum::<f64>()
            })
            .product();
        around + (start - around) * left
    }

    /// Seconds until the middle is at or below a temperature; nothing where it never is.
    pub fn seconds_until(&self, celsius: f64) -> Option<f64> {
        if self.setting.start <= celsius {
            return Some(0.0);
        }
        if self.setting.around >= celsius || self.middle_after(LONGEST) > celsius {
            return None;
        }
        let (mut low, mut high) = (0.0, LONGEST);
        while high - low > 0.01 {
            let middle = f64::midpoint(low, high);
            if self.middle_after(middle) > celsius {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }
}

#[cfg(test)]
mod page;
#[cfg(test)]
mod tests;
