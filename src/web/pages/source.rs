//! A brewery: what its next lot is taken to be, whether it is steady, its newest lots.

use super::in_address;
use super::offered::breweries;
use crate::quantity::Milligrams;
use crate::render::{chart, numbers, source as words, source_chart, times};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::trouble::capital;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[
    Route::show("/book/sources", all),
    Route::show("/source/{source}", show),
];

fn all(visit: &mut Visit) -> anyhow::Result<Reply> {
    let names = breweries(visit)?;
    let body = html! {
        @if names.is_empty() { p.lead { "No grain came in yet." } }
        ul.list {
            @for name in &names {
                li { a href=(format!("/source/{}", in_address(name))) { (name) } }
            }
        }
    };
    Ok(Reply::Page(draw::page(visit, "Breweries", &body)))
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.source(visit.part("source"))?;
    let of = &answer.answer;
    let (units, zone) = (visit.units(), visit.zone());
    let charts = || of.grain.iter().filter_map(|grain| grain.chart.as_ref());
    let body = html! {
        @if of.lots.is_empty() { p.lead { "No lot came in from it yet." } }
        @if charts().any(|chart| !chart.lots.is_empty()) {
            (chart::hatches(["slanted", "lying", "dotted"]))
        }
        @for grain in &of.grain {
            p.lead { "The next lot, " b { (words::next(grain)) } }
            @if let Some(chart) = grain.chart.as_ref().filter(|chart| !chart.lots.is_empty()) {
                (source_chart::picture(chart))
            }
            @for line in words::steadiness(grain) { p { (capital(&line)) } }
        }
        @if !of.lots.is_empty() {
            h2 { "Its newest lots" }
            ul.list {
                @for one in &of.lots {
                    li {
                        a href=(format!("/lot/{}", one.lot.code)) { b { (one.lot.code) } }
                        ": " (one.lot.form) ", brewed " (times::date(one.lot.brewed_on(zone), zone.date(visit.now)))
                        br;
                        (numbers::estimate(&one.estimate))
                        @if one.wet > Milligrams::ZERO { "; " (units.weighed(one.wet)) " on hand" }
                    }
                }
            }
        }
        p.send { a.main href=(format!("/trace?source={}", in_address(&of.source))) { "Recall all of it" } }
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    let title = of.source.clone();
    Ok(Reply::Page(draw::page(visit, &title, &body)))
}
