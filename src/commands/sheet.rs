//! `sheet`: the page of one bake for the bench.

use super::lots_in_dough::{self, Dough};
use super::promised_dough;
use super::warmth::{HEADING as WARMTH, WarmthArguments};
use super::{Outcome, Talk, export, learned, typed};
use crate::context::Errand;
use crate::dough::batch::warmth;
use crate::dough::doneness;
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::grain::{Evidence, Form, Kind, estimate};
use crate::ledger::{BakeRecord, View};
use crate::quantity::{Instant, Milligrams, Temperature};
use crate::render::{self, numbers::Units};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::sheet::{SheetAnswer, SheetDraw};
use uom::si::f64::Mass;

/// Make the page of one bake for the bench: what to weigh, the water, the timetable
#[derive(clap::Args)]
pub struct Arguments {
    /// Its code
    #[arg(value_name = "BAKE")]
    bake: String,

    /// As a page to print, into a file or to stdout with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,

    /// As text [default]
    #[arg(long, conflicts_with = "html")]
    text: bool,

    /// The thirst of dry grain beyond flour: published, or none to leave it out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,

    /// The smallest step of the scale
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, default_value = "1g", allow_hyphen_values = true)]
    scale: Milligrams,

    /// The smallest step of the scale for yeast and other light ingredients
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, default_value = "0.1g", allow_hyphen_values = true)]
    fine_scale: Milligrams,

    #[command(flatten)]
    warmth: WarmthArguments,

    /// The dough when mixing ends [default: the formula's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = WARMTH)]
    dough_temp: Option<Temperature>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let units = Units::of(errand.options.us);
    let book = errand.open_book()?;
    let view = book.view();
    let _still = view.hold_still()?;
    let about = view.about();
    let now = errand.now(&about.zone)?;
    let bake = view.bake(&arguments.bake)?;
    bake.refuse_ended()
        .map_err(|problem| problem.hint(format!("draff bake show {} shows it", bake.code)))?;
    let (sheet, talk) = answer(&arguments, bake, view, now, units)?;
    for line in &talk.lines {
        errand.say(line);
    }
    for warning in &talk.warnings {
        errand.warn(warning);
    }
    match arguments.html.as_deref().filter(|_| !arguments.text) {
        None => errand.print(&render::sheet::text(&sheet, &about.zone, units))?,
        Some(path) => {
            let page = render::sheet_html::page(&sheet, &about.zone, units);
            let wrote = format!("wrote the sheet of {} to", sheet.bake);
            export::put(errand, path, &about.path, &page, &wrote)?;
        }
    }
    Ok(Outcome::Done)
}

/// Works the sheet out, and what there is to say of its lots.
fn answer(
    arguments: &Arguments,
    bake: BakeRecord,
    view: View<'_>,
    now: Instant,
    units: Units,
) -> anyhow::Result<(SheetAnswer, Talk)> {
    let planned = BakeAnswer::of(bake)?;
    let setting = &planned.bake.setting;
    let formula = planned.formula.clone();
    let mixing = learned::rise(view, &formula)?;
    let dough = Dough {
        thirst: arguments.thirst,
        ..Dough::of(setting, &formula)
    };
    let at = planned.timetable.mix_at.max(now);
    let mut talk = Talk::default();
    let (lots, dough) = if setting.lots.is_empty() {
        let found = promised_dough::find(view, &planned, dough, at, units)?;
        if found.is_promised {
            talk.lines.extend(found.words);
        } else {
            talk.warnings.extend(found.words);
        }
        (found.lots, found.dough)
    } else {
        let lots = lots_in_dough::of_bake(view, setting, dough, at, units)?;
        (lots, dough)
    };
    if !lots.answers.is_empty() && lots.are_short() {
        talk.warnings.push(format!(
            "the lots fall short by {} of dry grain: the weights need more grain than is left",
            units.to_weigh(lots.mixture.short)
        ));
    }
    // Without a lot the weights are those of grain as wet as any may be, and the sheet asks for one.
    let (moisture, from) = if lots.answers.is_empty() {
        let form = formula.grain.form.unwrap_or(Form::Whole);
        (
            estimate::default_moisture(form, Kind::Mashed),
            Evidence::PublishedDefault.as_key().to_owned(),
        )
    } else {
        (lots.mixture.moisture, lots.moisture_from())
    };
    let batch = dough.weights(
        moisture,
        &lots.forms(),
        (arguments.scale, arguments.fine_scale),
        units,
    )?;
    let house = view.house()?;
    let warmth = arguments
        .warmth
        .temperatures(&formula, &lots.known(&house), arguments.dough_temp)
        .map_err(usage)?
        .map(|temperatures| warmth::work_out(&batch, &temperatures, mixing));
    let sheet = SheetAnswer {
        bake: planned.bake.code.to_string(),
        version: setting.formula.version,
        pieces: setting.pieces,
        piece: setting.piece.mass(),
        firm: setting.firm,
        note: setting.note.clone(),
        book: view.about().name.clone(),
        draws: lots.draws().map(draw).collect(),
        moisture_from: from,
        night: house.night,
        core: doneness::core(house.altitude_metres)?,
        printed_at: now,
        formula,
        batch,
        warmth,
        timetable: planned.timetable,
    };
    Ok((sheet, talk))
}

fn draw((answer, wet): (&LotAnswer, Mass)) -> SheetDraw {
    SheetDraw {
        lot: answer.lot.code.to_string(),
        wet,
        verdict: answer.keeping.verdict,
        keep_until: answer.keeping.keep_until,
        place: answer.place.as_ref().map(|(name, _)| name.clone()),
        form: answer.lot.form,
    }
}
