//! The report on a period: the same answers, pictures and tables as `draff report`, and its files to keep.

use crate::desk::Answer;
use crate::quantity::{Period, Problem, period::Named};
use crate::render::report::{self as reports, table::Reader};
use crate::report::period::PeriodReport;
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::visit::Visit;
use chrono::{Months, NaiveDate};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/book/report", show),
    Route::show("/book/report.html", page),
    Route::show("/book/report.xlsx", spreadsheet),
    Route::show("/book/report.csv", csv),
];

/// The parts of an address that name a period.
const PARTS: [&str; 4] = ["month", "season", "from", "to"];
/// What asks for the whole book; an address that names no period is of this month.
const WHOLE: &str = "whole";

fn asked(visit: &Visit) -> anyhow::Result<Answer<PeriodReport>> {
    let [month, season, from, to] = PARTS.map(|part| visit.asked(part));
    let this_month = written(today(visit));
    let is_named = [month, season, from, to, visit.asked(WHOLE)]
        .iter()
        .any(|part| !part.is_empty());
    let month = if is_named { month } else { &this_month };
    let some = |text| Some(text).filter(|text: &&str| !text.is_empty());
    let named = Named {
        mark: "",
        month: some(month),
        season: some(season),
        from: some(from),
        to: some(to),
    };
    let (now, zone) = (visit.now, visit.zone());
    visit
        .desk
        .report(Period::named(named, now, zone)?.begun(now, zone)?)
}

fn reader(visit: &Visit) -> Reader<'_> {
    Reader {
        units: visit.units(),
        now: visit.now,
        zone: visit.zone(),
        is_on_page: true,
    }
}

fn today(visit: &Visit) -> NaiveDate {
    visit.zone().date(visit.now)
}

fn written(day: NaiveDate) -> String {
    day.format("%Y-%m").to_string()
}

/// The same period for another address.
fn query(visit: &Visit) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for part in PARTS.into_iter().chain([WHOLE]) {
        let typed = visit.asked(part);
        if !typed.is_empty() {
            query.append_pair(part, typed);
        }
    }
    query.finish()
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = asked(visit)?;
    let (report, reader) = (&answer.answer, reader(visit));
    let body = html! {
        p.lead { b { (reports::heading(report, reader)) } }
        p { (report.book) ", " (reports::days_of(report, reader.zone)) }
        (periods(visit))
        (files(visit, report))
        (reports::questions(report, reader))
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    Ok(Reply::Page(draw::page(visit, "Report", &body)))
}

/// Periods to choose from.
fn periods(visit: &Visit) -> Markup {
    let day = today(visit);
    let before = |months| written(day - Months::new(months));
    let ready = [
        ("This month", format!("month={}", written(day))),
        ("Last month", format!("month={}", before(1))),
        ("This season", format!("season={}", written(day))),
        ("Last season", format!("season={}", before(3))),
        ("Whole book", format!("{WHOLE}=1")),
    ];
    let field = |name: &str, words: &str, kind: &str, hint: &str| {
        html! {
            div.field {
                label for=(format!("f-{name}")) { (words) }
                input type=(kind) id=(format!("f-{name}")) name=(name) value=(visit.asked(name)) placeholder=(hint) autocomplete="off";
            }
        }
    };
    html! {
        div.keys { @for (words, query) in &ready { a.key href=(format!("/book/report?{query}")) { (words) } } }
        details {
            summary { "Another period" }
            form.search method="get" action="/book/report" {
                (field("month", "Month", "month", "2026-11"))
                p.send { button type="submit" { "Report on this month" } }
            }
            form.search method="get" action="/book/report" {
                (field("season", "The season of this month", "month", "2026-11"))
                p.send { button type="submit" { "Report on this season" } }
            }
            form.search method="get" action="/book/report" {
                (field("from", "From", "date", "2026-11-01"))
                (field("to", "To", "date", "2026-11-30"))
                p.send { button type="submit" { "Report on these days" } }
            }
        }
    }
}

/// The same as files.
fn files(visit: &Visit, report: &PeriodReport) -> Markup {
    let query = query(visit);
    let sections = reports::sections(report, reader(visit));
    html! {
        details {
            summary { "Download" }
            p { a.main href=(format!("/book/report.html?{query}")) { "Page to show or print" } }
            p { a.main href=(format!("/book/report.xlsx?{query}")) { "Spreadsheet" } }
            ul.list {
                @for table in sections.iter().flat_map(|section| &section.tables) {
                    li { a href=(format!("/book/report.csv?table={}&{query}", table.key)) { (table.title) ", CSV" } }
                }
            }
        }
    }
}

fn page(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = asked(visit)?;
    let page = reports::page(&answer.answer, reader(visit), &answer.cautions);
    Ok(Reply::File {
        name: "report.html".to_owned(),
        kind: "text/html; charset=utf-8",
        body: page.into_bytes(),
    })
}

fn spreadsheet(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = asked(visit)?;
    Ok(Reply::File {
        name: "report.xlsx".to_owned(),
        kind: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        body: reports::xlsx(&answer.answer, reader(visit))?,
    })
}

fn csv(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = asked(visit)?;
    let name = format!("{}.csv", visit.asked("table"));
    let files = reports::csv(&answer.answer, reader(visit))?;
    let names = files.iter().map(|(name, _)| name.trim_end_matches(".csv"));
    let names: Vec<&str> = names.collect();
    let Some((_, text)) = files.iter().find(|(known, _)| *known == name) else {
        let hint = format!("there are {}", names.join(", "));
        return Err(Problem::new("no table of this name").hint(hint).into());
    };
    Ok(Reply::File {
        name,
        kind: "text/csv; charset=utf-8",
        body: text.clone().into_bytes(),
    })
}
