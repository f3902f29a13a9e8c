//! Formulas as TOML text that a baker can write by hand: the one place that knows how.

use super::ingredient::{Ingredient, IngredientKind};
use super::stages::{Stage, StageKind};
use super::steps::{Step, StepKind};
use super::{Colour, FlourShare, Formula, GrainPlan};
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
    pieces: Option<u32>,
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
        let file: File = toml_text::read(source, "formula")?;
        let name = text::checked(&file.name, "name of the formula", text::LONGEST_NAME)?;
        read(file, &name).map_err(|problem| problem.within(format!("formula `{name}`")))
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
            .position(|stage| stage.name == *typed)
            .ok_or_else(|| {
                let names: Vec<&str> = stages.iter().map(|stage| stage.name.as_str()).collect();
                Problem::new(format!(
                    "stage `{typed}` is not there: there are {}",
                    names.join(", ")
                ))
            }),
    };
    let formula = Formula {
        name: name.to_owned(),
        hydration,
        grain: GrainPlan {
            lowest: bound(&file.grain.lowest, "grain.lowest")?,
            wanted,
            highest: bound(&file.grain.highest, "grain.highest")?,
            form: optional::<Form>(&file.grain.form)?,
            colour: optional::<Colour>(&file.grain.colour)?,
            stage: stage_named(&file.grain.stage)?,
            flour_basis: match &file.grain.flour_basis {
                Some(typed) => {
                    WetBasis::new(share(typed, &bounds::FLOUR_BASIS, "grain.flour_basis")?)?
                }
                None => WetBasis::new(0.0)?,
            },
        },
        ingredients: file
            .ingredient
            .iter()
            .map(|found| ingredient(found, stage_named(&found.stage)?))
            .collect::<Result<_, _>>()?,
        dough_temperature: optional::<Temperature>(&file.dough_temperature)?,
        mixing_rise: file.mixing_rise.as_deref().map(kelvins).transpose()?,
        pieces: match file.pieces {
            Some(0) => return Err(Problem::new("pieces is 0: allowed is 1 or more")),
            pieces => pieces,
        },
        piece: optional::<Milligrams>(&file.piece)?,
        handling_loss: loss(&file.handling_loss, "handling_loss")?,
        bake_loss: loss(&file.bake_loss, "bake_loss")?,
        steps: file.step.iter().map(step).collect::<Result<_, _>>()?,
        flours,
        stages,
    };
    formula.check()?;
    Ok(formula)
}

fn share(typed: &str, bounds: &Bounds, what: &str) -> Result<f64, Problem> {
    typed
        .parse::<Percent>()
        .and_then(|percent| percent.within(bounds))
        .map_err(|problem| problem.within(what))
}

fn loss(typed: &Option<String>, what: &str) -> Result<f64, Problem> {
    typed
        .as_deref()
        .map_or(Ok(0.0), |typed| share(typed, &bounds::LOSS, what))
}

fn optional<T: FromStr<Err = Problem>>(typed: &Option<String>) -> Result<Option<T>, Problem> {
    typed.as_deref().map(str::parse).transpose()
}

/// Reads `6K`: a difference of temperatures.
fn kelvins(typed: &str) -> Result<f64, Problem> {
    let (number, unit) = crate::quantity::decimal::split_number(typed, "temperature rise", "6K")?;
    if unit != "K" || !(0.0..=40.0).contains(&number.to_f64()) {
        return Err(Problem::new(format!(
            "temperature rise `{typed}` is not understood: allowed is 0K to 40K"
        )));
    }
    Ok(number.to_f64())
}

fn flours(tables: &[Flour]) -> Result<Vec<FlourShare>, Problem> {
    let mut flours: Vec<FlourShare> = Vec::new();
    for table in tables {
        let name = text::checked(&table.name, "name of a flour", text::LONGEST_NAME)?;
        if flours.iter().any(|known| known.name == name) {
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
        if name == FINAL_DOUGH {
            return Err(Problem::new(format!(
                "stage `{name}` is not written down: it takes what the others leave"
            )));
        }
        if stages.iter().any(|known| known.name == name) {
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
            .position(|flour| flour.name == *typed)
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
        temperature: optional::<Temperature>(&table.temperature)?,
    })
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
    let length = |typed: &str| -> Result<Duration, Problem> {
        duration::parse(typed).map_err(|problem| problem.within(format!("step `{}`", table.kind)))
    };
    Ok(Step {
        kind,
        words: table
            .words
            .as_deref()
            .map(|words| text::checked(words, "words of a step", text::LONGEST_NOTE))
            .transpose()?,
        takes: length(&table.takes)?,
        hands_on: table.hands_on.unwrap_or(kind.is_hands_on()),
        temperature: optional::<Temperature>(&table.temperature)?,
        steam: table.steam.as_deref().map(length).transpose()?,
    })
}
