//! `sheet`: the page of one bake for the bench.

use super::dough_temperatures::{DoughTemperatureArguments, HEADING as TEMPERATURES};
use super::{Outcome, export, typed};
use crate::context::Errand;
use crate::desk::{GivenScales, SheetOf};
use crate::dough::thirst::ThirstRule;
use crate::quantity::{Milligrams, Temperature};
use crate::render;

/// Make the page of one bake for the bench: weights, water, times
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff sheet B-1S\n  draff sheet B-1S --html sheet.html --tap 11C --room 20C"
)]
pub struct Arguments {
    /// The bake's code, such as B-1S; `draff bake list` shows the bakes to come
    #[arg(value_name = "BAKE")]
    bake: String,

    /// As a page to print, into a file or to the terminal with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,

    /// As text [default]
    #[arg(long, conflicts_with = "html")]
    text: bool,

    /// How much more water dry grain drinks than flour: published (from published trials, narrowed by your own bakes where you noted their water), or none to leave it out
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,

    /// The smallest step of the scale [default: that of the settings, else 1g]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    scale: Option<Milligrams>,

    /// The smallest step of the scale for yeast and other light ingredients [default: 0.1g]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    fine_scale: Option<Milligrams>,

    #[command(flatten)]
    temperatures: DoughTemperatureArguments,

    /// The dough when mixing ends [default: the formula's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = TEMPERATURES)]
    dough_temp: Option<Temperature>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let html = arguments.html.as_deref().filter(|_| !arguments.text);
    export::refuse_two_answers(errand, [html])?;
    let desk = errand.desk()?;
    let answer = desk.sheet(&SheetOf {
        bake: &arguments.bake,
        thirst: arguments.thirst,
        scales: GivenScales {
            coarse: arguments.scale,
            fine: arguments.fine_scale,
        },
        temperatures: arguments.temperatures.given(arguments.dough_temp),
    })?;
    let (units, about) = (errand.units(), desk.about());
    if let Some(path) = html {
        let sheet = &answer.answer;
        let page = render::sheet_html::page(sheet, &about.zone, units);
        let wrote = format!("wrote the sheet of {} to", sheet.bake);
        export::put(errand, path, &about.path, &page, &wrote)?;
    }
    if errand.options.json {
        let sheet = render::json::sheet::Sheet::new(&answer.answer, &about.zone);
        errand.print(&render::json::with_cautions(&sheet, &answer.cautions)?)?;
    } else if html.is_none() {
        errand.print(&render::sheet::text(&answer.answer, &about.zone, units))?;
    }
    errand.tell(&answer.notices);
    Ok(Outcome::Done)
}
