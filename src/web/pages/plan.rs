//! The plan: asked for, made in the background, looked at, accepted.

use crate::desk::{PlanOf, Progress};
use crate::quantity::Problem;
use crate::render::{self, plan_html};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::fields::Faulty;
use crate::web::plans::{self, PlanJob, State};
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

/// Days that are planned where nobody says how many.
const DAYS: u32 = 7;
/// The most that may be asked for here; the command line allows more.
const MOST_DAYS: u32 = 14;

fn ask_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let running = visit.house.plans.running();
    Ok(html! {
        @if let Some(job) = running {
            p.lead { a href=(format!("/plan/{}", job.id)) { "A plan is being made: look how far it is" } }
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
    let by = Some(visit.bench().to_owned());
    let job = plans::begin(&visit.house, visit.now, by, request)?;
    Ok(Done::GoTo(format!("/plan/{}", job.id)))
}

fn job(visit: &Visit) -> anyhow::Result<Arc<PlanJob>> {
    let found = visit.house.plans.of(visit.part("plan"));
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
                _ => "it begins".to_owned(),
            };
            let body = html! {
                p.lead role="status" { "The plan is being made: " (words) "." }
                p { "This page looks again by itself." }
                p.send { a.main href=(format!("/plan/{}/stop", job.id)) { "Stop and take the best so far" } }
            };
            Ok(Reply::Waiting(draw::page(visit, "Plan", &body)))
        }
        State::Made(answer) => {
            let body = html! {
                div.plan { (plan_html::inside(&answer.answer, visit.zone(), visit.units())) }
                (draw::told(&visit.words_of(answer)))
                p.send { a.main href=(format!("/plan/{}/accept", job.id)) { "Accept it" } }
                p { a href="/plan" { "Ask for another" } }
            };
            Ok(Reply::Page(draw::page(visit, "Plan", &body)))
        }
        State::Failed(error) => {
            let trouble = visit.trouble(error);
            Ok(Reply::Page(draw::refusal(visit, &trouble)))
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
        State::Made(answer) => answer.clone(),
        State::Running(_) | State::Failed(_) => return Err(Stopped(Refused::NoPage).into()),
    };
    let mut answer = *answer;
    visit.desk.accept_plan(&mut answer.answer)?;
    Ok(visit.booked(&answer))
}
