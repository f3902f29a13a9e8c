//! Grain in: the last pickup of that brewery comes filled in; its grist is confirmed by a tap.

use super::offered::breweries;
use crate::desk::{Desk, LastPickup, Refusal};
use crate::keeping::PlaceKind;
use crate::quantity::Problem;
use crate::rows::pickup::{self as rows, Bench, PickupRow, Wrong};
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::fields::{Faulty, Typed, number};
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/grain-in", choose),
    Route::form(
        "/grain-in/from",
        Form {
            title: |_| "Grain in".to_owned(),
            show,
            act,
        },
    ),
];

fn choose(visit: &mut Visit) -> anyhow::Result<Reply> {
    let sources = breweries(visit)?;
    let body = html! {
        p.lead { "Which brewery is it from?" }
        div.keys {
            @for source in &sources {
                a.key href=(address_of(source)) { (source) }
            }
            a.key href="/grain-in/from" { "Another brewery" }
            a.key href="/grain-in/file" { "From a file" }
        }
    };
    Ok(Reply::Page(draw::page(visit, "Grain in", &body)))
}

fn address_of(source: &str) -> String {
    let query: String = form_urlencoded::byte_serialize(source.as_bytes()).collect();
    format!("/grain-in/from?source={query}")
}

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let source = visit.asked("source").to_owned();
    let last = last(visit, &source)?;
    let (grist, place) = match &last {
        Some(last) => (
            last.lot.grist.clone().unwrap_or_default(),
            last.place.clone(),
        ),
        None => (String::new(), "fridge".to_owned()),
    };
    let places = places(&visit.desk, visit)?;
    let today = visit.zone().date(visit.now).to_string();
    Ok(html! {
        @if source.is_empty() {
            (draw::text(visit, "source", "Brewery", ""))
            (draw::tick(visit, "new_source", "It is really a new one, however alike its name is", false))
        } @else {
            input type="hidden" name="source" value=(source);
            p.lead { b { (source) } }
        }
        (draw::day_time(visit, "mash_out", "Mashing was over", (&today, "")))
        (draw::mass(visit, "wet", "Weight of the wet grain", "", "kg"))
        (draw::temperature(visit, "temp", "Temperature in the middle"))
        @if grist.is_empty() {
            (draw::text(visit, "grist", "Grist: what was mashed, such as pale barley malt 80%, wheat malt 20%", ""))
        } @else {
            fieldset {
                legend { "Grist: it carries the allergens" }
                input type="hidden" name="last_grist" value=(grist);
                (draw::tick(visit, "same_grist", &format!("As last time: {grist}"), false))
                (draw::text(visit, "grist", "Or another grist", ""))
            }
        }
        (draw::choices(visit, "place", "Where it stands", &places, &place))
        details open[visit.typed.is_sent()] {
            summary { "More" }
            (draw::day_time(visit, "collected", "Fetched, if not now", ("", "")))
            (draw::day_time(visit, "brewed", "Brew day, if not that of the mash-out", ("", "")))
            (draw::text(visit, "note", "Note", ""))
        }
        (draw::book(visit, "Book it in"))
    })
}

/// The last pickup of a source; nothing where there was none, or no source is named.
fn last(visit: &Visit, source: &str) -> anyhow::Result<Option<LastPickup>> {
    if source.is_empty() {
        return Ok(None);
    }
    match visit.desk.last_pickup(Some(source)) {
        Ok(last) => Ok(Some(last.answer)),
        Err(error) => match Refusal::of(&error) {
            Some(Refusal::NoPickupYet(_)) => Ok(None),
            _ => Err(error),
        },
    }
}

fn places(desk: &Desk, visit: &Visit) -> anyhow::Result<Vec<Choice>> {
    let places = desk.places()?.answer;
    Ok(places
        .iter()
        .filter(|place| !place.is_closed())
        .filter(|place| place.setting_at(visit.now).kind != PlaceKind::DryStore)
        .map(|place| Choice::plain(place.name.clone()))
        .collect())
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    if visit.typed.given("wet").is_none() {
        let problem = Problem::new("the weight is missing");
        visit.typed.fault("wet", &problem);
    }
    let wet = measure(&mut visit.typed, "wet");
    let mut temp = measure(&mut visit.typed, "temp");
    if visit.typed.given("temp_below").is_some() && !temp.is_empty() && !temp.starts_with('-') {
        temp.insert(0, '-');
    }
    let given = |field: &str| visit.typed.given(field);
    let moment = |field: &str| visit.typed.moment_words(field).unwrap_or_default();
    let text = |field: &str| given(field).unwrap_or_default();
    // A day without a time says nothing of when mashing was over.
    let mash_out = match given("mash_out_time") {
        Some(_) => moment("mash_out"),
        None => String::new(),
    };
    let brewed = given("brewed_day").or(given("mash_out_day"));
    let same_grist = given("same_grist").map(|_| text("last_grist"));
    let grist = given("grist").or(same_grist);
    let is_unconfirmed = given("last_grist").is_some() && grist.is_none();
    let cells = [
        text("source"),
        brewed.unwrap_or_else(|| "today".to_owned()),
        mash_out,
        wet,
        moment("collected"),
        temp,
        String::new(),
        String::new(),
        grist.unwrap_or_default(),
        String::new(),
        text("place"),
        text("note"),
    ];
    if is_unconfirmed {
        let problem = Problem::new("say whether it is the grist of last time, or type another");
        visit.typed.fault("same_grist", &problem);
    }
    let row = PickupRow::from_columns(|column| &cells[column]);
    let places = visit.desk.places()?.answer;
    let bench = Bench {
        now: visit.moment(),
        zone: visit.desk.zone(),
        places: &places,
        by: Some(visit.bench()),
        in_file: false,
        add_place: |name| format!("{name} is no place of the book"),
        open_place: |name| format!("{name} takes no grain until it is opened again"),
    };
    let checked = match rows::check(&row, &bench) {
        Ok(checked) => checked,
        Err(wrong) => {
            for Wrong {
                column, problem, ..
            } in &wrong
            {
                // What is asked back of a number already is all that is wrong with it.
                if visit.typed.fault_of(column).is_none() {
                    visit.typed.fault(column, problem);
                }
            }
            return Err(Faulty.into());
        }
    };
    visit.typed.all_read()?;
    let is_new = visit.typed.given("new_source").is_some();
    let answer = visit.desk.pickup(&checked.as_new(is_new))?;
    Ok(visit.booked(&answer))
}

/// A number with its unit as the check reads it; empty where none is given or it is not understood.
fn measure(typed: &mut Typed, field: &str) -> String {
    let Some(text) = typed.given(field) else {
        return String::new();
    };
    let unit = typed.hidden(&format!("{field}_unit")).to_owned();
    number(&text, &unit).unwrap_or_else(|problem| {
        typed.fault(field, &problem);
        String::new()
    })
}
