//! Specific heat, density and conductivity of food, from its composition.
//!
//! Choi Y. & Okos M. R. 1986, "Effects of temperature and composition on the thermal properties of
//! foods", Food Engineering and Process Applications, vol. 1, Elsevier, 93–101. Valid from −40 °C
//! to 150 °C, for food that is not frozen.

use super::curve::Curve;
use crate::quantity::{Problem, WetBasis};

/// Water from 0 °C to 150 °C, kJ/(kg K). Copies of the table differ in the first figure: 4.1762 and
/// 4.1289. Water at 25 °C has 4.1812 (IAPWS-95, as CoolProp computes it), so the former is taken.
pub const WATER: Curve = Curve([4.1762, -9.0864e-5, 5.4731e-6]);
/// Ice below 0 °C, kJ/(kg K).
pub const ICE: Curve = Curve([2.0623, 6.0769e-3, 0.0]);
const PROTEIN: Curve = Curve([2.0082, 1.2089e-3, -1.3129e-6]);
const FAT: Curve = Curve([1.9842, 1.4733e-3, -4.8008e-6]);
const CARBOHYDRATE: Curve = Curve([1.5488, 1.9625e-3, -5.9399e-6]);
const FIBRE: Curve = Curve([1.8459, 1.8306e-3, -4.6509e-6]);
const ASH: Curve = Curve([1.0926, 1.8896e-3, -3.6817e-6]);

/// Density of water, protein, fat, carbohydrate, fibre and ash, kg/m³ (Choi & Okos 1986).
pub(super) const DENSITIES: [Curve; 6] = [
    Curve([997.18, 3.1439e-3, -3.7574e-3]),
    Curve([1329.9, -0.51840, 0.0]),
    Curve([925.59, -0.41757, 0.0]),
    Curve([1599.1, -0.31046, 0.0]),
    Curve([1311.5, -0.36589, 0.0]),
    Curve([2423.8, -0.28063, 0.0]),
];

/// Their conductivity, W/(m K) (Choi & Okos 1986, from memory; water's is held against reference figures in
/// a test). Copies differ in the second figure of fat by a power of ten, which moves that of wet grain by
/// less than a hundredth.
pub(super) const CONDUCTIVITIES: [Curve; 6] = [
    Curve([5.7109e-1, 1.7625e-3, -6.7036e-6]),
    Curve([1.7881e-1, 1.1958e-3, -2.7178e-6]),
    Curve([1.8071e-1, -2.7604e-4, -1.7749e-7]),
    Curve([2.0141e-1, 1.3874e-3, -4.3312e-6]),
    Curve([1.8331e-1, 1.2497e-3, -3.1683e-6]),
    Curve([3.2962e-1, 1.4011e-3, -2.9069e-6]),
];

/// What printed shares may be off from a whole: tables round each share on its own.
const ROUNDING: f64 = 0.02;

/// Mass fractions of a food. Carbohydrate is without fibre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition {
    water: f64,
    protein: f64,
    fat: f64,
    carbohydrate: f64,
    fibre: f64,
    ash: f64,
}

/// Water alone.
pub const PURE_WATER: Composition = Composition::of_100_g([100.0, 0.0, 0.0, 0.0, 0.0, 0.0]);

/// Wheat flour, white, all-purpose (USDA National Nutrient Database SR28, NDB 20081).
pub const ALL_PURPOSE_FLOUR: Composition =
    Composition::of_100_g([11.92, 10.33, 0.98, 73.61, 2.7, 0.47]);
/// Wheat flour, white, bread (USDA SR28, NDB 20083).
pub const BREAD_FLOUR: Composition = Composition::of_100_g([13.36, 11.98, 1.66, 70.13, 2.4, 0.47]);
/// Wheat flour, whole grain (USDA SR28, NDB 20080).
pub const WHOLE_WHEAT_FLOUR: Composition =
    Composition::of_100_g([10.74, 13.21, 2.50, 61.27, 10.7, 1.58]);
/// Rye flour, medium (USDA SR28, NDB 20064).
pub const MEDIUM_RYE_FLOUR: Composition =
    Composition::of_100_g([10.97, 10.88, 1.52, 63.63, 11.8, 1.20]);
/// Sunflower seed kernels, dried (USDA SR28, NDB 12036).
pub const SUNFLOWER_SEED: Composition =
    Composition::of_100_g([4.73, 20.78, 51.46, 11.40, 8.6, 3.02]);
/// Flax seed (USDA SR28, NDB 12220).
pub const FLAX_SEED: Composition = Composition::of_100_g([6.96, 18.29, 42.16, 1.58, 27.3, 3.72]);
/// Sesame seed, whole, dried (USDA SR28, NDB 12023).
pub const SESAME_SEED: Composition = Composition::of_100_g([4.69, 17.73, 49.67, 11.65, 11.8, 4.45]);
/// Sugar, granulated (USDA SR28, NDB 19335).
pub const SUGAR: Composition = Composition::of_100_g([0.02, 0.0, 0.0, 99.98, 0.0, 0.01]);
/// Table salt (USDA SR28, NDB 02047), calculated as ash.
pub const SALT: Composition = Composition::of_100_g([0.20, 0.0, 0.0, 0.0, 0.0, 99.80]);
/// Oil, all of it fat (USDA SR28, NDB 04053, 04582 and 04044).
pub const OIL: Composition = Composition::of_100_g([0.0, 0.0, 100.0, 0.0, 0.0, 0.0]);
/// Butter, salted (USDA SR28, NDB 01001). The heat that its fat takes up in melting is left out.
pub const BUTTER: Composition = Composition::of_100_g([15.87, 0.85, 81.11, 0.06, 0.0, 2.11]);
/// Compressed baker's yeast (USDA SR28, NDB 18374).
pub const FRESH_YEAST: Composition = Composition::of_100_g([69.00, 8.40, 1.90, 10.00, 8.1, 1.80]);
/// Active dry baker's yeast (USDA SR28, NDB 18375).
pub const DRY_YEAST: Composition = Composition::of_100_g([5.08, 40.44, 7.61, 14.32, 26.9, 5.65]);

/// Spent grain without its water: protein, fat, carbohydrate, fibre and ash. An assumption in round
/// figures. Specific heat hardly depends on it: water makes nine tenths of that of wet grain.
const DRY_GRAIN: Composition = Composition::of_100_g([0.0, 22.0, 8.0, 16.0, 50.0, 4.0]);

/// Spent grain of this moisture, its dry part as assumed: 22 % protein, 8 % fat, 16 % other
/// carbohydrate, 50 % fibre, 4 % ash.
pub fn wet_grain(moisture: WetBasis) -> Composition {
    DRY_GRAIN.with_water(moisture.get())
}

/// Moisture that is taken for whole grain of which nothing else is known, wet basis.
const WHOLE_MOISTURE: f64 = 0.78;

/// Whole spent grain of which nothing else is known.
pub fn whole_grain() -> Composition {
    DRY_GRAIN.with_water(WHOLE_MOISTURE)
}

impl Composition {
    /// Grams in 100 g, in the order of the fields. For the constants of this file alone: figures
    /// that do not add up do not compile.
    const fn of_100_g(grams: [f64; 6]) -> Self {
        let [water, protein, fat, carbohydrate, fibre, ash] = grams;
        let sum = water + protein + fat + carbohydrate + fibre + ash;
        assert!(99.0 < sum && sum < 101.0);
        Self::of_fractions([
            water / 100.0,
            protein / 100.0,
            fat / 100.0,
            carbohydrate / 100.0,
            fibre / 100.0,
            ash / 100.0,
        ])
    }

    const fn of_fractions(fractions: [f64; 6]) -> Self {
        let [water, protein, fat, carbohydrate, fibre, ash] = fractions;
        Self {
            water,
            protein,
            fat,
            carbohydrate,
            fibre,
            ash,
        }
    }

    /// Mass fractions of water, protein, fat, carbohydrate without fibre, fibre and ash, in this
    /// order. Each is 0 to 1 and together they are 1 within what rounding in a table explains.
    pub fn new(fractions: [f64; 6]) -> Result<Self, Problem> {
        let sum: f64 = fractions.iter().sum();
        let shares = fractions.iter().all(|share| (0.0..=1.0).contains(share));
        if !shares || (sum - 1.0).abs() > ROUNDING {
            return Err(Problem::new(format!(
                "a composition has parts of {:.1}% in all: allowed is 98% to 102%, each part from \
                 0% up",
                sum * 100.0
            )));
        }
        Ok(Self::of_fractions(fractions))
    }

    /// Water ÷ mass.
    pub fn water(&self) -> f64 {
        self.water
    }

    /// Protein ÷ mass.
    pub fn protein(&self) -> f64 {
        self.protein
    }

    /// The same food drier or wetter than the table prints it. Water alone stays water.
    #[must_use]
    pub fn at_moisture(&self, moisture: WetBasis) -> Self {
        if self.solids() > 0.0 {
            self.with_water(moisture.get())
        } else {
            *self
        }
    }

    /// Two foods together, `share` of the mass being the other: flour and water make a preferment.
    #[must_use]
    pub fn mixed_with(&self, other: &Self, share: f64) -> Self {
        let mean = |own: f64, other: f64| own * (1.0 - share) + other * share;
        Self {
            water: mean(self.water, other.water),
            protein: mean(self.protein, other.protein),
            fat: mean(self.fat, other.fat),
            carbohydrate: mean(self.carbohydrate, other.carbohydrate),
            fibre: mean(self.fibre, other.fibre),
            ash: mean(self.ash, other.ash),
        }
    }

    fn with_water(&self, water: f64) -> Self {
        let scale = (1.0 - water) / self.solids();
        Self {
            water,
            protein: self.protein * scale,
            fat: self.fat * scale,
            carbohydrate: self.carbohydrate * scale,
            fibre: self.fibre * scale,
            ash: self.ash * scale,
        }
    }

    fn solids(&self) -> f64 {
        self.protein + self.fat + self.carbohydrate + self.fibre + self.ash
    }

    /// Volume of each part in a kilogram of the food, m³.
    fn volumes(&self, celsius: f64) -> [f64; 6] {
        let mut volumes = [
            self.water,
            self.protein,
            self.fat,
            self.carbohydrate,
            self.fibre,
            self.ash,
        ];
        for (volume, density) in volumes.iter_mut().zip(DENSITIES) {
            *volume /= density.at(celsius);
        }
        volumes
    }

    /// Its specific heat over temperature, the sum of its parts.
    pub fn curve(&self) -> Curve {
        Curve::default()
            .plus(WATER, self.water)
            .plus(PROTEIN, self.protein)
            .plus(FAT, self.fat)
            .plus(CARBOHYDRATE, self.carbohydrate)
            .plus(FIBRE, self.fibre)
            .plus(ASH, self.ash)
    }
}

/// Specific heat of a food that is not frozen, kJ/(kg K), at `celsius` from −40 °C to 150 °C.
pub fn specific_heat(composition: &Composition, celsius: f64) -> f64 {
    composition.curve().at(celsius)
}

/// Density of a food with no air in it, kg/m³: the parts' volumes add up.
pub fn density(composition: &Composition, celsius: f64) -> f64 {
    1.0 / composition.volumes(celsius).iter().sum::<f64>()
}

/// Conductivity of a food with no air in it, W/(m K): the parts side by side, each by its share of the
/// volume (Choi & Okos 1986).
pub fn conductivity(composition: &Composition, celsius: f64) -> f64 {
    let volumes = composition.volumes(celsius);
    let whole: f64 = volumes.iter().sum();
    let parts = volumes.iter().zip(CONDUCTIVITIES);
    parts
        .map(|(volume, conductivity)| volume / whole * conductivity.at(celsius))
        .sum()
}
