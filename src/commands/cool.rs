//! `cool`: whether a tub of grain cools in time, before it stands in the fridge.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk;
use crate::error::usage;
use crate::grain::Form;
use crate::heat::cooling::{Air, Underside};
use crate::keeping::RuleSet;
use crate::quantity::fraction::Percent;
use crate::quantity::text::one_of;
use crate::quantity::{Length, Problem, Temperature, WetBasis, bounds};
use crate::render;
use crate::report::cool::CoolRequest;
use clap::ArgAction;

/// Work out whether hot grain cools in time, and how deep it may lie
///
/// A forecast by heat conduction, as a range from what the air takes. Only a thermometer in the middle of
/// the grain shows that it cooled. Limits are those of the book, or the strict ones without a book.
#[derive(clap::Args)]
#[command(
    override_usage = "draff cool --depth <LENGTH> --from <TEMPERATURE>\n                  --fridge <TEMPERATURE> [OPTIONS]",
    after_help = "Examples:\n  draff cool --depth 8cm --from 62C --fridge 3C --tub round 30cm\n  draff cool --depth 2cm --from 65C --fridge 3C --tub tray --under rack --air moving"
)]
pub struct Arguments {
    /// Depth of the grain
    #[arg(long, value_name = "LENGTH", value_parser = typed::value::<Length>, allow_hyphen_values = true)]
    depth: Length,

    /// The grain when it goes into the cold
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    from: Temperature,

    /// The air it stands in
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    fridge: Temperature,

    /// `tray`, a wide layer whose sides do not count, or `round` and its width, as in `round 30cm`
    #[arg(long, value_names = ["SHAPE", "WIDTH"], num_args = 1..=2, default_value = "tray", action = ArgAction::Set)]
    tub: Vec<String>,

    /// What it stands on: `shelf`, nothing leaves through the bottom, or `rack`, air below it too
    #[arg(long, value_name = "WHAT", value_parser = typed::underside, default_value = "shelf")]
    under: Underside,

    /// The air around it: `still`, or `moving` by a fan
    #[arg(long, value_name = "AIR", value_parser = typed::air, default_value = "still")]
    air: Air,

    /// Form of the grain: whole, pressed or blended
    #[arg(long, value_name = "FORM", value_parser = typed::value::<Form>, default_value = "whole")]
    form: Form,

    /// Its moisture, wet basis [default: what is taken for the form]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    moisture: Option<Percent>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let request = request(&arguments).map_err(usage)?;
    let rules = match errand.book_if_there()? {
        Some(book) => book.view().about().rules.clone(),
        None => RuleSet::from_text(RuleSet::built_in_text("strict")?)?,
    };
    let answer = desk::cool(request, rules)?;
    let units = errand.units();
    errand.show(&answer, render::json::cool::Cool::new, |cool| {
        render::cool::text(cool, units)
    })?;
    Ok(Outcome::Done)
}

fn request(arguments: &Arguments) -> Result<CoolRequest, Problem> {
    let moisture = arguments
        .moisture
        .map(|typed| WetBasis::new(typed.within(&bounds::MOISTURE)?))
        .transpose()?;
    Ok(CoolRequest {
        depth: arguments.depth,
        width: width(&arguments.tub)?,
        start: arguments.from,
        fridge: arguments.fridge,
        air: arguments.air,
        underside: arguments.under,
        form: arguments.form,
        moisture,
    })
}

/// The width of a round tub, or none for a tray.
fn width(tub: &[String]) -> Result<Option<Length>, Problem> {
    let words: Vec<&str> = tub
        .iter()
        .flat_map(|typed| typed.split_whitespace())
        .collect();
    let (shape, width) = match words.as_slice() {
        [shape] => (*shape, None),
        [shape, width] => (*shape, Some(*width)),
        _ => ("", None),
    };
    let is_round = one_of(shape, "tub", &[false, true], |round| {
        if round { "round" } else { "tray" }
    })?;
    match (is_round, width) {
        (false, None) => Ok(None),
        (true, Some(width)) => Ok(Some(width.parse()?)),
        (false, Some(width)) => Err(Problem::new(format!(
            "a tray takes no width, and `{width}` follows it"
        ))
        .hint("its sides do not count; write --tub tray")),
        (true, None) => {
            Err(Problem::new("a round tub has a width").hint("write it like --tub round 30cm"))
        }
    }
}
