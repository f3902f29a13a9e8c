//! Today: all that is due, each line with the form that does it.

use super::{address_of_advice, address_of_work};
use crate::desk::USUAL_DAYS;
use crate::quantity::Instant;
use crate::render::times;
use crate::render::today::{clock, group, nothing_due, words_of};
use crate::report::today::{Due, DueTask};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::trouble::capital;
use crate::web::visit::Visit;
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::show("/", show)];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.today(USUAL_DAYS)?;
    let today = &answer.answer;
    let mut groups: Vec<(String, Vec<&Due>)> = Vec::new();
    for due in &today.due {
        let heading = group(due, today, visit.zone());
        match groups.last_mut().filter(|(last, _)| *last == heading) {
            Some((_, list)) => list.push(due),
            None => groups.push((heading, vec![due])),
        }
    }
    let body = html! {
        p.send { a.main href="/grain-in" { "Grain in" } }
        @if groups.is_empty() { p.lead { (nothing_due(today)) } }
        @for (heading, list) in &groups {
            h2 { (heading) }
            ul.due { @for due in list { (line(visit, due, today.as_of)) } }
        }
        @if let Some(newest) = old_copy(visit) { p.warning { b { "Warning: " } (newest) } }
        (draw::answer_notes(&visit.notes_of(&answer)))
        details {
            summary { "Into a calendar that rings" }
            p { a href="/due.ics" { "Download what is due (.ics)" } }
            p { "Or subscribe to this address. Whoever knows it reads what is due, and nothing else, until this device is ended:" }
            p.words { (visit.origin()) "/calendar/" (visit.calendar()) }
        }
    };
    Ok(Reply::Page(draw::page(visit, "Today", &body)))
}

/// What is said where the newest copy of the book is too old.
fn old_copy(visit: &Visit) -> Option<String> {
    let newest = visit.shared.backups.as_ref()?.is_old(visit.now)?;
    Some(match newest {
        Some(newest) => {
            let when = times::moment(newest, visit.now, visit.zone());
            format!(
                "the newest copy of the book is of {when}. What is wrong stands where draff serve runs"
            )
        }
        None => "no copy of the book was made yet. What is wrong stands where draff serve runs"
            .to_owned(),
    })
}

fn line(visit: &Visit, due: &Due, as_of: Instant) -> Markup {
    let (units, zone) = (visit.units(), visit.zone());
    let clock = clock(due, as_of, zone);
    html! {
        li {
            a href=(address(due, as_of)) {
                @if !clock.is_empty() { b.clock { (clock) } " " }
                (draw::with_whole_codes(&capital(&words_of(due, as_of, units, zone))))
            }
        }
    }
}

/// The form that does it, filled in.
fn address(due: &Due, as_of: Instant) -> String {
    match &due.task {
        DueTask::Keep { lot, advice, .. } => address_of_advice(lot.lot.code, advice, as_of),
        DueTask::WeighAgain { lot, .. } => format!("/lot/{lot}/sample"),
        DueTask::Test { lot, .. } => format!("/lot/{}/sample", lot.lot.code),
        DueTask::Grain {
            work,
            lot,
            wet,
            block,
            place,
            ..
        } => {
            let moved = block.as_ref().map_or(*wet, |block| block.all);
            address_of_work((*work, *lot), moved, place.as_deref())
        }
        DueTask::NotThawed {
            bake,
            plan_knows: true,
            ..
        } => format!("/bake/{bake}/change"),
        DueTask::NotThawed { .. } | DueTask::TooLate { .. } => "/plan".to_owned(),
        DueTask::Bake {
            bake,
            made_late: Some(_),
            ..
        }
        | DueTask::Bake {
            bake,
            short: Some(_),
            plan_knows: true,
            ..
        } => format!("/bake/{bake}/change"),
        DueTask::Bake { bake, .. } => format!("/bake/{bake}/sheet"),
        DueTask::Overdue {
            bake,
            is_left_out: true,
            ..
        } => format!("/bake/{bake}/drop"),
        DueTask::Overdue { bake, .. } => format!("/bake/{bake}/done"),
        DueTask::PrintTicket { lot, .. } => format!("/lot/{}/ticket", lot.lot.code),
        DueTask::UseFirst { lot, bakes } => match bakes.first() {
            Some(one) => format!("/bake/{}", one.bake),
            None => format!("/lot/{}", lot.lot.code),
        },
        DueTask::ThrowAway(lot) => format!("/lot/{}/throw-away", lot.lot.code),
    }
}
