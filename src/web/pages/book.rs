//! The book: usage with its CSV, the log, the places, and the way to all else.

use crate::desk::{LogOf, UsageOf};
use crate::ledger::{EntryKind, EntryRecord};
use crate::quantity::Problem;
use crate::render::{csv, log, times};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::trouble::capital;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[
    Route::show("/book", show),
    Route::show("/book/usage", usage),
    Route::show("/book/usage.csv", usage_csv),
    Route::show("/book/log", entries),
];

/// Entries that the log shows where nobody says how many, and lines of usage.
const LAST: u32 = 100;
/// The most that the log shows on one page; the command line shows all.
const MOST: u32 = 1_000;

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let about = visit.desk.about();
    let body = html! {
        p.lead { b { (about.name) } ", " (about.zone.name()) ", rule set " (about.rules.name) }
        div.keys {
            a.key href="/book/report" { "Report" }
            a.key href="/book/usage" { "Usage" }
            a.key href="/book/log" { "Log" }
            a.key href="/trace" { "Trace and recall" }
            a.key href="/dough" { "Dough" }
            a.key href="/book/places" { "Places" }
            a.key href="/book/formulas" { "Formulas" }
            a.key href="/book/settings" { "Settings" }
            a.key href="/book/sources" { "Breweries" }
            a.key href="/book/sources/rename" { "Rename a brewery" }
            a.key href="/book/sources/merge" { "Join two breweries" }
            a.key href="/book/check" { "Check and copy" }
            a.key href="/devices" { "Devices" }
        }
    };
    Ok(Reply::Page(draw::page(visit, "Book", &body)))
}

fn usage(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.usage(UsageOf::default())?;
    let mut lines = answer.answer.lines().all()?;
    let all = lines.len();
    lines.reverse();
    lines.truncate(LAST as usize);
    let (units, now, zone) = (visit.units(), visit.now, visit.zone());
    let body = html! {
        p.send { a.main href="/book/usage.csv" { "Download as CSV" } }
        ul.list {
            @for line in &lines {
                li {
                    (times::moment(line.record.at, now, zone)) ": "
                    b { (units.weighed(line.record.wet)) } " of "
                    a.whole href=(format!("/lot/{}", line.record.lot.code)) { (line.record.lot.code) }
                    ", " (line.kind())
                    @if let Some(words) = line.bake().or(line.note()) { ", " (words) }
                }
            }
        }
        @if all > lines.len() { p { "The newest " (lines.len()) " of " (all) ". The CSV holds all of them." } }
        @if lines.is_empty() { p.lead { "Nothing was taken yet." } }
    };
    Ok(Reply::Page(draw::page(visit, "Usage", &body)))
}

fn usage_csv(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.usage(UsageOf::default())?;
    let mut body = Vec::new();
    csv::usage(&answer.answer, visit.zone(), &mut body)?;
    Ok(Reply::File {
        name: "usage.csv".to_owned(),
        kind: "text/csv; charset=utf-8",
        body,
    })
}

/// The newest entries of those that are asked for, the newest first.
fn found(visit: &Visit) -> anyhow::Result<Vec<EntryRecord>> {
    let about = visit.asked("about");
    let kind = match visit.asked("kind") {
        "" => None,
        kind => Some(kind.parse::<EntryKind>()?),
    };
    let last = match visit.asked("last") {
        "" => LAST,
        last => last
            .parse()
            .map_err(|_| Problem::new(format!("`{last}` is no number of entries")))?,
    };
    let answer = visit.desk.log(LogOf {
        about: (!about.is_empty()).then_some(about),
        kind,
        last: Some(last.min(MOST)),
    })?;
    let mut entries = answer.answer.entries().all()?;
    entries.reverse();
    Ok(entries)
}

fn entries(visit: &mut Visit) -> anyhow::Result<Reply> {
    let (entries, trouble) = match found(visit) {
        Ok(entries) => (entries, None),
        Err(error) => (Vec::new(), Some(visit.trouble_of_look(&error))),
    };
    let last = match visit.asked("last") {
        "" => LAST.to_string(),
        last => last.to_owned(),
    };
    let (units, now, zone) = (visit.units(), visit.now, visit.zone());
    let body = html! {
        form.search method="get" action="/book/log" {
            label for="f-about" { "Only about this lot or bake" }
            input type="text" id="f-about" name="about" autocomplete="off" value=(visit.asked("about"));
            label for="f-kind" { "Only of this kind" }
            select id="f-kind" name="kind" {
                option value="" { "all kinds" }
                @for one in EntryKind::ALL {
                    option value=(one.as_str()) selected[one.as_str() == visit.asked("kind")] { (one.as_str()) }
                }
            }
            label for="f-last" { "The last so many, at most " (MOST) }
            div.measure {
                input type="text" inputmode="numeric" id="f-last" name="last" autocomplete="off" value=(last);
                button type="submit" { "Show" }
            }
        }
        @if entries.is_empty() && trouble.is_none() { p.lead { "There are no such entries." } }
        ol.story {
            @for entry in &entries {
                li.struck[!entry.says_something_in_force()] {
                    a href=(format!("/entry/{}", entry.entry)) {
                        b { (entry.entry) } " " (capital(entry.kind.as_str())) ", " (times::moment(entry.at, now, zone))
                    }
                    " "
                    @if let Some(lot) = entry.lot { (draw::with_whole_codes(&lot.to_string())) " " }
                    (log::what(entry, units, now, zone))
                }
            }
        }
    };
    Ok(draw::asked(visit, "Log", &body, trouble.as_ref()))
}
