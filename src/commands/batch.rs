//! `batch`: one dough worked out, from whichever amount is fixed.

use super::lots_in_dough::{self, Dough};
use super::warmth::{HEADING as WARMTH, Known, WarmthArguments};
use super::{Outcome, learned, typed};
use crate::context::Errand;
use crate::dough::batch::{Batch, Size, warmth};
use crate::dough::formula::Formula;
use crate::dough::measures::MeasureSet;
use crate::dough::mixing_heat::{self, MixingRise};
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::grain::Form;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Temperature, Uncertain, bounds, text};
use crate::render::batch::Around;
use crate::render::{self, numbers::Units};
use std::path::Path;
use uom::si::f64::Mass;

/// Work out one dough: every weight of every stage, the pour and the hold-back
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("size").required(true).args(["pieces", "dough", "baked", "flour", "grain"]),
    group = clap::ArgGroup::new("water of the grain").required(true).args(["lot", "moisture"]),
    override_usage = "draff batch <FORMULA> (--pieces <NUMBER> [--piece <MASS>] | --dough <MASS> | --baked <MASS> |\n                   --flour <MASS> | --grain <MASS>) (--lot <LOT>… | --moisture <PERCENT>)\n                   [--tap <TEMPERATURE> --room <TEMPERATURE> (--grain-temp <TEMPERATURE> | --frozen)]
                   [--measures <SET>]"
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

    /// The lot to draw from; several are used up in the order given
    #[arg(long, value_name = "LOT", conflicts_with = "moisture")]
    lot: Vec<String>,

    /// Moisture of the grain, wet basis, where there is no lot
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    moisture: Option<Percent>,

    /// Its standard deviation, in points [default: 0.54%, that of one tested sample]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, requires = "moisture", conflicts_with = "lot", allow_hyphen_values = true)]
    moisture_sd: Option<Percent>,

    /// Dry grain as a share of total flour [default: what the formula wants]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    share: Option<Percent>,

    /// The thirst of dry grain beyond flour: published, or none to leave it out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,

    /// The smallest step of the scale
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, default_value = "1g", allow_hyphen_values = true)]
    scale: Milligrams,

    /// The smallest step of the scale for yeast and other light ingredients
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, default_value = "0.1g", allow_hyphen_values = true)]
    fine_scale: Milligrams,

    /// Cups and spoons beside the weights: metric-cup or us-cup
    #[arg(long, value_name = "SET", value_parser = typed::value::<MeasureSet>)]
    measures: Option<MeasureSet>,

    #[command(flatten)]
    warmth: WarmthArguments,

    /// The dough when mixing ends [default: the formula's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = WARMTH)]
    dough_temp: Option<Temperature>,
}

/// Where the grain comes from.
struct Grain {
    moisture: Uncertain,
    /// Of its lots.
    forms: Vec<Form>,
    words: String,
    from: String,
    /// Wet grain of which the lots are the limit; nothing where only a moisture was given.
    left: Option<Milligrams>,
    /// What the book knows of temperatures.
    known: Known,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let units = Units::of(errand.options.us);
    let (formula, mixing) = formula(&arguments.formula, errand)?;
    let size = size(&arguments, &formula).map_err(usage)?;
    let share = match arguments.share {
        Some(share) => share.within(&bounds::GRAIN_SHARE).map_err(usage)?,
        None => formula.grain.wanted,
    };
    let dough = Dough {
        formula: &formula,
        size,
        share,
        thirst: arguments.thirst,
    };
    let grain = match arguments.lot.as_slice() {
        [] => typed_moisture(&arguments).map_err(usage)?,
        lots => of_lots(lots, dough, errand)?,
    };
    let temperatures = arguments
        .warmth
        .temperatures(&formula, &grain.known, arguments.dough_temp)
        .map_err(usage)?;
    let scales = (arguments.scale, arguments.fine_scale);
    let weights =
        |size| Dough { size, ..dough }.weights(grain.moisture, &grain.forms, scales, units);
    let batch = weights(size)?;
    let largest = grain
        .left
        .map(|left| weights(Size::Grain(left.mass())).map(|batch| batch.dough))
        .transpose()?;
    let warmth = temperatures.map(|given| warmth::work_out(&batch, &given, mixing));
    // Who did not ask how warm the water must be is told, and has all the weights all the same.
    let is_asked = arguments.warmth.is_asked() || arguments.dough_temp.is_some();
    let refusal = warmth
        .as_ref()
        .filter(|_| is_asked)
        .and_then(|warmth| render::water_temperature::refusal(warmth, units));
    let text = if errand.options.json {
        render::json::text(&render::json::batch::BatchAnswer::new(
            &formula,
            &batch,
            warmth.as_ref(),
            arguments.measures,
            grain.moisture.standard,
            &grain.from,
        ))?
    } else {
        let around = Around {
            grain: grain.words,
            from: grain.from,
            pieces: pieces(size, &batch, &formula),
            largest,
            warmth,
            measures: arguments.measures,
        };
        render::batch::text(&formula, &batch, &around, units)
    };
    errand.print(&text)?;
    // The weights stand whatever the water, so they were printed; a script still has to notice.
    refusal.map_or(Ok(Outcome::Done), |problem| Err(problem.into()))
}

/// A formula of the book, or of a file, and by how much mixing warms its dough.
fn formula(named: &str, errand: &mut Errand<'_>) -> anyhow::Result<(Formula, MixingRise)> {
    if text::is_path(named) {
        let text = std::fs::read_to_string(Path::new(named))
            .map_err(|error| Problem::new(format!("the file `{named}` cannot be read: {error}")))?;
        let formula = Formula::from_text(&text).map_err(|problem| problem.within(named))?;
        let rise = mixing_heat::learned(formula.mixing_rise, &[]);
        return Ok((formula, rise));
    }
    let book = errand.open_book()?;
    let view = book.view();
    learned::formula(view, &view.formula(named, None)?)
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

/// The pieces that the dough is divided into: those asked for, or of the formula's piece.
fn pieces(size: Size, batch: &Batch, formula: &Formula) -> Option<(u32, Mass)> {
    match size {
        Size::Pieces { count, piece } => Some((count, piece)),
        _ => {
            let piece = formula.piece?.mass();
            let count = (batch.divided / piece)
                .get::<uom::si::ratio::ratio>()
                .floor() as u32;
            (count > 0).then_some((count, piece))
        }
    }
}

fn typed_moisture(arguments: &Arguments) -> Result<Grain, Problem> {
    let moisture = arguments
        .moisture
        .ok_or_else(|| Problem::new("neither --lot nor --moisture is given"))?;
    let (moisture, from) = typed::moisture(moisture, arguments.moisture_sd)?;
    Ok(Grain {
        moisture,
        forms: Vec::new(),
        words: "no lot".to_owned(),
        from: from.to_owned(),
        left: None,
        known: Known::default(),
    })
}

/// The grain of lots from the book. Lots that may not be used get no sum.
fn of_lots(codes: &[String], dough: Dough<'_>, errand: &mut Errand<'_>) -> anyhow::Result<Grain> {
    let units = Units::of(errand.options.us);
    let book = errand.open_book()?;
    let view = book.view();
    let now = errand.now(&view.about().zone)?;
    let lots = codes
        .iter()
        .map(|code| view.lot(code))
        .collect::<anyhow::Result<_>>()?;
    let lots = lots_in_dough::named(view, lots, dough, now, units)?;
    if lots.are_short() {
        errand.warn(&format!(
            "the lots fall short by {} of dry grain: the weights below need more grain than is left",
            units.to_weigh(lots.mixture.short)
        ));
    }
    let is_only = lots.answers.len() == 1;
    let words: Vec<String> = lots
        .draws()
        .map(|(answer, draw)| {
            let said = format!("{}, {}", answer.lot.code, answer.keeping.verdict);
            if is_only {
                said
            } else {
                format!("{} of {said}", units.to_weigh(draw))
            }
        })
        .collect();
    Ok(Grain {
        moisture: lots.mixture.moisture,
        forms: lots.forms(),
        words: words.join(" and "),
        from: lots.moisture_from(),
        left: is_only.then(|| lots.answers[0].wet),
        known: lots.known(&view.house()?),
    })
}
