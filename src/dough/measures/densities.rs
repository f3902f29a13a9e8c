//! Published weights of a cup or a spoonful, and the words by which a name is recognised.
//!
//! Source: USDA National Nutrient Database for Standard Reference, release 28, table of household weights;
//! each row with its NDB number. They are level US measures.

use super::{MeasureSet, Vessel};
use crate::dough::batch::LineKind;
use crate::dough::formula::{IngredientKind, Yeast};
use std::fmt;
use uom::si::f64::{Mass, MassDensity};
use uom::si::mass::gram;
use uom::si::mass_density::gram_per_cubic_centimeter;

/// What a row is for: the words are looked for only in the name of a thing of that sort.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Flour from the bag.
    Flour,
    /// Water, poured or held back.
    Water,
    /// Salt.
    Salt,
    /// Active dry yeast.
    ActiveDryYeast,
    /// Seeds.
    Seeds,
    /// Fat.
    Fat,
    /// Sweetener.
    Sweetener,
}

impl fmt::Display for Sort {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(match self {
            Self::Flour => "flour",
            Self::Water => "water",
            Self::Salt => "salt",
            Self::ActiveDryYeast => "active dry yeast",
            Self::Seeds => "seeds",
            Self::Fat => "fat",
            Self::Sweetener => "sweetener",
        })
    }
}

/// What a US measure of a food weighs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Density {
    /// The sort of thing that it is for.
    pub sort: Sort,
    /// The name holds a word of each of these groups.
    pub words: &'static [&'static [&'static str]],
    /// The name holds none of these words.
    pub without: &'static [&'static str],
    /// The food as the database names it.
    pub food: &'static str,
    /// Its number there.
    pub ndb: &'static str,
    /// The US vessel that was weighed.
    pub vessel: Vessel,
    /// Grams in one of it.
    pub grams: f64,
}

impl Density {
    /// Mass per volume of what lies loosely in the vessel.
    pub fn mass_density(&self) -> MassDensity {
        Mass::new::<gram>(self.grams) / MeasureSet::UsCup.volume(self.vessel)
    }

    /// The same in g/mL.
    pub fn grams_per_ml(&self) -> f64 {
        self.mass_density().get::<gram_per_cubic_centimeter>()
    }
}

/// Words of grains and makings that are no wheat, rye or barley flour, or not that alone.
const NO_WHEAT: &[&str] = &[
    "rye",
    "barley",
    "spelt",
    "oat",
    "oats",
    "oatmeal",
    "buckwheat",
    "maize",
    "corn",
    "cornmeal",
    "rice",
    "durum",
    "semolina",
    "einkorn",
    "emmer",
    "khorasan",
    "triticale",
    "millet",
    "sorghum",
    "teff",
    "quinoa",
    "potato",
    "chestnut",
    "chickpea",
    "gram",
    "pea",
    "bean",
    "soya",
    "soy",
    "lupin",
    "almond",
    "coconut",
    "hemp",
    "amaranth",
    "cassava",
    "tapioca",
    "malt",
    "malted",
    "mixed",
    "free",
    "raising",
    "rising",
];

const CUP: Vessel = Vessel::Cup;
const WHOLE: &[&str] = &["whole", "wholemeal", "wholewheat", "wholegrain"];
const NO_RYE: &[&str] = &[
    "wheat", "barley", "spelt", "malt", "malted", "mixed", "flakes", "chops",
];
const NO_OIL: &[&str] = &["sesame", "walnut", "coconut", "butter", "infused", "nut"];
const NO_SEED: &[&str] = &[
    "ground", "milled", "meal", "cracked", "crushed", "mixed", "butter", "paste", "unhulled",
    "hulls",
];
const NO_SUGAR: &[&str] = &[
    "brown",
    "raw",
    "muscovado",
    "demerara",
    "turbinado",
    "icing",
    "powdered",
    "confectioners",
    "caster",
    "cube",
    "cubes",
    "pearl",
    "palm",
    "coconut",
    "date",
    "maple",
    "syrup",
];
const NO_SYRUP: &[&str] = &["powder", "powdered", "dried", "dry"];

const fn row(
    sort: Sort,
    words: &'static [&'static [&'static str]],
    without: &'static [&'static str],
    food: &'static str,
    ndb: &'static str,
    (vessel, grams): (Vessel, f64),
) -> Density {
    Density {
        sort,
        words,
        without,
        food,
        ndb,
        vessel,
        grams,
    }
}

/// Every published weight in use. The first row that a name fits is taken.
#[rustfmt::skip] // A table reads by its columns.
pub const DENSITIES: [Density; 22] = [
    row(Sort::Flour, &[WHOLE], NO_WHEAT, "Wheat flour, whole-grain", "20080", (CUP, 120.0)),
    row(Sort::Flour, &[&["plain", "purpose"]], NO_WHEAT, "Wheat flour, white, all-purpose, enriched, bleached", "20081", (CUP, 125.0)),
    row(Sort::Flour, &[&["bread", "strong"]], NO_WHEAT, "Wheat flour, white, bread, enriched", "20083", (CUP, 137.0)),
    row(Sort::Flour, &[&["rye"], &["dark"]], NO_RYE, "Rye flour, dark", "20063", (CUP, 128.0)),
    row(Sort::Flour, &[&["rye"], &["medium"]], NO_RYE, "Rye flour, medium", "20064", (CUP, 102.0)),
    row(Sort::Flour, &[&["rye"], &["light"]], NO_RYE, "Rye flour, light", "20065", (CUP, 102.0)),
    row(Sort::Flour, &[&["barley"], &["malt", "malted"]], &["wheat", "rye", "mixed"], "Barley malt flour", "20131", (CUP, 162.0)),
    row(Sort::Flour, &[&["barley"]], &["wheat", "rye", "mixed", "flakes"], "Barley flour or meal", "20130", (CUP, 148.0)),
    row(Sort::Water, &[], &[], "Water, bottled, generic", "14555", (CUP, 237.0)),
    row(Sort::Salt, &[], &["coarse", "flake", "flakes", "flaky", "kosher", "rock", "crystal", "crystals", "sea", "smoked"], "Salt, table", "02047", (CUP, 292.0)),
    row(Sort::ActiveDryYeast, &[], &[], "Leavening agents, yeast, baker's, active dry", "18375", (Vessel::Teaspoon, 4.0)),
    row(Sort::Seeds, &[&["sunflower"]], &["sesame", "flax", "linseed", "pumpkin", "ground", "milled", "meal", "mixed", "butter", "unhulled", "hulls"], "Seeds, sunflower seed kernels, dried", "12036", (CUP, 140.0)),
    row(Sort::Seeds, &[&["flax", "flaxseed", "flaxseeds", "linseed", "linseeds"]], NO_SEED, "Seeds, flaxseed", "12220", (CUP, 168.0)),
    row(Sort::Seeds, &[&["sesame"]], NO_SEED, "Seeds, sesame seeds, whole, dried", "12023", (CUP, 144.0)),
    row(Sort::Fat, &[&["oil"], &["olive"]], NO_OIL, "Oil, olive, salad or cooking", "04053", (CUP, 216.0)),
    row(Sort::Fat, &[&["oil"], &["canola", "rapeseed"]], NO_OIL, "Oil, canola", "04582", (CUP, 218.0)),
    row(Sort::Fat, &[&["oil"], &["sunflower"]], NO_OIL, "Oil, sunflower, linoleic (less than 60%)", "04060", (CUP, 218.0)),
    row(Sort::Fat, &[&["oil"]], NO_OIL, "Oil, soybean, salad or cooking", "04044", (CUP, 218.0)),
    row(Sort::Sweetener, &[&["honey"]], NO_SYRUP, "Honey", "19296", (CUP, 339.0)),
    row(Sort::Sweetener, &[&["molasses"]], NO_SYRUP, "Molasses", "19304", (CUP, 337.0)),
    row(Sort::Sweetener, &[&["malt"], &["syrup"]], NO_SYRUP, "Syrups, malt", "19352", (CUP, 332.0)),
    row(Sort::Sweetener, &[&["sugar"]], NO_SUGAR, "Sugars, granulated", "19335", (CUP, 200.0)),
];

/// What is published for a thing in a dough, by what it is and the plain words of its name; capitals do not
/// matter. Nothing where no row fits: wet grain, instant and fresh yeast, coarse salt, and any name that
/// leaves open which it is.
pub fn density(name: &str, what: LineKind) -> Option<&'static Density> {
    let sort = match what {
        LineKind::Flour => Sort::Flour,
        LineKind::Water | LineKind::HeldBack => Sort::Water,
        LineKind::Ingredient(IngredientKind::Salt) => Sort::Salt,
        LineKind::Ingredient(IngredientKind::Yeast(Yeast::ActiveDry)) => Sort::ActiveDryYeast,
        LineKind::Ingredient(IngredientKind::Seeds) => Sort::Seeds,
        LineKind::Ingredient(IngredientKind::Fat) => Sort::Fat,
        LineKind::Ingredient(IngredientKind::Sweetener) => Sort::Sweetener,
        LineKind::Ingredient(IngredientKind::Yeast(_) | IngredientKind::Other)
        | LineKind::Grain
        | LineKind::Stage => return None,
    };
    let name = name.to_lowercase();
    let words: Vec<&str> = name.split(|c: char| !c.is_alphanumeric()).collect();
    let holds = |any: &[&str]| any.iter().any(|word| words.contains(word));
    DENSITIES.iter().find(|row| {
        row.sort == sort && row.words.iter().all(|any| holds(any)) && !holds(row.without)
    })
}
