//! `batch`: one dough worked out, from whichever amount is fixed.

use super::dough_temperatures::{DoughTemperatureArguments, HEADING as TEMPERATURES};
use super::{Outcome, settings, typed};
use crate::context::Errand;
use crate::desk::{self, BatchOf, GivenScales, GrainOfDough, Refusal};
use crate::dough::batch::Size;
use crate::dough::formula::Formula;
use crate::dough::measures::MeasureSet;
use crate::dough::mixing_heat::{self, MixingRise};
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Temperature, bounds, text};
use crate::render;
use crate::render::lot::Detail;
use std::path::Path;

/// Work out one dough: every weight of every stage, and the water
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("size").required(true).args(["pieces", "dough", "baked", "flour", "grain"]),
    group = clap::ArgGroup::new("water of the grain").required(true).args(["lot", "moisture"]),
    override_usage = "draff batch <FORMULA>
                   (--pieces <NUMBER> [--piece <MASS>] | --dough <MASS> |
                    --baked <MASS> | --flour <MASS> | --grain <MASS>)
                   (--lot <LOT>… | --moisture <PERCENT>)
                   [--tap <TEMPERATURE> --room <TEMPERATURE>
                    (--grain-temp <TEMPERATURE> | --frozen)]
                   [--measures <SET>]",
    after_help = "Examples:\n  draff batch \"pan loaf\" --pieces 12 --lot ALD-261120-1T\n  draff batch \"pan loaf\" --flour 5kg --moisture 77% --tap 11C --room 20C --grain-temp 4C"
)]
pub struct Arguments {
    /// A formula of the book, or the path of a formula file
    #[arg(value_name = "FORMULA")]
    formula: String,

    /// So many pieces
    #[arg(long, value_name = "NUMBER")]
    pieces: Option<u32>,

    /// Raw weight of one piece [default: the formula's]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, requires = "pieces", allow_hyphen_values = true)]
    piece: Option<Milligrams>,

    /// So much mixed dough
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    dough: Option<Milligrams>,

    /// So much bread, baked and cooled
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    baked: Option<Milligrams>,

    /// So much flour from the bag
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    flour: Option<Milligrams>,

    /// So much wet grain
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    grain: Option<Milligrams>,

    /// The lot to draw from, by its code as `draff shelf` shows it; several are used up in the order given
    #[arg(long, value_name = "LOT", conflicts_with = "moisture")]
    lot: Vec<String>,

    /// How wet the grain is where there is no lot: water per 100 of wet grain, such as 77%
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    moisture: Option<Percent>,

    /// How sure you are of it: the standard deviation in points. Leave it out unless you know how far your tests differ [default: 0.54%, that of one tested sample]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "moisture", conflicts_with = "lot", allow_hyphen_values = true)]
    moisture_sd: Option<Percent>,

    /// Dry grain as a share of total flour [default: what the formula wants]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    share: Option<Percent>,

    /// How much more water dry grain drinks than flour: published (from published trials, narrowed by your own bakes where you noted their water), or none to leave it out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,

    /// The smallest step of the scale [default: that of the settings, else 1g]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    scale: Option<Milligrams>,

    /// The smallest step of the scale for yeast and other light ingredients [default: 0.1g]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    fine_scale: Option<Milligrams>,

    /// Cups and spoons beside the weights: metric-cup or us-cup
    #[arg(long, value_name = "SET", value_parser = typed::value::<MeasureSet>)]
    measures: Option<MeasureSet>,

    #[command(flatten)]
    temperatures: DoughTemperatureArguments,

    /// The dough when mixing ends [default: the formula's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = TEMPERATURES)]
    dough_temp: Option<Temperature>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let (formula, mixing) = formula(&arguments.formula, errand)?;
    let request = BatchOf {
        size: size(&arguments, &formula).map_err(usage)?,
        share: match arguments.share {
            Some(share) => share.within(&bounds::GRAIN_SHARE).map_err(usage)?,
            None => formula.grain.wanted,
        },
        formula: &formula,
        mixing,
        thirst: arguments.thirst,
        scales: GivenScales {
            coarse: arguments.scale,
            fine: arguments.fine_scale,
        },
        temperatures: arguments.temperatures.given(arguments.dough_temp),
    };
    let grain = match (arguments.lot.as_slice(), arguments.moisture) {
        ([], Some(moisture)) => {
            let (moisture, from) =
                typed::moisture(moisture, arguments.moisture_sd).map_err(usage)?;
            GrainOfDough::of_moisture(moisture, from).in_house(settings::of_house(errand)?)
        }
        ([], None) => {
            return Err(usage(Problem::new("neither --lot nor --moisture is given")));
        }
        (lots, _) => errand.desk()?.grain_of_lots(lots, &request)?,
    };
    let answer = desk::batch(&request, grain)?;
    let (units, measures) = (errand.units(), arguments.measures);
    let detail = errand.detail(Detail::Limit);
    errand.show(
        &answer,
        |batch| render::json::batch::BatchAnswer::new(batch, measures),
        |batch| render::batch::text(batch, measures, detail, units),
    )?;
    // The weights hold whatever the water, so they were printed; a script still has to notice. Who did not ask how
    // warm the water must be is told, and has all the weights all the same.
    match answer.answer.warmth {
        Some(warmth) if answer.answer.is_warmth_asked && warmth.plan.is_err() => {
            Err(Refusal::NoWaterTemperature(Box::new(warmth)).into())
        }
        _ => Ok(Outcome::Done),
    }
}

/// A formula of the book, or of a file, and by how much mixing warms its dough.
fn formula(named: &str, errand: &mut Errand<'_>) -> anyhow::Result<(Formula, MixingRise)> {
    if text::is_path(named) {
        let text = typed::text_file(Path::new(named))?;
        let formula = Formula::from_text(&text).map_err(|problem| problem.within(named))?;
        let rise = mixing_heat::learned(formula.mixing_rise, &[]);
        return Ok((formula, rise));
    }
    errand.desk()?.dough_of(named)
}

fn size(arguments: &Arguments, formula: &Formula) -> Result<Size, Problem> {
    let given = [
        arguments.dough.map(|mass| Size::Dough(mass.mass())),
        arguments.baked.map(|mass| Size::Baked(mass.mass())),
        arguments.flour.map(|mass| Size::Flour(mass.mass())),
        arguments.grain.map(|mass| Size::Grain(mass.mass())),
    ];
    if let Some(size) = given.into_iter().flatten().next() {
        return Ok(size);
    }
    let count = arguments.pieces.ok_or_else(|| {
        Problem::new("no amount is given")
            .hint("give --pieces, --dough, --baked, --flour or --grain")
    })?;
    let piece = arguments.piece.or(formula.piece).ok_or_else(|| {
        Problem::new(format!(
            "formula `{}` does not say what a piece weighs",
            formula.name
        ))
        .hint("add --piece MASS")
    })?;
    Ok(Size::Pieces {
        count,
        piece: piece.mass(),
    })
}
