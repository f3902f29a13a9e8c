//! The plan: asked for, made in the background, looked at, accepted.

use super::offered::breweries;
use crate::desk::{PlanOf, Progress, Refusal};
use crate::quantity::Problem;
use crate::render::{self, plan_html};
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::plans::{self, Found, PlanJob, Search, State};
use crate::web::refused::Refused;
use crate::web::route::{Form, Right, Route};
use crate::web::visit::{Done, Stopped, Visit};
use maud::{Markup, html};
use std::sync::Arc;

pub const ROUTES: &[Route] = &[
    Route::form(
        "/plan",
        Form {
            title: |_| "Plan".to_owned(),
            show: ask_form,
            act: ask_act,
        },
    )
    .for_right(Right::Look),
    Route::form(
        "/plan/fetch",
        Form {
            title: |_| "How much to fetch".to_owned(),
            show: fetch_form,
            act: fetch_act,
        },
    )
    .for_right(Right::Look),
    Route::form(
        "/plan/advise",
        Form {
            title: |_| "Leave less grain over".to_owned(),
            show: advise_form,
            act: advise_act,
        },
    )
    .for_right(Right::Look),
    Route::show("/plan/{plan}", show),
    Route::form(
        "/plan/{plan}/stop",
        Form {
            title: |_| "Stop the search".to_owned(),
            show: stop_form,
            act: stop_act,
        },
    )
    .for_right(Right::Look),
    Route::form(
        "/plan/{plan}/accept",
        Form {
            title: |_| "Accept the plan".to_owned(),
            show: accept_form,
            act: accept_act,
        },
    ),
];

/// Days that are planned where nobody says how many, as on the command line.
const DAYS: u32 = 14;
/// The most that may be asked for here; the command line allows more.
const MOST_DAYS: u32 = 14;

fn ask_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let running = visit.shared.plans.running();
    Ok(html! {
        @if let Some(job) = running {
            p.lead { a href=(format!("/plan/{}", job.id)) { "A plan is being made: look how far it is" } }
        }
        div.keys {
            a.key href="/plan/fetch" { "How much to fetch" }
            a.key href="/plan/advise" { "Leave less over" }
        }
        p { "Which lot goes into which bake, what to freeze, dry or thaw and by when. Others can go on writing meanwhile." }
        (draw::count(visit, "days", "Days to plan, today counted", &DAYS.to_string(), "days"))
        (draw::tick(visit, "careful", "Careful: on the lower end of each lot's dry grain", false))
        (draw::tick(visit, "reopen", "As if nothing had been promised", false))
        p.send { button.main type="submit" { "Make a plan" } }
    })
}

fn ask_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let Some(days) = visit.typed.count_if("days") else {
        return Err(Faulty.into());
    };
    let days = days.unwrap_or(DAYS);
    if !(1..=MOST_DAYS).contains(&days) {
        let problem = Problem::new(format!("{days} days: 1 to {MOST_DAYS} can be planned"));
        return Err(visit.typed.fault("days", &problem).into());
    }
    let request = PlanOf {
        days,
        careful: visit.typed.given("careful").is_some(),
        reopen: visit.typed.given("reopen").is_some(),
    };
    begun(visit, Search::Plan(request))
}

fn fetch_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let mut sources = vec![Choice::new("", "where the last lot came from")];
    sources.extend(breweries(visit)?.into_iter().map(Choice::plain));
    Ok(html! {
        p { "How much wet grain to take next time, from the bakes that are planned, with what more or less of it would cost." }
        (draw::choices(visit, "from", "Brewery", &sources, ""))
        (draw::day_time(visit, "at", "When it is fetched; left empty for tomorrow at noon", ("", "")))
        p.send { button.main type="submit" { "Work it out" } }
    })
}

fn fetch_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let zone = visit.zone().clone();
    let at = match visit.typed.moment_words("at") {
        Some(_) => visit.typed.coming("at", visit.now, &zone),
        None => None,
    };
    visit.typed.all_read()?;
    // The search would refuse it too, on a page of its own without what was typed.
    if let Some(past) = at.filter(|at| *at < visit.now) {
        return Err(Refusal::PickupIsPast(past).into());
    }
    let from = visit.typed.given("from");
    begun(visit, Search::Fetch { from, at })
}

fn advise_form(_: &mut Visit) -> anyhow::Result<Markup> {
    Ok(html! {
        p { "Which bake to add, to make larger or to make of more lots, so that less grain is left over in the next two weeks. And which lot is worth a test." }
        p.send { button.main type="submit" { "Work it out" } }
    })
}

fn advise_act(visit: &mut Visit) -> anyhow::Result<Done> {
    begun(visit, Search::Advise)
}

fn begun(visit: &Visit, search: Search) -> anyhow::Result<Done> {
    let by = Some(visit.bench().to_owned());
    let job = plans::begin(&visit.shared, visit.now, by, search)?;
    Ok(Done::GoTo(format!("/plan/{}", job.id)))
}

fn job(visit: &Visit) -> anyhow::Result<Arc<PlanJob>> {
    let found = visit.shared.plans.of(visit.part("plan"));
    found.ok_or_else(|| {
        let problem = Problem::new("this plan is not kept any more: ask for it again");
        problem.into()
    })
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let job = job(visit)?;
    let state = job.state();
    let seconds = (visit.now - job.asked_at).num_seconds().max(0);
    match &*state {
        State::Running(progress) => {
            let words = match progress {
                Some(Progress::Plan(aim)) => {
                    format!(
                        "looking for {seconds} s, now at: {}",
                        render::plan::aim(*aim)
                    )
                }
                Some(Progress::Fetch { samples, .. }) => {
                    format!("looking for {seconds} s, {samples} samples of each amount")
                }
                Some(Progress::Advise { looked_at, all }) => {
                    format!("looking for {seconds} s, {looked_at} of {all} changes")
                }
                Some(Progress::Tests { looked_at, all }) => {
                    format!(
                        "looking for {seconds} s, {looked_at} of {all} moistures that a test may show"
                    )
                }
                None => "it begins".to_owned(),
            };
            let body = html! {
                p.lead role="status" { "It is being worked out: " (words) "." }
                p { "This page looks again by itself." }
                p.send { a.main href=(format!("/plan/{}/stop", job.id)) { "Stop and take the best so far" } }
            };
            Ok(Reply::Waiting(draw::page(visit, "Plan", &body)))
        }
        State::Made(found) => Ok(Reply::Page(made(visit, &job.id, found))),
        State::Failed(error) => {
            let trouble = visit.trouble(error);
            Ok(Reply::Page(draw::refusal(visit, &trouble)))
        }
    }
}

fn made(visit: &Visit, id: &str, found: &Found) -> Markup {
    let (units, zone) = (visit.units(), visit.zone());
    match found {
        Found::Plan(answer) => {
            let body = html! {
                div.plan { (plan_html::inside(&answer.answer, zone, units)) }
                (draw::answer_notes(&visit.notes_of(answer)))
                p.send { a.main href=(format!("/plan/{id}/accept")) { "Accept it" } }
                p { a href="/plan" { "Ask for another" } }
            };
            draw::page(visit, "Plan", &body)
        }
        Found::Fetch(answer) => {
            let told = render::fetch::without_commands(&answer.answer, units, zone);
            let body = html! {
                (draw::lines(&told.above))
                (amounts(&told.amounts))
                (draw::lines(&told.below))
                (draw::answer_notes(&visit.notes_of(answer)))
            };
            draw::page(visit, "How much to fetch", &body)
        }
        Found::Advise(answer) => {
            let body = html! {
                (draw::lines(&render::advise::without_commands(&answer.answer, units, zone)))
                p.send { a.main href="/bakes" { "Bakes: change one, or plan another" } }
                (draw::answer_notes(&visit.notes_of(answer)))
            };
            draw::page(visit, "Less left over", &body)
        }
    }
}

/// What each amount comes to. Set as a table its labels and figures break within their cells: lines of text broke anywhere.
fn amounts(rows: &[Vec<String>]) -> Markup {
    html! {
        @if let Some((headings, figures)) = rows.split_first() {
            table.amounts {
                caption { (render::fetch::AMOUNTS) }
                thead { tr { @for heading in headings { th scope="col" { (heading) } } } }
                tbody {
                    @for row in figures {
                        tr {
                            @if let Some((label, cells)) = row.split_first() {
                                th.part[label.starts_with(' ')] scope="row" { (label.trim_start()) }
                                @for cell in cells { td { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn stop_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    job(visit)?;
    Ok(html! {
        p { "The best plan so far is the answer, and it says that it was stopped." }
        p.send { button.main type="submit" { "Stop" } }
    })
}

fn stop_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let job = job(visit)?;
    job.stop();
    Ok(Done::GoTo(format!("/plan/{}", job.id)))
}

fn accept_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    job(visit)?;
    Ok(html! {
        p { "Its grain is promised to its bakes, in place of what was promised before. Today then says what is due." }
        (draw::book(visit, "Accept it"))
    })
}

fn accept_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let job = job(visit)?;
    let answer = match &*job.state() {
        State::Made(found) => match found.as_ref() {
            Found::Plan(answer) => Some(answer.clone()),
            Found::Fetch(_) | Found::Advise(_) => None,
        },
        State::Running(_) | State::Failed(_) => None,
    };
    let Some(mut answer) = answer else {
        return Err(Stopped(Refused::NoPage).into());
    };
    visit.desk.accept_plan(&mut answer.answer)?;
    Ok(visit.booked(&answer))
}
