//! `formula from-masses`: what a baker has on paper, as a formula in percentages.

use super::typed;
use crate::dough::formula::from_masses::{Masses, PrefermentMasses, StepOnPaper, name_of};
use crate::dough::formula::{IngredientKind, Yeast};
use crate::error::usage;
use crate::grain::Form;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, WetBasis, bounds, text};
use crate::render::formula::mass_in_comment;
use crate::render::numbers::Units;

#[derive(clap::Args)]
#[command(
    override_usage = "draff formula from-masses --name <NAME> --grain <MASS>\n                                 --moisture <PERCENT> --flour <NAME=MASS>…\n                                 --water <MASS> [OPTIONS]",
    after_help = "Example: draff formula from-masses --name \"ferry loaf\" --grain 435g --moisture 77%\n    --flour \"bread flour=600g\" --water 65g --salt 20g\n    --preferment \"sponge: bread flour=300g, water=300g, instant=0.6g, ripens=12h\"\n    --step mix=10min --step \"bake=40min 220C\" --bake-loss 12% > ferry-loaf.toml"
)]
pub struct Arguments {
    /// What the dough is called
    #[arg(long, value_name = "NAME", value_parser = typed::name)]
    name: String,

    /// Wet grain
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    grain: Milligrams,

    /// Moisture of that grain, wet basis; without it nobody can say how much of it is flour
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    moisture: Option<Percent>,

    /// Its form: whole, pressed, blended, dried or milled [default: whole]
    #[arg(long, value_name = "FORM", value_parser = typed::value::<Form>)]
    form: Option<Form>,

    /// A flour from the bag in the final dough, such as "bread flour=600g"
    #[arg(long, value_name = "NAME=MASS", required = true, value_parser = named)]
    flour: Vec<(String, Milligrams)>,

    /// Water poured into the final dough
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    water: Milligrams,

    /// Salt
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    salt: Option<Milligrams>,

    /// Yeast in the final dough: instant, active-dry or fresh, such as instant=5g
    #[arg(long, value_name = "KIND=MASS", value_parser = yeast)]
    yeast: Option<(Yeast, Milligrams)>,

    /// Seeds, fat, sweetener or other in the final dough, such as "fat:rapeseed oil=20g"
    #[arg(long, value_name = "KIND:NAME=MASS", value_parser = ingredient)]
    ingredient: Vec<(String, IngredientKind, Milligrams)>,

    /// What is made beforehand, such as "sponge: bread flour=300g, water=300g, instant=0.6g, ripens=12h"
    #[arg(long, value_name = "PREFERMENT", value_parser = preferment)]
    preferment: Vec<PrefermentMasses>,

    /// Into how many pieces the dough is divided
    #[arg(long, value_name = "NUMBER")]
    pieces: Option<u32>,

    /// How warm the dough leaves the mixer
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    dough_temp: Option<String>,

    /// By how much mixing warms the dough, such as 5K
    #[arg(long, value_name = "KELVIN", allow_hyphen_values = true)]
    mixing_rise: Option<String>,

    /// What sticks to bowl and bench
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    handling_loss: Option<String>,

    /// What the bread loses in the oven and while it cools
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    bake_loss: Option<String>,

    /// What is done with the dough, in order, such as mix=10min or "bake=40min 220C"
    #[arg(long, value_name = "DO=TIME", value_parser = step)]
    step: Vec<StepOnPaper>,
}

/// The text of the formula.
pub fn text(arguments: Arguments, units: Units) -> anyhow::Result<String> {
    let masses = masses(arguments).map_err(usage)?;
    Ok(masses.to_text(&|mass| mass_in_comment(mass, units))?)
}

fn masses(arguments: Arguments) -> Result<Masses, Problem> {
    let moisture = arguments.moisture.ok_or_else(|| {
        Problem::new("the moisture of the grain is not given, so nobody can say how much of it is flour and how much is water")
            .hint("add --moisture 77%, as a test of that grain found it")
            .hint("`draff moisture LOT` shows what the book knows of a lot")
    })?;
    for (position, (name, _)) in arguments.flour.iter().enumerate() {
        if arguments.flour[..position]
            .iter()
            .any(|(known, _)| known == name)
        {
            return Err(Problem::new(format!("flour `{name}` is given twice")));
        }
    }
    let salt = arguments
        .salt
        .map(|mass| ("salt".to_owned(), IngredientKind::Salt, mass));
    let yeast = arguments
        .yeast
        .map(|(kind, mass)| (name_of(kind).to_owned(), IngredientKind::Yeast(kind), mass));
    Ok(Masses {
        name: arguments.name,
        grain: arguments.grain,
        moisture: WetBasis::new(moisture.within(&bounds::MOISTURE)?)?,
        form: arguments.form.unwrap_or(Form::Whole),
        flours: arguments.flour,
        water: arguments.water,
        ingredients: salt
            .into_iter()
            .chain(yeast)
            .chain(arguments.ingredient)
            .collect(),
        preferments: arguments.preferment,
        pieces: arguments.pieces,
        whole_dough: [
            arguments.dough_temp,
            arguments.mixing_rise,
            arguments.handling_loss,
            arguments.bake_loss,
        ],
        steps: arguments.step,
    })
}

/// Splits `bread flour=600g`.
fn part(typed: &str) -> Result<(&str, Milligrams), Problem> {
    let (name, mass) = typed.split_once('=').ok_or_else(|| {
        Problem::new(format!("`{}` has no mass", typed.trim()))
            .hint("write it like \"bread flour=600g\"")
    })?;
    let mass = mass
        .parse()
        .map_err(|problem: Problem| problem.within(name.trim()))?;
    Ok((name.trim(), mass))
}

fn named(typed: &str) -> Result<(String, Milligrams), String> {
    let read = || {
        let (name, mass) = part(typed)?;
        Ok((text::checked(name, "name", text::LONGEST_NAME)?, mass))
    };
    read().map_err(|problem| typed::said(&problem))
}

fn yeast(typed: &str) -> Result<(Yeast, Milligrams), String> {
    let read = || {
        let (kind, mass) = part(typed)?;
        Ok((kind.parse()?, mass))
    };
    read().map_err(|problem: Problem| typed::said(&problem))
}

fn ingredient(typed: &str) -> Result<(String, IngredientKind, Milligrams), String> {
    let read = || {
        let (what, mass) = part(typed)?;
        let (kind, name) = what.split_once(':').ok_or_else(|| {
            Problem::new(format!("`{what}` does not say what kind it is"))
                .hint("write it like \"fat:rapeseed oil=20g\"")
        })?;
        let name = text::checked(name, "name", text::LONGEST_NAME)?;
        if matches!(kind.trim(), "salt" | "yeast") {
            return Err(
                Problem::new(format!("{} has an option of its own", kind.trim()))
                    .hint(format!("give it as --{}", kind.trim())),
            );
        }
        Ok((name, IngredientKind::read(kind.trim(), None)?, mass))
    };
    read().map_err(|problem| typed::said(&problem))
}

/// Reads `sponge: bread flour=300g, water=300g, instant=0.6g`, in any order after the name.
fn preferment(typed: &str) -> Result<PrefermentMasses, String> {
    let read = || {
        let (name, rest) = typed.split_once(':').ok_or_else(|| {
            Problem::new(format!("preferment `{typed}` has no name")).hint(EXAMPLE)
        })?;
        let name = text::checked(name, "name of a preferment", text::LONGEST_NAME)?;
        let (mut flour, mut water, mut yeast, mut ripens) = (None, None, None, None);
        for typed in rest.split(',') {
            if let Some(time) = typed.trim().strip_prefix("ripens=") {
                ripens = Some(time.trim().to_owned());
                continue;
            }
            let (what, mass) = part(typed)?;
            let kind = what.strip_suffix("yeast").unwrap_or(what).trim();
            let twice = if what == "water" {
                water.replace(mass).is_some()
            } else if let Ok(kind) = kind.parse::<Yeast>() {
                yeast.replace((kind, mass)).is_some()
            } else {
                let known = text::checked(what, "name of a flour", text::LONGEST_NAME)?;
                flour.replace((known, mass)).is_some()
            };
            if twice {
                return Err(Problem::new(format!(
                    "preferment `{name}` has one flour, one water and at most one yeast: `{what}` is one too many"
                ))
                .hint(EXAMPLE));
            }
        }
        let missing =
            |what: &str| Problem::new(format!("preferment `{name}` has no {what}")).hint(EXAMPLE);
        Ok(PrefermentMasses {
            flour: flour.ok_or_else(|| missing("flour"))?,
            water: water.ok_or_else(|| missing("water"))?,
            yeast,
            ripens: ripens.ok_or_else(|| missing("time to ripen"))?,
            name,
        })
    };
    read().map_err(|problem: Problem| typed::said(&problem))
}

/// Reads `mix=10min` and `bake=40min 220C`; the formula is checked as a whole.
fn step(typed: &str) -> Result<StepOnPaper, String> {
    let (kind, rest) = typed.split_once('=').ok_or_else(|| typed_wrong(typed))?;
    let mut words = rest.split_whitespace().map(str::to_owned);
    match (words.next(), words.next(), words.next()) {
        (Some(takes), temperature, None) => Ok(StepOnPaper {
            kind: kind.trim().to_owned(),
            takes,
            temperature,
        }),
        _ => Err(typed_wrong(typed)),
    }
}

fn typed_wrong(typed: &str) -> String {
    typed::said(
        &Problem::new(format!("step `{}` is not understood", typed.trim()))
            .hint("write it like mix=10min or \"bake=40min 220C\""),
    )
}

const EXAMPLE: &str =
    "write it like \"sponge: bread flour=300g, water=300g, instant=0.6g, ripens=12h\"";
