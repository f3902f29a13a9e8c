//! `bake calendar`: bakes as an iCalendar file.

use super::{Outcome, export};
use crate::context::Errand;
use crate::ledger::{BakeEnd, Which};
use crate::quantity::Problem;
use crate::quantity::text::count;
use crate::render::{self, numbers::Units};
use crate::report::bake::BakeAnswer;
use crate::report::calendar::{CalendarAnswer, CalendarBake};

#[derive(clap::Args)]
pub struct Arguments {
    /// Its code [default: every bake that is not done]
    #[arg(value_name = "BAKE")]
    bake: Option<String>,

    /// Write to a file, or to stdout with -
    #[arg(long, value_name = "FILE")]
    ics: String,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let _still = view.hold_still()?;
    let about = view.about();
    let now = errand.now(&about.zone)?;
    let found = match &arguments.bake {
        Some(code) => vec![view.bake(code)?],
        None => view.bakes(Which::NotDone)?,
    };
    let mut answers = found
        .into_iter()
        .map(BakeAnswer::of)
        .collect::<Result<Vec<_>, Problem>>()?;
    if arguments.bake.is_none() {
        // A bake that was dropped stays until it would have been ready: only an event that says it is cancelled
        // takes itself off a calendar that read an earlier file (RFC 5545, 3.8.1.11).
        answers.retain(|answer| answer.bake.end.is_none() || answer.timetable.ready_at >= now);
    }
    answers.sort_by_key(|answer| (answer.timetable.mix_at, answer.bake.code));
    if answers.is_empty() {
        return Err(Problem::new("no bakes are planned")
            .hint("`draff bake add FORMULA --at WHEN ready` plans one")
            .into());
    }
    let calendar = CalendarAnswer {
        book: about.name.clone(),
        night: view.house()?.night,
        bakes: answers.into_iter().map(calendar_bake).collect(),
        written_at: now,
    };
    let text = render::icalendar::text(&calendar, &about.zone, Units::of(errand.options.us));
    let wrote = format!("wrote {} to", count(calendar.bakes.len(), "bake"));
    export::put(errand, &arguments.ics, &about.path, &text, &wrote)?;
    Ok(Outcome::Done)
}

fn calendar_bake(answer: BakeAnswer) -> CalendarBake {
    let setting = answer.bake.setting;
    let is_dropped = matches!(answer.bake.end, Some(BakeEnd::Dropped { .. }));
    CalendarBake {
        bake: answer.bake.code.to_string(),
        formula: answer.formula,
        pieces: setting.pieces,
        piece: setting.piece.mass(),
        note: setting.note,
        timetable: answer.timetable,
        // Dropping changes it once more.
        sequence: answer.bake.restated + u32::from(is_dropped),
        is_dropped,
    }
}
