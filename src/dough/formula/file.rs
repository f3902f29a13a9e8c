//! Formulas as TOML text that a baker can write by hand: the one place that knows how.

use super::ingredient::{Ingredient, IngredientKind};
use super::stages::{Stage, StageKind};
use super::steps::{Step, StepKind};
use super::{Colour, FlourShare, Formula, GrainPlan};
use crate::dough::thirst::HydrationWith;
use crate::grain::Form;
use crate::quantity::fraction::Percent;
use crate::quantity::{
    Milligrams, Problem, Temperature, WetBasis, bounds, duration, text, toml_text,
};
use bounds::Bounds;
use chrono::Duration;
use serde::Deserialize;
use std::str::FromStr;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    name: String,
    hydration: String,
    grain: Grain,
    flour: Vec<Flour>,
    #[serde(default)]
    stage: Vec<StageTable>,
    #[serde(default)]
    ingredient: Vec<IngredientTable>,
    dough_temperature: Option<String>,
    mixing_rise: Option<String>,
    mixer: Option<String>,
    pieces: Option<i64>,
    piece: Option<String>,
    handling_loss: Option<String>,
    bake_loss: Option<String>,
    #[serde(default)]
    step: Vec<StepTable>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Grain {
    lowest: Option<String>,
    wanted: String,
    highest: Option<String>,
    form: Option<String>,
    colour: Option<String>,
    stage: Option<String>,
    flour_basis: Option<String>,
    hydration_with: Option<HydrationWithTable>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HydrationWithTable {
    form: String,
    share: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Flour {
    name: String,
    share: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StageTable {
    name: String,
    kind: String,
    flour: Option<String>,
    of: Option<String>,
    hydration: Option<String>,
    water: Option<String>,
    ripens: Option<String>,
    temperature: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct IngredientTable {
    name: String,
    kind: String,
    yeast: Option<String>,
    share: String,
    stage: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StepTable {
    #[serde(rename = "do")]
    kind: String,
    words: Option<String>,
    takes: String,
    hands_on: Option<bool>,
    temperature: Option<String>,
    steam: Option<String>,
}

/// The name of the stage that takes what the others leave.
pub const FINAL_DOUGH: &str = "final dough";

impl Formula {
    /// Reads and checks a formula.
    pub fn from_text(source: &str) -> Result<Self, Problem> {
        let file: File = toml_text::read(source, "formula").map_err(with_quotes)?;
        let name = text::checked(&file.name, "name of the formula", text::LONGEST_NAME)?;
        if text::is_path(&name) {
            return Err(Problem::new(format!(
                "name of the formula is `{name}`, which looks like the path of a file"
            ))
            .hint("a name has no slash or backslash and does not end in .toml"));
        }
        read(file, &name).map_err(|problem| problem.within(format!("formula `{name}`")))
    }
}

/// An amount typed as a bare number is the slip that a baker makes first, and TOML's own words for it say
/// nothing of quotes.
fn with_quotes(problem: Problem) -> Problem {
    if problem.to_string().contains("expected a string") {
        problem
            .hint("write amounts in quotes with their unit, such as \"68%\", \"90min\" or \"26C\"")
    } else {
        problem
    }
}

fn read(file: File, name: &str) -> Result<Formula, Problem> {
    let hydration = share(&file.hydration, &bounds::HYDRATION, "hydration")?;
    let flours = flours(&file.flour)?;
    let mut stages = stages(&file.stage, &flours)?;
    let wanted = share(&file.grain.wanted, &bounds::GRAIN_SHARE, "grain.wanted")?;
    let bound = |typed: &Option<String>, what: &str| match typed {
        Some(typed) => share(typed, &bounds::GRAIN_SHARE, what),
        None => Ok(wanted),
    };
    stages.push(Stage {
        name: FINAL_DOUGH.to_owned(),
        kind: StageKind::Final,
        flour: 1.0 - stages.iter().map(|stage| stage.flour).sum::<f64>(),
        of: None,
        water: hydration - stages.iter().map(|stage| stage.water).sum::<f64>(),
        ripens: None,
        temperature: None,
    });
    let stage_named = |typed: &Option<String>| match typed {
        None => Ok(stages.len() - 1),
        Some(typed) => stages
            .iter()
            .position(|stage| is_same(&stage.name, typed))
            .ok_or_else(|| {
                let names: Vec<String> = stages
                    .iter()
                    .map(|stage| format!("`{}`", stage.name))
                    .collect();
                Problem::new(format!(
                    "stage `{typed}` is not there: allowed is {}",
                    names.join(" or ")
                ))
            }),
    };
    let mut formula = Formula {
        name: name.to_owned(),
        hydration,
        grain: GrainPlan {
            lowest: bound(&file.grain.lowest, "grain.lowest")?,
            wanted,
            highest: bound(&file.grain.highest, "grain.highest")?,
            form: optional::<Form>(&file.grain.form, "grain")?,
            colour: optional::<Colour>(&file.grain.colour, "grain")?,
            stage: stage_named(&file.grain.stage)?,
            flour_basis: match &file.grain.flour_basis {
                Some(typed) => {
                    WetBasis::new(share(typed, &bounds::FLOUR_BASIS, "grain.flour_basis")?)?
                }
                None => WetBasis::new(0.0)?,
            },
            hydration_with: file
                .grain
                .hydration_with
                .as_ref()
                .map(hydration_with)
                .transpose()?,
        },
        ingredients: ingredients(&file.ingredient, stage_named)?,
        dough_temperature: optional::<Temperature>(&file.dough_temperature, "dough_temperature")?,
        mixing_rise: file.mixing_rise.as_deref().map(kelvins).transpose()?,
        mixer: file
            .mixer
            .as_deref()
            .map(|typed| text::checked(typed, "mixer", text::LONGEST_NAME))
            .transpose()?,
        pieces: file.pieces.map(pieces).transpose()?,
        piece: optional::<Milligrams>(&file.piece, "piece")?,
        handling_loss: loss(&file.handling_loss, "handling_loss")?,
        bake_loss: loss(&file.bake_loss, "bake_loss")?,
        steps: file.step.iter().map(step).collect::<Result<_, _>>()?,
        flours,
        stages,
    };
    formula.check()?;
    formula.close();
    Ok(formula)
}

fn hydration_with(table: &HydrationWithTable) -> Result<HydrationWith, Problem> {
    const KEY: &str = "grain.hydration_with";
    Ok(HydrationWith {
        form: table
            .form
            .parse()
            .map_err(|problem: Problem| problem.within(KEY))?,
        share: share(&table.share, &bounds::GRAIN_SHARE, KEY)?,
    })
}

fn share(typed: &str, bounds: &Bounds, what: &str) -> Result<f64, Problem> {
    let named = |problem: Problem| problem.within(what);
    let percent = typed.parse::<Percent>().map_err(named)?;
    // The range names itself; the key is added where it is called otherwise.
    percent.within(bounds).map_err(|problem| {
        if what == bounds.what {
            problem
        } else {
            named(problem)
        }
    })
}

pub(super) fn loss(typed: &Option<String>, what: &str) -> Result<f64, Problem> {
    typed
        .as_deref()
        .map_or(Ok(0.0), |typed| share(typed, &bounds::LOSS, what))
}

fn optional<T: FromStr<Err = Problem>>(
    typed: &Option<String>,
    what: &str,
) -> Result<Option<T>, Problem> {
    typed
        .as_deref()
        .map(str::parse)
        .transpose()
        .map_err(|problem: Problem| problem.within(what))
}

/// Names are the same whatever their capitals, as those of formulas in the book are.
fn is_same(name: &str, other: &str) -> bool {
    name.to_lowercase() == other.to_lowercase()
}

/// More pieces than this are no batch of dough.
const MOST_PIECES: i64 = 100_000;

fn pieces(typed: i64) -> Result<u32, Problem> {
    u32::try_from(typed)
        .ok()
        .filter(|_| (1..=MOST_PIECES).contains(&typed))
        .ok_or_else(|| Problem::new(format!("pieces is {typed}: allowed is 1 to {MOST_PIECES}")))
}

/// Reads `6K` or `11F`: a difference of temperatures.
fn kelvins(typed: &str) -> Result<f64, Problem> {
    let (number, unit) = crate::quantity::decimal::split_number(typed, "temperature rise", "6K")?;
    let kelvin = match unit {
        "K" => Some(number.to_f64()),
        "F" | "f" | "°F" => Some(number.to_f64() / 1.8),
        _ => None,
    };
    kelvin
        .filter(|kelvin| (0.0..=40.0).contains(kelvin))
        .ok_or_else(|| {
            Problem::new(format!(
                "temperature rise `{typed}` is not understood: allowed is 0K to 40K, or 0F to 72F"
            ))
        })
}

fn flours(tables: &[Flour]) -> Result<Vec<FlourShare>, Problem> {
    let mut flours: Vec<FlourShare> = Vec::new();
    for table in tables {
        let name = text::checked(&table.name, "name of a flour", text::LONGEST_NAME)?;
        if flours.iter().any(|known| is_same(&known.name, &name)) {
            return Err(Problem::new(format!("flour `{name}` is there twice")));
        }
        let share = share(
            &table.share,
            &bounds::BAKERS_SHARE,
            &format!("flour `{name}`"),
        )?;
        flours.push(FlourShare { name, share });
    }
    if flours.is_empty() {
        return Err(
            Problem::new("no flour is named").hint("add a table [[flour]] with name and share")
        );
    }
    Ok(flours)
}

fn stages(tables: &[StageTable], flours: &[FlourShare]) -> Result<Vec<Stage>, Problem> {
    let mut stages: Vec<Stage> = Vec::new();
    for table in tables {
        let name = text::checked(&table.name, "name of a stage", text::LONGEST_NAME)?;
        if is_same(&name, FINAL_DOUGH) {
            return Err(Problem::new(format!(
                "stage `{name}` is not written down: it takes what the others leave"
            )));
        }
        if stages.iter().any(|known| is_same(&known.name, &name)) {
            return Err(Problem::new(format!("stage `{name}` is there twice")));
        }
        let stage = stage(table, name.clone(), flours)
            .map_err(|problem| problem.within(format!("stage `{name}`")))?;
        stages.push(stage);
    }
    Ok(stages)
}

fn stage(table: &StageTable, name: String, flours: &[FlourShare]) -> Result<Stage, Problem> {
    let kind = match table.kind.as_str() {
        "preferment" => StageKind::Preferment,
        "soaker" => StageKind::Soaker,
        other => {
            return Err(Problem::new(format!(
                "kind `{other}` is not known: allowed are preferment, soaker"
            )));
        }
    };
    let flour = table.flour.as_deref().map_or(Ok(0.0), |typed| {
        share(typed, &bounds::BAKERS_SHARE, "flour")
    })?;
    if flour == 0.0 && (kind == StageKind::Preferment || table.hydration.is_some()) {
        return Err(Problem::new(
            "flour is not given: a preferment and a hydration need it",
        )
        .hint("add the line flour = \"30%\", or write water = \"30%\" of total flour for a soaker"));
    }
    let water = match (&table.hydration, &table.water) {
        (Some(typed), None) => flour * share(typed, &bounds::HYDRATION, "hydration")?,
        (None, Some(typed)) => share(typed, &bounds::BAKERS_SHARE, "water")?,
        _ => {
            return Err(Problem::new(
                "either hydration (on its own flour) or water (on total flour) is needed",
            ));
        }
    };
    let of = match &table.of {
        None => 0,
        Some(typed) => flours
            .iter()
            .position(|flour| is_same(&flour.name, typed))
            .ok_or_else(|| {
                Problem::new(format!(
                    "flour `{typed}` is not among the flours of the formula"
                ))
            })?,
    };
    Ok(Stage {
        name,
        kind,
        flour,
        of: Some(of),
        water,
        ripens: table.ripens.as_deref().map(duration::parse).transpose()?,
        temperature: optional::<Temperature>(&table.temperature, "temperature")?,
    })
}

fn ingredients(
    tables: &[IngredientTable],
    stage_named: impl Fn(&Option<String>) -> Result<usize, Problem>,
) -> Result<Vec<Ingredient>, Problem> {
    let mut found: Vec<Ingredient> = Vec::new();
    for table in tables {
        let stage = stage_named(&table.stage)
            .map_err(|problem| problem.within(format!("ingredient `{}`", table.name)))?;
        let next = ingredient(table, stage)?;
        if found
            .iter()
            .any(|known| known.stage == stage && is_same(&known.name, &next.name))
        {
            return Err(Problem::new(format!(
                "ingredient `{}` is there twice in one stage",
                next.name
            )));
        }
        found.push(next);
    }
    Ok(found)
}

fn ingredient(table: &IngredientTable, stage: usize) -> Result<Ingredient, Problem> {
    let name = text::checked(&table.name, "name of an ingredient", text::LONGEST_NAME)?;
    let place = format!("ingredient `{name}`");
    Ok(Ingredient {
        kind: IngredientKind::read(&table.kind, table.yeast.as_deref())
            .map_err(|problem| problem.within(&place))?,
        share: share(&table.share, &bounds::BAKERS_SHARE, &place)?,
        name,
        stage,
    })
}

fn step(table: &StepTable) -> Result<Step, Problem> {
    let kind: StepKind = table.kind.parse()?;
    let place = format!("step `{}`", kind.as_str());
    let length = |typed: &str, key: &str| -> Result<Duration, Problem> {
        duration::parse(typed).map_err(|problem| problem.within(format!("{place}: {key}")))
    };
    let takes = length(&table.takes, "takes")?;
    let steam = table
        .steam
        .as_deref()
        .map(|typed| length(typed, "steam"))
        .transpose()?;
    match steam {
        Some(_) if kind != StepKind::Bake => {
            return Err(Problem::new(format!(
                "{place} has steam, which only `bake` has"
            )));
        }
        Some(steam) if steam > takes => {
            return Err(Problem::new(format!(
                "{place} has steam for {} min and takes {} min",
                steam.num_minutes(),
                takes.num_minutes()
            )));
        }
        _ => {}
    }
    Ok(Step {
        kind,
        words: table
            .words
            .as_deref()
            .map(|words| text::checked(words, "words of a step", text::LONGEST_NOTE))
            .transpose()?,
        takes,
        hands_on: table.hands_on.unwrap_or(kind.is_hands_on()),
        temperature: optional::<Temperature>(&table.temperature, &place)?,
        steam,
    })
}
