//! `bake calendar`: bakes as an iCalendar file.

use super::{Outcome, export, promised};
use crate::context::Errand;
use crate::dough::bake_code::BakeCode;
use crate::ledger::{BakeEnd, View, Which};
use crate::planning::plan::Work;
use crate::quantity::text::count;
use crate::quantity::{Instant, Problem};
use crate::render::{self, numbers::Units};
use crate::report::bake::BakeAnswer;
use crate::report::calendar::{CalendarAnswer, CalendarBake, CalendarTask};
use crate::report::promise::PromisedGrain;
use std::collections::BTreeMap;

#[derive(clap::Args)]
pub struct Arguments {
    /// Its code [default: every bake that is not done, and what the accepted plan says is to be done]
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
    let tasks = tasks(
        view,
        arguments.bake.is_some().then(|| answers[0].bake.code),
        now,
    )?;
    if answers.is_empty() && tasks.is_empty() {
        return Err(Problem::new("no bakes are planned")
            .hint("`draff bake add FORMULA --at WHEN ready` plans one")
            .into());
    }
    let calendar = CalendarAnswer {
        book: about.name.clone(),
        night: view.house()?.night,
        bakes: answers.into_iter().map(calendar_bake).collect(),
        tasks,
        written_at: now,
    };
    let text = render::icalendar::text(&calendar, &about.zone, Units::of(errand.options.us));
    let tasks = match calendar.tasks.len() {
        0 => String::new(),
        number => format!(" and {}", count(number, "task")),
    };
    let wrote = format!("wrote {}{tasks} to", count(calendar.bakes.len(), "bake"));
    export::refuse_two_answers(errand, [Some(arguments.ics.as_str())])?;
    export::put(errand, &arguments.ics, &about.path, &text, &wrote)?;
    if errand.options.json {
        let answer = render::json::sheet::Calendar::new(&calendar, &about.zone);
        errand.print(&render::json::text(&answer)?)?;
    }
    Ok(Outcome::Done)
}

/// What the accepted plan says is still to be done with grain; of one bake, where that is asked for. What a plan
/// that does not hold any more said is dropped, so that a calendar takes it off.
fn tasks(
    view: View<'_>,
    only: Option<BakeCode>,
    now: Instant,
) -> anyhow::Result<Vec<CalendarTask>> {
    let in_force = view.accepted_plan()?.map(|plan| plan.entry);
    let open: Vec<BakeCode> = view
        .bakes(Which::Open)?
        .iter()
        .map(|bake| bake.code)
        .collect();
    let promised = promised::now(view, now)?;
    let sequence = view.last_entry()?;
    let mut times: BTreeMap<(i64, String), u32> = BTreeMap::new();
    let mut tasks: Vec<CalendarTask> = Vec::new();
    for (entry, accepted_at, task) in view.tasks_of_plans()? {
        let id = match task.bake {
            Some(bake) => format!("{}-{}-{bake}", task.work.as_str(), task.lot.code),
            None => format!("{}-{}", task.work.as_str(), task.lot.code),
        };
        // A lot may go into the dryer on several days.
        let time = times.entry((entry, id.clone())).or_insert(0);
        *time += 1;
        let id = if *time > 1 {
            format!("{id}-{time}")
        } else {
            id
        };
        let is_known = tasks.iter().any(|known| known.id == id);
        let is_asked = only.is_none() || only == task.bake;
        if task.by < now || is_known || !is_asked {
            continue;
        }
        let holds = Some(entry) == in_force && task.bake.is_none_or(|bake| open.contains(&bake));
        let lies_in = promised.iter().find(|one| {
            Some(one.bake) == task.bake && one.named == task.lot.code && task.work == Work::Thaw
        });
        tasks.push(CalendarTask {
            id,
            work: task.work,
            lot: lies_in
                .map_or(task.lot.code, PromisedGrain::code)
                .to_string(),
            wet: task.wet,
            by: task.by,
            bake: task.bake.map(|bake| bake.to_string()),
            accepted_at,
            sequence,
            is_dropped: !holds,
        });
    }
    tasks.sort_by(|one, other| (one.by, &one.id).cmp(&(other.by, &other.id)));
    Ok(tasks)
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
