//! `bake calendar`: bakes as an iCalendar file.

use super::{Outcome, export};
use crate::context::Errand;
use crate::desk::Answer;
use crate::quantity::text::count;
use crate::render;

#[derive(clap::Args)]
pub struct Arguments {
    /// The bake's code, such as B-1S [default: every bake that is not done, and what the accepted plan says is to be done]
    #[arg(value_name = "BAKE")]
    bake: Option<String>,

    /// Write to a file, or to the terminal with -
    #[arg(long, value_name = "FILE")]
    ics: String,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [Some(arguments.ics.as_str())])?;
    let desk = errand.desk()?;
    let about = desk.about();
    let Answer {
        answer: calendar,
        cautions,
        ..
    } = desk.calendar(arguments.bake.as_deref())?;
    let text = render::icalendar::text(&calendar, &about.zone, errand.units());
    let tasks = match calendar.tasks.len() {
        0 => String::new(),
        number => format!(" and {}", count(number, "task")),
    };
    let wrote = format!("wrote {}{tasks} to", count(calendar.bakes.len(), "bake"));
    export::put(errand, &arguments.ics, &about.path, &text, &wrote)?;
    if errand.options.json {
        let answer = render::json::sheet::Calendar::new(&calendar, &about.zone);
        errand.print(&render::json::with_cautions(&answer, &cautions)?)?;
    } else {
        export::put_cautions(errand, &arguments.ics, &cautions)?;
    }
    Ok(Outcome::Done)
}
