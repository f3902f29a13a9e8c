//! Trace and recall: a lot or a bake both ways, or all of a brewery on some days; with the flow picture and the CSV.

use crate::desk::{Answer, RecallFilter, Refusal, Remedy, Trace};
use crate::quantity::{Problem, when};
use crate::render;
use crate::render::words::Lines;
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::route::Route;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[
    Route::show("/trace", show),
    Route::show("/trace.csv", csv),
    Route::show("/trace.svg", picture),
];

/// What is asked for: a lot or bake, or a recall.
fn find(visit: &Visit) -> anyhow::Result<Option<Answer<Trace<'_>>>> {
    let about = visit.asked("lot");
    if !about.is_empty() {
        return Ok(Some(visit.desk.trace(about)?));
    }
    let (source, from, to) = (
        visit.asked("source"),
        visit.asked("from"),
        visit.asked("to"),
    );
    if source.is_empty() && from.is_empty() {
        return Ok(None);
    }
    let day = |typed: &str| when::date(typed, visit.now, visit.zone());
    let between = match (from, to) {
        ("", _) => None,
        (from, "") => Some((day(from)?, day(from)?)),
        (from, to) => Some((day(from)?, day(to)?)),
    };
    if between.is_some_and(|(from, to)| from > to) {
        return Err(Problem::new(format!("{from} lies after {to}")).into());
    }
    Ok(Some(visit.desk.recall(&RecallFilter {
        grist: None,
        source: (!source.is_empty()).then(|| source.to_owned()),
        between,
    })?))
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let (found, trouble, nearest) = match find(visit) {
        Ok(found) => (found, None, Vec::new()),
        Err(error) => {
            let trouble = visit.trouble_of_look(&error);
            (None, Some(trouble), nearest(&error))
        }
    };
    let query = visit
        .address()
        .split_once('?')
        .map_or("", |(_, query)| query);
    let (units, now, zone) = (visit.units(), visit.now, visit.zone());
    let mut text = Vec::new();
    if let Some(found) = &found {
        let read_by = (units, now, zone);
        render::trace::text(&found.answer, Lines::Whole, read_by, &mut text)?;
    }
    let text = String::from_utf8(text)?;
    let mut sources = vec![Choice::new("", "any")];
    sources.extend(
        visit
            .desk
            .sources()?
            .answer
            .into_iter()
            .map(|source| Choice::plain(source.name)),
    );
    let has_picture = found.as_ref().is_some_and(|found| found.answer.has_balance)
        && !visit.asked("lot").is_empty();
    let body = html! {
        @if let Some(found) = &found {
            @if has_picture {
                p { img src=(format!("/trace.svg?{query}")) alt="Where the grain of this lot went; the same stands below in words"; }
            }
            (draw::lines(&text))
            @if !found.answer.path.is_empty() {
                h2 { (render::trace::HAPPENED) }
                (draw::story(visit, &found.answer.path))
            }
            p.send { a.main href=(format!("/trace.csv?{query}")) { "Download as CSV" } }
        }
        @for lot in &nearest { p { a.key href=(format!("/trace?lot={lot}")) { "Trace " (lot) } } }
        h2 { "Trace a lot or a bake" }
        form.search method="get" action="/trace" {
            (draw::text(visit, "lot", "Code", visit.asked("lot")))
            p.send { button type="submit" { "Trace it" } }
        }
        h2 { "Recall of a brewery" }
        form.search method="get" action="/trace" {
            (draw::choices(visit, "source", "Brewery", &sources, visit.asked("source")))
            div.field { label for="f-from" { "Brewed from" } input type="date" id="f-from" name="from" value=(visit.asked("from")); }
            div.field { label for="f-to" { "To" } input type="date" id="f-to" name="to" value=(visit.asked("to")); }
            p.send { button type="submit" { "Find all of it" } }
        }
        @if let Some(found) = &found { (draw::answer_notes(&visit.notes_of(found))) }
    };
    Ok(draw::asked(
        visit,
        "Trace and recall",
        &body,
        trouble.as_ref(),
    ))
}

/// The codes on hand that are nearest to a wrong one.
fn nearest(error: &anyhow::Error) -> Vec<String> {
    let remedies = Refusal::of(error).map(|refusal| refusal.remedies());
    let lots = remedies
        .into_iter()
        .flatten()
        .filter_map(|remedy| match remedy {
            Remedy::NearestLots(lots) => Some(lots),
            _ => None,
        });
    lots.flatten().collect()
}

fn csv(visit: &mut Visit) -> anyhow::Result<Reply> {
    let found = found(visit)?;
    let mut body = Vec::new();
    render::trace_csv::text(&found.answer, visit.zone(), &mut body)?;
    Ok(Reply::File {
        name: "trace.csv".to_owned(),
        kind: "text/csv; charset=utf-8",
        body,
    })
}

fn picture(visit: &mut Visit) -> anyhow::Result<Reply> {
    let found = found(visit)?;
    if !found.answer.has_balance {
        return Err(Problem::new("the picture is of the flow of one lot").into());
    }
    let picture = render::flow::svg(&found.answer, visit.units())?;
    Ok(Reply::Picture(picture))
}

fn found(visit: &Visit) -> anyhow::Result<Answer<Trace<'_>>> {
    find(visit)?.ok_or_else(|| Problem::new("no lot, bake or brewery is named").into())
}
