//! `bake calendar`: bakes as an iCalendar file.

use super::{Outcome, export};
use crate::context::Errand;
use crate::desk::Answer;
use crate::error::usage;
use crate::quantity::Problem;
use crate::quantity::text::count;
use crate::render;

#[derive(clap::Args)]
pub struct Arguments {
    /// The bake's code, such as B-1S [default: every bake that is not done, and what is to be frozen, dried and thawed for them]
    #[arg(value_name = "BAKE")]
    bake: Option<String>,

    /// Write to a file, or to the terminal with -; needed unless you ask for JSON
    #[arg(long, value_name = "FILE")]
    ics: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let ics = arguments.ics.as_deref();
    export::refuse_two_answers(errand, [ics])?;
    if ics.is_none() && !errand.options.json {
        return Err(usage(
            Problem::new("no file is named for the calendar")
                .hint("add --ics FILE, or --ics - for the terminal"),
        ));
    }
    let desk = errand.desk()?;
    let about = desk.about();
    let Answer {
        answer: calendar,
        cautions,
        ..
    } = desk.calendar(arguments.bake.as_deref())?;
    if let Some(ics) = ics {
        let text = render::icalendar::text(&calendar, &about.zone, errand.units());
        let tasks = match calendar.tasks.len() {
            0 => String::new(),
            number => format!(" and {}", count(number, "task")),
        };
        let wrote = format!("wrote {}{tasks} to", count(calendar.bakes.len(), "bake"));
        export::put(errand, ics, &about.path, &text, &wrote)?;
        if !errand.options.json {
            export::put_cautions(errand, ics, &cautions)?;
        }
    }
    if errand.options.json {
        let answer = render::json::sheet::Calendar::new(&calendar, &about.zone);
        errand.print(&render::json::with_cautions(&answer, &cautions)?)?;
    }
    Ok(Outcome::Done)
}
