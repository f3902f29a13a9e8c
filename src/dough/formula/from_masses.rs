//! What a baker has on paper as masses, turned into a formula in percentages.
//!
//! Dry grain counts as flour and its carried water as water; flour, water and yeast that appear in two
//! stages are summed in the totals (common practice, no source).

use super::file::loss;
use super::{Formula, IngredientKind, Yeast};
use crate::grain::Form;
use crate::grain::dry_matter::{carried_water, dry_grain};
use crate::quantity::{Milligrams, Problem, WetBasis};
use std::fmt::Write;
use uom::si::f64::Mass;
use uom::si::ratio::ratio;

/// A dough as it stands on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Masses {
    /// What the dough is called.
    pub name: String,
    /// Wet grain in the final dough.
    pub grain: Milligrams,
    /// Its moisture, wet basis.
    pub moisture: WetBasis,
    /// Its form.
    pub form: Form,
    /// Flours from the bag in the final dough.
    pub flours: Vec<(String, Milligrams)>,
    /// Water poured into the final dough.
    pub water: Milligrams,
    /// Salt, yeast, seeds and the like in the final dough: their name, kind and mass.
    pub ingredients: Vec<(String, IngredientKind, Milligrams)>,
    /// What is made beforehand.
    pub preferments: Vec<PrefermentMasses>,
    /// Into how many pieces the dough is divided.
    pub pieces: Option<u32>,
    /// The temperature of the dough, by how much mixing warms it, what sticks to bowl and bench, and what the oven takes, each as
    /// it was typed.
    pub whole_dough: [Option<String>; 4],
    /// What is done with the dough, in order.
    pub steps: Vec<StepOnPaper>,
}

/// Keys of [`Masses::whole_dough`], with an example and what each is for.
const WHOLE_DOUGH: [(&str, &str, &str); 4] = [
    (
        "dough_temperature",
        "26C",
        "how warm the dough leaves the mixer; without it no sheet says how warm the water must be",
    ),
    (
        "mixing_rise",
        "5K",
        "by how much mixing warms the dough; without it nothing is calculated for that",
    ),
    ("handling_loss", "2%", "what sticks to bowl and bench"),
    (
        "bake_loss",
        "12%",
        "what a loaf loses in the oven and while it cools",
    ),
];

/// Which of them is the handling loss.
const HANDLING_LOSS: usize = 2;

/// What stands in the file to be filled in where a bakery has several mixers.
const MIXER: &str = "# mixer = \"spiral\"   # which mixer makes it; mixing heat and handling loss are learned for each\n";

/// A preferment as it stands on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct PrefermentMasses {
    /// Its name.
    pub name: String,
    /// Its flour.
    pub flour: (String, Milligrams),
    /// Water poured into it.
    pub water: Milligrams,
    /// Its yeast, if any.
    pub yeast: Option<(Yeast, Milligrams)>,
    /// How long it ripens, as it was typed.
    pub ripens: String,
}

/// A step as it stands on paper: what is done, how long, and how warm, as it was typed.
#[derive(Debug, Clone, PartialEq)]
pub struct StepOnPaper {
    /// One of the words of [`super::StepKind`].
    pub kind: String,
    /// A time.
    pub takes: String,
    /// A temperature.
    pub temperature: Option<String>,
}

/// What stands where no step was told.
const NO_STEPS: &str = "
# What is done with the dough, in order, each with how long it takes. Take out the marks and change what you like;
# without steps a bake has no time in the oven.
#
# [[step]]
# do = \"mix\"
# takes = \"10min\"
#
# [[step]]
# do = \"bake\"
# takes = \"40min\"
# temperature = \"220C\"
";

/// A printed share is off by no more than this part of itself, so that masses calculated back from several of
/// them stay within 0.1 %.
const OFF_BY: f64 = 0.0002;

/// Water that is all but nothing is not asked to come back within a part of itself.
const LEAST_WATER: f64 = 0.005;

/// The name that yeast gets in a formula.
pub fn name_of(yeast: Yeast) -> &'static str {
    match yeast {
        Yeast::Instant => "instant yeast",
        Yeast::ActiveDry => "active dry yeast",
        Yeast::Fresh => "fresh yeast",
    }
}

/// Sums over all stages.
struct Totals {
    dry: Mass,
    carried: Mass,
    /// Every flour with its mass in all stages.
    flours: Vec<(String, Mass)>,
    total_flour: Mass,
    total_water: Mass,
    dough: Mass,
}

impl Masses {
    /// The text of the formula, read back once without complaint. Its comment has masses as they are to be `shown`.
    pub fn to_text(&self, shown: &dyn Fn(Mass) -> String) -> Result<String, Problem> {
        if self.pieces == Some(0) {
            return Err(Problem::new("number of pieces is 0: allowed is 1 or more"));
        }
        let totals = self.totals();
        let handling_loss = loss(
            &self.whole_dough[HANDLING_LOSS],
            WHOLE_DOUGH[HANDLING_LOSS].0,
        )?;
        let text = self.written(&totals, totals.dough * (1.0 - handling_loss), shown);
        Formula::from_text(&text)?;
        Ok(text)
    }

    /// Everything that is neither flour, grain nor water, with the stage that takes it.
    fn all_ingredients(&self) -> Vec<(Option<&str>, &str, IngredientKind, Milligrams)> {
        let early = self.preferments.iter().filter_map(|one| {
            let (yeast, mass) = one.yeast?;
            let kind = IngredientKind::Yeast(yeast);
            Some((Some(one.name.as_str()), name_of(yeast), kind, mass))
        });
        let late = self
            .ingredients
            .iter()
            .map(|(name, kind, mass)| (None, name.as_str(), *kind, *mass));
        early.chain(late).collect()
    }

    fn totals(&self) -> Totals {
        let grain = self.grain.mass();
        let dry = dry_grain(grain, self.moisture);
        let mut flours: Vec<(String, Mass)> = Vec::new();
        let early = self.preferments.iter().map(|one| &one.flour);
        for (name, mass) in self.flours.iter().chain(early) {
            match flours.iter_mut().find(|(known, _)| known == name) {
                Some((_, sum)) => *sum += mass.mass(),
                None => flours.push((name.clone(), mass.mass())),
            }
        }
        let bag = sum(flours.iter().map(|(_, mass)| *mass));
        let poured = self.water.mass() + sum(self.preferments.iter().map(|one| one.water.mass()));
        let others = self.all_ingredients();
        let in_others = sum(others
            .iter()
            .map(|(_, _, kind, mass)| mass.mass() * kind.water()));
        let carried = carried_water(grain, dry);
        Totals {
            dry,
            carried,
            total_flour: bag + dry,
            total_water: poured + carried + in_others,
            dough: grain + bag + poured + sum(others.iter().map(|(_, _, _, mass)| mass.mass())),
            flours,
        }
    }

    fn written(&self, totals: &Totals, divided: Mass, shown: &dyn Fn(Mass) -> String) -> String {
        let share = |mass: Mass| of(mass, totals.total_flour);
        // The water to pour is a small difference of large shares: they are all held to it.
        let pour = share(self.water.mass()).max(LEAST_WATER);
        let held_to_pour = |value: f64| value.min(pour) * OFF_BY;
        // Flours close to 100 %, so that each is off by what the others are: all are held to the least part.
        let least = self.least_part(totals);
        let parts = (totals.flours.len() + self.preferments.len()) as f64;
        let mut text = String::new();
        let _ = write!(
            text,
            "# Worked out from masses. Percentages are of total flour, {}, of which {} is dry grain: {} of\n\
             # wet grain of {} moisture, which brings {} of water.\n\
             name = {}\nhydration = {}\n",
            shown(totals.total_flour),
            shown(totals.dry),
            shown(self.grain.mass()),
            percent(self.moisture.get(), 0.00005),
            shown(totals.carried),
            quoted(&self.name),
            quoted(&percent(
                share(totals.total_water),
                held_to_pour(share(totals.total_water))
            )),
        );
        if let Some(count) = self.pieces {
            let piece = Milligrams::nearest(divided / f64::from(count));
            let _ = write!(
                text,
                "pieces = {count}\npiece = \"{}g\"\n",
                fewest(piece.grams(), piece.grams() * OFF_BY)
            );
        }
        for ((key, example, meaning), typed) in WHOLE_DOUGH.iter().zip(&self.whole_dough) {
            let _ = match typed {
                Some(typed) => writeln!(text, "{key} = {}", quoted(typed)),
                None => writeln!(text, "# {key} = \"{example}\"   # {meaning}"),
            };
        }
        text.push_str(MIXER);
        // A point of dry grain moves its water by moisture ÷ (1 − moisture) points.
        let grain = share(totals.dry);
        let dry_part = self.moisture.dry_fraction().get();
        let wanted = quoted(&percent(grain, held_to_pour(grain.min(least)) * dry_part));
        let _ = write!(text, "\n[grain]\nwanted = {wanted}\n");
        if grain > 0.0 {
            let _ = write!(
                text,
                "# The water was right with this grain in the dough, so what it drinks is in it already.\n\
                 hydration_with = {{ form = \"{}\", share = {wanted} }}\n",
                self.form.as_str()
            );
        }
        for (name, mass) in &totals.flours {
            let _ = write!(
                text,
                "\n[[flour]]\nname = {}\nshare = {}\n",
                quoted(name),
                quoted(&percent(share(*mass), least * OFF_BY / parts))
            );
        }
        for one in &self.preferments {
            let brought = one
                .yeast
                .map_or(Mass::default(), |(yeast, mass)| mass.mass() * yeast.water());
            let flour = share(one.flour.1.mass());
            let water = share(one.water.mass() + brought);
            let most = held_to_pour(water.min(least)) / parts;
            let _ = write!(
                text,
                "\n[[stage]]\nname = {}\nkind = \"preferment\"\nflour = {}\nof = {}\nhydration = {}\n",
                quoted(&one.name),
                quoted(&percent(flour, most / (1.0 + water / flour))),
                quoted(&one.flour.0),
                quoted(&percent(water / flour, most / flour)),
            );
            let _ = writeln!(text, "ripens = {}", quoted(&one.ripens));
        }
        for (stage, name, kind, mass) in self.all_ingredients() {
            let part = share(mass.mass());
            let _ = write!(
                text,
                "\n[[ingredient]]\nname = {}\nkind = \"{}\"\n",
                quoted(name),
                kind.as_str()
            );
            if let IngredientKind::Yeast(yeast) = kind {
                let _ = writeln!(text, "yeast = \"{yeast}\"");
            }
            // The water of fresh yeast is part of the hydration, and what is poured is the rest of it.
            let most = if kind.water() > 0.0 {
                held_to_pour(part)
            } else {
                part * OFF_BY
            };
            let _ = writeln!(text, "share = {}", quoted(&percent(part, most)));
            if let Some(stage) = stage {
                let _ = writeln!(text, "stage = {}", quoted(stage));
            }
        }
        self.write_steps(&mut text);
        text
    }

    fn write_steps(&self, text: &mut String) {
        if self.steps.is_empty() {
            text.push_str(NO_STEPS);
        }
        for step in &self.steps {
            let _ = write!(
                text,
                "\n[[step]]\ndo = {}\ntakes = {}\n",
                quoted(&step.kind),
                quoted(&step.takes)
            );
            if let Some(temperature) = &step.temperature {
                let _ = writeln!(text, "temperature = {}", quoted(temperature));
            }
        }
    }

    /// The smallest share of total flour that one stage takes of one flour.
    fn least_part(&self, totals: &Totals) -> f64 {
        let early = self.preferments.iter().map(|one| &one.flour);
        self.flours
            .iter()
            .chain(early)
            .map(|(_, mass)| of(mass.mass(), totals.total_flour))
            .fold(1.0, f64::min)
    }
}

fn sum(masses: impl Iterator<Item = Mass>) -> Mass {
    masses.fold(Mass::default(), |sum, mass| sum + mass)
}

fn of(part: Mass, whole: Mass) -> f64 {
    (part / whole).get::<ratio>()
}

/// A mass to the tenth of a gram.
pub fn mass_in_grams(mass: Mass) -> String {
    let grams = crate::quantity::mass::grams(mass);
    format!("{} g", fewest((grams * 10.0).round() / 10.0, 0.0))
}

/// A fraction in percent with the fewest decimals that are off by no more than `most`, a fraction.
fn percent(fraction: f64, most: f64) -> String {
    format!("{}%", fewest(fraction * 100.0, most * 100.0))
}

/// A number with the fewest decimals, at most nine, that are off by no more than `most`.
fn fewest(value: f64, most: f64) -> String {
    (0..9)
        .map(|decimals| format!("{value:.decimals$}"))
        .find(|text| {
            text.parse::<f64>()
                // The margin lets a number through that has no more decimals than these.
                .is_ok_and(|read| (read - value).abs() <= most + 1e-9)
        })
        .unwrap_or_else(|| format!("{value:.9}"))
}

/// A TOML string; names hold no control characters once they are checked.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests;
