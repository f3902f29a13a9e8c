//! `bake done`: what a bake came to, and its grain drawn.

use super::bake::{self, refuse_twice};
use super::gather;
use super::lots_in_dough::{self, Dough, LotsInDough};
use super::promised_dough;
use super::warmth::WarmthArguments;
use super::{Outcome, Talk, learned, promised, typed};
use crate::context::Errand;
use crate::dough::batch::warmth::{self, Temperatures};
use crate::dough::batch::{Batch, What};
use crate::dough::formula::Formula;
use crate::dough::mixing_heat::MixingRise;
use crate::dough::temperature::Water;
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::ledger::{BakeResult, LotRecord, Measured, View};
use crate::quantity::{Instant, Milligrams, Problem, Temperature};
use crate::render::numbers::Units;
use crate::report::bake::BakeAnswer;

#[derive(clap::Args)]
pub struct Arguments {
    /// Its code
    #[arg(value_name = "BAKE")]
    bake: String,

    /// When the dough was mixed [default: as planned, or now where that is yet to come]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// Wet grain that went in, of each lot [default: what the sheet says of the lots named for it]
    #[arg(long, value_name = "LOT=MASS", value_parser = used)]
    used: Vec<(String, Milligrams)>,

    /// The thirst of dry grain as on the sheet: published, or none where it was left out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,

    /// Water that really went into the stage of the grain
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    water: Option<Milligrams>,

    /// Pieces that came out of the oven
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(0..=100_000))]
    pieces: Option<u32>,

    /// What they weighed in all, baked and cooled
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    baked: Option<Milligrams>,

    /// The dough when mixing ended: corrects the mixing heat of the formula
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    dough_temp: Option<Temperature>,

    /// The water that went in [default: as the sheet says]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "dough_temp", allow_hyphen_values = true)]
    water_temp: Option<Temperature>,

    /// How it came out, 1 to 5
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u8).range(1..=5))]
    rating: Option<u8>,

    /// Anything else
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,

    #[command(flatten)]
    warmth: WarmthArguments,
}

/// Reads `COR-261120-15=702g`.
fn used(typed: &str) -> Result<(String, Milligrams), String> {
    let (lot, mass) = typed
        .split_once('=')
        .ok_or_else(|| format!("`{typed}` is not understood: write it like ALD-261120-1T=702g"))?;
    Ok((lot.trim().to_owned(), typed::value(mass)?))
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let units = Units::of(errand.options.us);
    refuse_twice(arguments.used.iter().map(|(lot, _)| lot.as_str())).map_err(usage)?;
    if arguments.warmth.is_asked() && arguments.dough_temp.is_none() {
        return Err(usage(
            Problem::new("temperatures are given, and not how warm the dough came out")
                .hint("add --dough-temp TEMPERATURE, or leave them out"),
        ));
    }
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let signature = errand.signature(&zone)?;
    let typed_at = arguments
        .at
        .as_deref()
        .map(|at| errand.past(at, "--at", &zone))
        .transpose()?;
    let mut talk = Talk::default();
    let done = promised::act(errand, &mut book, &signature, |act| {
        let bake = act.view().bake(&arguments.bake)?;
        let planned = BakeAnswer::of(bake)?;
        let mix_at = planned.timetable.mix_at;
        let at = typed_at.unwrap_or(mix_at.min(act.now()));
        if typed_at.is_none() && at < mix_at {
            talk.warnings.push(format!(
                "it was to be mixed at {}, which is yet to come: written down as mixed now",
                zone.rfc3339(mix_at)
            ));
        }
        let result = result(&arguments, &planned, act.view(), at, units, &mut talk)?;
        act.finish_bake(&planned.bake, &result)?;
        warn_of_past(act.view(), &result, act.now(), &mut talk)?;
        act.view().bake(&arguments.bake)
    })?;
    for line in &talk.lines {
        errand.say(line);
    }
    for warning in &talk.warnings {
        errand.warn(warning);
    }
    bake::print(errand, book.view(), done)
}

/// Works out what is written down. Grain that was past or unknown when the dough was mixed is refused.
fn result(
    arguments: &Arguments,
    planned: &BakeAnswer,
    view: View<'_>,
    at: Instant,
    units: Units,
    talk: &mut Talk,
) -> anyhow::Result<BakeResult> {
    let bake = &planned.bake;
    let formula = &planned.formula;
    let mixing = learned::rise(view, formula)?;
    let dough = Dough {
        thirst: arguments.thirst,
        ..Dough::of(&bake.setting, formula)
    };
    let (lots, draws) = drawn(arguments, planned, view, dough, at, units)?;
    // What the sheet said it said of the share that promised grain comes to.
    let dough = if bake.setting.lots.is_empty() {
        promised_dough::find(view, planned, dough, at, units)?.dough
    } else {
        dough
    };
    let scales = (Milligrams::new(1000), Milligrams::new(100));
    let batch = dough.weights(lots.mixture.moisture, &lots.forms(), scales, units)?;
    let mixing_kelvin = match arguments.dough_temp {
        None => None,
        Some(measured) => {
            let known = lots.known(&view.house()?);
            // Where nothing was aimed at, what came out is as good an aim as any.
            let aimed = Formula {
                dough_temperature: formula.dough_temperature.or(Some(measured)),
                ..formula.clone()
            };
            let temperatures = arguments
                .warmth
                .temperatures(&aimed, &known, None)
                .map_err(usage)?;
            learn(
                arguments,
                measured,
                temperatures,
                &batch,
                mixing,
                units,
                talk,
            )
        }
    };
    Ok(BakeResult {
        at,
        by: None,
        draws,
        measured: Measured {
            said_pour: said(formula, &batch, What::Water),
            said_hold: said(formula, &batch, What::HeldBack),
            water: arguments.water,
            pieces: arguments.pieces,
            baked: arguments.baked,
            dough_milli_celsius: arguments.dough_temp.map(Temperature::milli_celsius),
            mixing_kelvin,
            rating: arguments.rating,
        },
        note: arguments.note.clone(),
    })
}

/// What the sheet says of the water in the stage of the grain.
fn said(formula: &Formula, batch: &Batch, what: What) -> Milligrams {
    batch.stages[formula.grain.stage]
        .lines
        .iter()
        .find(|line| line.what == what)
        .map_or(Milligrams::ZERO, |line| line.weight)
}

/// The lots in the dough, and how much of each is taken off the shelf.
fn drawn(
    arguments: &Arguments,
    planned: &BakeAnswer,
    view: View<'_>,
    dough: Dough<'_>,
    at: Instant,
    units: Units,
) -> anyhow::Result<(LotsInDough, Vec<(LotRecord, Milligrams)>)> {
    if !arguments.used.is_empty() {
        let records = arguments
            .used
            .iter()
            .map(|(code, _)| view.lot(code))
            .collect::<anyhow::Result<Vec<_>>>()?;
        let masses = arguments.used.iter().map(|(_, mass)| *mass);
        let draws: Vec<_> = records.iter().cloned().zip(masses).collect();
        let lots = lots_in_dough::named(view, records, dough, at, units)?;
        return Ok((lots.with_masses(&draws), draws));
    }
    let bake = &planned.bake;
    if bake.setting.lots.is_empty() {
        return Err(ask_for_lots(planned, view, dough, at, units)?.into());
    }
    let lots = lots_in_dough::of_bake(view, &bake.setting, dough, at, units)?;
    if lots.are_short() {
        return Err(Problem::new(format!(
            "the lots named for bake `{}` fall short by {} of dry grain",
            bake.code,
            units.to_weigh(lots.mixture.short)
        ))
        .hint("say what went in: --used LOT=MASS, once for each lot")
        .into());
    }
    let draws = lots.whole_grams();
    Ok((lots, draws))
}

/// Nobody said of which lots it was made: asks, with what the sheet said filled in.
fn ask_for_lots(
    planned: &BakeAnswer,
    view: View<'_>,
    dough: Dough<'_>,
    at: Instant,
    units: Units,
) -> anyhow::Result<Problem> {
    let found = promised_dough::find(view, planned, dough, at, units)?;
    let filled_in: Vec<String> = found
        .lots
        .whole_grams()
        .iter()
        .map(|(lot, wet)| {
            format!(
                "--used {}={}",
                lot.code,
                units.weighed(*wet).replace(' ', "")
            )
        })
        .collect();
    let problem = Problem::new(format!(
        "no lots are named for bake `{}`, so nobody knows what went into it",
        planned.bake.code
    ));
    let problem = match found.words {
        Some(words) => problem.hint(words),
        None => problem,
    };
    Ok(if filled_in.is_empty() {
        problem.hint("say what went in: --used LOT=MASS, once for each lot")
    } else {
        problem.hint(format!("say what went in, such as {}", filled_in.join(" ")))
    })
}

/// By how much mixing warmed the dough, where enough was measured.
fn learn(
    arguments: &Arguments,
    measured: Temperature,
    temperatures: Option<Temperatures>,
    batch: &Batch,
    mixing: MixingRise,
    units: Units,
    talk: &mut Talk,
) -> Option<f64> {
    let Some(temperatures) = temperatures else {
        talk.warnings.push(
            "the mixing heat is not corrected: that needs the temperatures of tap, room and grain too, such as --tap 12C --room 21C --grain-temp 4C"
                .to_owned(),
        );
        return None;
    };
    let water = match arguments.water_temp {
        Some(water) => Ok(Water::Tempered {
            celsius: water.degrees_celsius(),
        }),
        None => warmth::work_out(batch, &temperatures, mixing)
            .plan
            .map(|plan| plan.water),
    };
    let Ok(water) = water else {
        talk.warnings.push(
            "the mixing heat is not corrected: no water temperature could be said for this dough, so say what it had: --water-temp"
                .to_owned(),
        );
        return None;
    };
    match warmth::rise_measured(batch, &temperatures, &water, measured.degrees_celsius()) {
        Ok(kelvin) => {
            talk.lines.push(format!(
                "mixing warmed the dough by {}; the next doughs are reckoned with that",
                units.difference(kelvin)
            ));
            Some(kelvin)
        }
        Err(problem) => {
            talk.warnings
                .push(format!("the mixing heat is not corrected: {problem}"));
            None
        }
    }
}

/// Says so where grain that was in order then is known not to be by now.
fn warn_of_past(
    view: View<'_>,
    result: &BakeResult,
    now: Instant,
    talk: &mut Talk,
) -> anyhow::Result<()> {
    for (lot, _) in &result.draws {
        talk.warnings.extend(gather::known_by_now(view, lot, now)?);
    }
    Ok(())
}
