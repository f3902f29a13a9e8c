//! One lot: its verdict large, why, what next, its moisture, its story, and what can be done with it.

use super::{address_of_advice, address_of_work, in_address};
use crate::desk::LogOf;
use crate::keeping::Verdict;
use crate::render::shelf::job;
use crate::render::{lot as words, numbers, spoiled_part};
use crate::report::LotAnswer;
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::trouble::capital;
use crate::web::visit::Visit;
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::show("/lot/{lot}", show)];

/// What can be done with a lot: the end of the address, the words.
const ACTS: [(&str, &str); 13] = [
    ("temperature", "Temperature"),
    ("use", "Use"),
    ("sample", "Sample"),
    ("move", "Move"),
    ("freeze", "Freeze"),
    ("thaw", "Thaw"),
    ("throw-away", "Throw away"),
    ("give", "Hand over"),
    ("treat", "Press, dry, mill"),
    ("portion", "Part into tubs"),
    ("join", "Put together"),
    ("count", "Weigh what is left"),
    ("spoiled", "Spoiled"),
];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.lot(visit.part("lot"))?;
    let lot = &answer.answer;
    let code = lot.lot.code.to_string();
    let story = story(visit, &code)?;
    let (units, zone) = (visit.units(), visit.zone());
    let is_there = lot.place.is_some();
    let jobs = jobs(visit, lot)?;
    let body = html! {
        @if is_there {
            p.state { (draw::verdict(lot)) " " (capital(&words::keep_until(lot, zone))) }
        } @else {
            p.state { "Nothing is left of it." }
        }
        p { b { "Because: " } (words::because(lot, words::Detail::Source, units, zone)) }
        @if let Some(advice) = &lot.keeping.advice {
            p.next { a.main href=(address_of_advice(lot.lot.code, advice, lot.as_of)) { (capital(&words::advice_to_do(advice, lot.as_of, units, zone))) } }
        }
        @if is_there && lot.keeping.verdict == Verdict::Past {
            p.next { a.main href=(format!("/lot/{code}/throw-away")) { "Throw it away" } }
        }
        @if let Some(told) = spoiled_part::of_lot(lot, zone) { p { b { (capital(&told)) } } }
        @for (address, job) in &jobs { p.next { a.main href=(address) { (capital(job)) } } }
        @for note in words::notes(lot, units, zone) { p { (draw::linked(&capital(&note))) } }
        @if is_there {
            div.keys {
                @for (end, words) in ACTS { a.key href=(format!("/lot/{code}/{end}")) { (words) } }
            }
            (facts(visit, lot))
        }
        (draw::answer_notes(&visit.notes_of(&answer)))
        h2 { "Its story" }
        (story)
        p.links {
            a href=(format!("/trace?lot={code}")) { "Trace it" }
            a href=(format!("/lot/{code}/moisture")) { "Why this moisture" }
            @if is_there { a href=(format!("/lot/{code}/ticket")) { "Ticket for the tub" } }
        }
    };
    Ok(Reply::Page(draw::page(visit, &code, &body)))
}

/// What the accepted plan does with it so that it keeps, as the shelf says it: the form that does it, and the words.
fn jobs(visit: &Visit, lot: &LotAnswer) -> anyhow::Result<Vec<(String, String)>> {
    let (units, zone) = (visit.units(), visit.zone());
    let jobs = visit.desk.to_preserve(&lot.lot)?;
    Ok(jobs
        .iter()
        .map(|one| {
            (
                address_of_work(
                    (one.work, one.lot),
                    one.wet,
                    one.places.first().map(String::as_str),
                ),
                job(one, lot, lot.as_of, units, zone),
            )
        })
        .collect())
}

fn facts(visit: &Visit, lot: &LotAnswer) -> Markup {
    let units = visit.units();
    let of = &lot.lot;
    let today = visit.zone().date(visit.now);
    html! {
        dl {
            dt { "Weight" }
            dd { b { (units.weighed(lot.wet)) } ", " (of.kind) " grain, " (of.form) }
            @if let Some((place, _)) = &lot.place { dt { "Place" } dd { (place) } }
            dt { "Dry grain" }
            dd { (units.dry_with_range(&lot.dry)) }
            dt { "Moisture" }
            dd { (numbers::estimate(&lot.estimate)) }
            dt { "From" }
            dd { @for source in &lot.sources { a href=(format!("/source/{}", in_address(source))) { (source) } ", " } "brewed " (crate::render::times::date(of.brewed_on(visit.desk.zone()), today)) }
            @if let Some(grist) = &of.grist { dt { "Grist" } dd { (grist) } }
        }
    }
}

/// The newest entries about it, the last one first.
const STORY: u32 = 20;

fn story(visit: &Visit, code: &str) -> anyhow::Result<Markup> {
    let answer = visit.desk.log(LogOf {
        about: Some(code),
        // One more tells whether there are older ones.
        last: Some(STORY + 1),
        ..LogOf::default()
    })?;
    let mut entries = Vec::new();
    for batch in answer.answer.entries() {
        entries.extend(batch?);
    }
    entries.reverse();
    let has_older = entries.len() > STORY as usize;
    entries.truncate(STORY as usize);
    Ok(html! {
        (draw::story(visit, &entries))
        @if has_older { p.links { a href=(format!("/book/log?about={code}")) { "Older entries, in the log of this lot" } } }
    })
}
