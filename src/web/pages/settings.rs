//! Settings of the house and the names of sources.

use super::offered::breweries;
use crate::dough::house::Setting;
use crate::render;
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/book/settings", show),
    Route::form(
        "/book/settings/{setting}",
        Form {
            title: |visit| format!("Setting: {}", visit.part("setting")),
            show: set_form,
            act: set_act,
        },
    ),
    Route::form(
        "/book/sources/rename",
        Form {
            title: |_| "Call a brewery otherwise".to_owned(),
            show: rename_form,
            act: rename_act,
        },
    ),
    Route::form(
        "/book/sources/merge",
        Form {
            title: |_| "Two names are one brewery".to_owned(),
            show: merge_form,
            act: merge_act,
        },
    ),
];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let house = visit.desk.settings()?.answer;
    let units = visit.units();
    let body = html! {
        ul.list {
            @for setting in Setting::ALL {
                li {
                    a href=(format!("/book/settings/{}", setting.as_str())) {
                        b { (setting.as_str()) } ": "
                        (render::settings::value_or_not_told(&house, setting, units))
                    }
                    (setting.meaning())
                }
            }
        }
    };
    Ok(Reply::Page(draw::page(visit, "Settings", &body)))
}

fn setting(visit: &Visit) -> anyhow::Result<Setting> {
    Ok(visit.part("setting").parse()?)
}

fn set_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let setting = setting(visit)?;
    let house = visit.desk.settings()?.answer;
    let value = render::settings::value_or_not_told(&house, setting, visit.units());
    Ok(html! {
        p.lead { (setting.meaning()) ". Now: " b { (value) } }
        (draw::text(visit, "value", "From now on", ""))
        (draw::book(visit, "Set it"))
    })
}

fn set_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let setting = setting(visit)?;
    let Some(value) = visit.typed.reason("value", "the value") else {
        return Err(Faulty.into());
    };
    let set = visit.desk.settings()?.answer.set(setting, &value);
    if let Err(problem) = set {
        return Err(visit.typed.fault("value", &problem).into());
    }
    let answer = visit.desk.set(setting, &value)?;
    Ok(visit.booked(&answer))
}

fn sources(visit: &Visit) -> anyhow::Result<Vec<Choice>> {
    Ok(breweries(visit)?.into_iter().map(Choice::plain).collect())
}

fn rename_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let sources = sources(visit)?;
    Ok(html! {
        (draw::choices(visit, "source", "Brewery", &sources, ""))
        (draw::text(visit, "name", "How it is called from now on", ""))
        (draw::tick(visit, "new_source", "It is really another one, however alike its name is", false))
        p { "The letters in the codes of its lots stay." }
        (draw::book(visit, "Rename it"))
    })
}

fn rename_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let source = visit.typed.name("source", "the brewery");
    let name = visit.typed.name("name", "the new name");
    let (Some(source), Some(name)) = (source, name) else {
        return Err(Faulty.into());
    };
    let is_new = visit.typed.given("new_source").is_some();
    let answer = visit.desk.rename_source(&source, &name, is_new)?;
    Ok(visit.booked(&answer))
}

fn merge_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let sources = sources(visit)?;
    Ok(html! {
        (draw::choices(visit, "source", "This name", &sources, ""))
        (draw::choices(visit, "into", "is this brewery, by whose name both are called", &sources, ""))
        (draw::book(visit, "Make them one"))
    })
}

fn merge_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let source = visit.typed.name("source", "the brewery");
    let into = visit.typed.name("into", "the other brewery");
    let (Some(source), Some(into)) = (source, into) else {
        return Err(Faulty.into());
    };
    let answer = visit.desk.merge_source(&source, &into)?;
    Ok(visit.booked(&answer))
}
