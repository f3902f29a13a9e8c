//! `trace`: from a lot to its loaves and back, from a bake to its brews, and what a recall has to reach.

use super::{Outcome, export, typed};
use crate::context::Errand;
use crate::desk::{Desk, RecallFilter};
use crate::error::usage;
use crate::quantity::{Problem, when};
use crate::render;
use crate::render::words::Lines;
use clap::ArgAction;

/// Follow a lot to its loaves and back, or list all for a recall
///
/// A recall finds every lot that came in from a source, with a malt or cereal, or brewed on some days, all that
/// was made of them, the bakes and pieces that hold it, and what is still on hand. Lots whose grist does not say
/// whether they hold the malt or cereal are shown too, apart from the others.
#[derive(clap::Args)]
#[command(
    override_usage = "draff trace <LOT|BAKE> [--csv <FILE>] [--svg <FILE>]\n       draff trace [--source <NAME>] [--grist <TEXT>] [--between <DAY> <DAY>]\n                   [--csv <FILE>]",
    after_help = "Examples:\n  draff trace ALD-261120-1T\n  draff trace --source \"Alder Lane\" --between 2026-11-16 2026-11-18\n  draff trace --grist wheat --csv recall.csv"
)]
pub struct Arguments {
    /// The code of a lot or a bake, or what was typed after `use --for`
    #[arg(value_name = "LOT|BAKE", conflicts_with_all = ["grist", "source", "between"], required_unless_present_any = ["grist", "source", "between"])]
    about: Option<String>,

    /// Lots with this malt or cereal in the grist, or part of its name. A cereal stands for all that falls under
    /// it in food law, as spelt does under wheat, and gluten for every cereal with it. Words around a cereal do not
    /// narrow it: malted wheat finds all wheat
    #[arg(long, value_name = "TEXT", value_parser = typed::name)]
    grist: Option<String>,

    /// Lots from this source
    #[arg(long, value_name = "NAME")]
    source: Option<String>,

    /// Lots brewed from one day to another, both included
    #[arg(long, value_names = ["DAY", "DAY"], num_args = 2, action = ArgAction::Set)]
    between: Option<Vec<String>>,

    /// Write CSV to a file, or to the terminal with -
    #[arg(long, value_name = "FILE")]
    csv: Option<String>,

    /// Draw the flow of one lot as a picture (SVG) to a file
    #[arg(long, value_name = "FILE", conflicts_with_all = ["grist", "source", "between"])]
    svg: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [arguments.csv.as_deref()])?;
    let desk = errand.desk()?;
    let answer = match &arguments.about {
        Some(about) => desk.trace(about)?,
        None => desk.recall(&filter(&arguments, &desk)?)?,
    };
    let (units, now, about) = (errand.units(), desk.now(), desk.about());
    let zone = &about.zone;
    if let Some(path) = &arguments.svg {
        if !answer.answer.has_balance {
            return Err(usage(
                Problem::new("the picture is of the flow of one lot")
                    .hint("name a lot: draff trace LOT --svg FILE"),
            ));
        }
        let picture = render::flow::svg(&answer.answer, units)?;
        export::save(errand, path, &about.path, &picture, "wrote")?;
    }
    if let Some(path) = &arguments.csv {
        export::put_long(errand, path, &about.path, |out| {
            render::trace_csv::text(&answer.answer, zone, out)?;
            Ok("wrote".to_owned())
        })?;
        if !errand.options.json {
            return Ok(Outcome::Done);
        }
    }
    errand.show_long(
        &answer,
        |trace, broken_off| render::json::trace::Trace::new(trace, zone, broken_off),
        |trace, out| render::trace::text(trace, Lines::Wrapped, (units, now, zone), out),
    )?;
    Ok(Outcome::Done)
}

/// Which lots a recall is of.
fn filter(arguments: &Arguments, desk: &Desk) -> anyhow::Result<RecallFilter> {
    let day = |typed: &str| {
        when::date(typed, desk.now(), desk.zone())
            .map_err(|problem| usage(problem.within("--between")))
    };
    let between = match arguments.between.as_deref() {
        Some([from, to]) => Some((day(from)?, day(to)?)),
        _ => None,
    };
    if let Some((from, to)) = between
        && from > to
    {
        return Err(usage(
            Problem::new(format!("{from} lies after {to}"))
                .hint("--between takes the earlier day first"),
        ));
    }
    Ok(RecallFilter {
        grist: arguments.grist.clone(),
        source: arguments.source.clone(),
        between,
    })
}
