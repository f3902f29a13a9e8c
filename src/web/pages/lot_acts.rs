//! What is done with a lot, a form for each act.

mod moves;

pub(super) use moves::places;

use crate::desk::{Count, Discard, Found, Give, Probe, UseGrain};
use crate::grain::Ending;
use crate::keeping::{Advice, Verdict};
use crate::quantity::text::trimmed;
use crate::quantity::{Instant, Problem, WaterActivity};
use crate::render::{lot as lot_words, times};
use crate::report::LotAnswer;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::trouble::capital;
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::form(
        "/lot/{lot}/use",
        Form {
            title: |visit| format!("Use {}", visit.part("lot")),
            show: use_form,
            act: use_act,
        },
    ),
    Route::form(
        "/lot/{lot}/temperature",
        Form {
            title: |visit| format!("Temperature of {}", visit.part("lot")),
            show: temperature_form,
            act: temperature_act,
        },
    ),
    Route::form(
        "/lot/{lot}/cooled",
        Form {
            title: |visit| format!("When was {} cold?", visit.part("lot")),
            show: cooled_form,
            act: cooled_act,
        },
    ),
    Route::form(
        "/lot/{lot}/activity",
        Form {
            title: |visit| format!("Water activity of {}", visit.part("lot")),
            show: activity_form,
            act: activity_act,
        },
    ),
    Route::form(
        "/lot/{lot}/spoiled",
        Form {
            title: |visit| format!("{} is spoiled", visit.part("lot")),
            show: spoiled_form,
            act: spoiled_act,
        },
    ),
    Route::form(
        "/lot/{lot}/move",
        Form {
            title: |visit| format!("Move {}", visit.part("lot")),
            show: moves::move_form,
            act: moves::move_act,
        },
    ),
    Route::form(
        "/lot/{lot}/freeze",
        Form {
            title: |visit| format!("Freeze {}", visit.part("lot")),
            show: moves::freeze_form,
            act: moves::move_act,
        },
    ),
    Route::form(
        "/lot/{lot}/thaw",
        Form {
            title: |visit| format!("Thaw {}", visit.part("lot")),
            show: moves::thaw_form,
            act: moves::move_act,
        },
    ),
    Route::form(
        "/lot/{lot}/throw-away",
        Form {
            title: |visit| format!("Throw {} away", visit.part("lot")),
            show: discard_form,
            act: discard_act,
        },
    ),
    Route::form(
        "/lot/{lot}/give",
        Form {
            title: |visit| format!("Hand {} over as food", visit.part("lot")),
            show: give_form,
            act: give_act,
        },
    ),
    Route::form(
        "/lot/{lot}/count",
        Form {
            title: |visit| format!("Weigh what is left of {}", visit.part("lot")),
            show: count_form,
            act: count_act,
        },
    ),
];

/// The lot in the address as it stands.
pub(super) fn lot(visit: &Visit) -> anyhow::Result<LotAnswer> {
    Ok(visit.desk.lot(visit.part("lot"))?.answer)
}

/// One line that says which tub it is.
pub(super) fn heading(visit: &Visit, lot: &LotAnswer) -> Markup {
    let units = visit.units();
    html! {
        p.lead {
            b { (units.weighed(lot.wet)) } " "
            @if let Some((place, _)) = &lot.place { "in " (place) " " }
            "from " (crate::render::words::together(&lot.sources)) " " (draw::verdict(lot))
        }
    }
}

/// When it happened, folded away: usually it is now.
pub(super) fn when(visit: &Visit) -> Markup {
    let is_open = visit.typed.moment_words("at").is_some() || visit.typed.fault_of("at").is_some();
    html! {
        details open[is_open] {
            summary { "Not now" }
            (draw::day_time(visit, "at", "When it was", ("", "")))
        }
    }
}

pub(super) fn at(visit: &mut Visit) -> Option<Instant> {
    let zone = visit.zone().clone();
    let moment = visit.moment();
    visit.typed.moment_or_now("at", moment, &zone)
}

/// The unit in which the weight of a lot is shown: a number as it stands there is typed with no other.
pub(super) fn usual(visit: &Visit, lot: &LotAnswer) -> &'static str {
    visit.units().weighed_unit(lot.wet)
}

/// The weight that a link asks for, with its unit: a link names grams.
pub(super) fn asked_wet(visit: &Visit, lot: &LotAnswer) -> (String, &'static str) {
    match (visit.asked("wet").parse::<f64>(), usual(visit, lot)) {
        (Ok(grams), "kg") => (trimmed(grams / 1000.0, 6), "kg"),
        (Ok(grams), _) => (trimmed(grams, 3), "g"),
        (Err(_), unit) => (String::new(), unit),
    }
}

/// A weight that may be left out for all that is left.
fn wet_or_all(visit: &Visit, lot: &LotAnswer) -> Markup {
    let (asked, unit) = asked_wet(visit, lot);
    let label = "Weight; left empty for all of it";
    draw::mass(visit, "wet", label, &asked, unit)
}

fn use_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let bakes = visit.desk.bakes(false)?.answer;
    Ok(html! {
        (heading(visit, &lot))
        @if lot.keeping.verdict.may_be_used() && !bakes.is_empty() {
            p { "The grain of a planned bake is booked with that bake. Its form names the lots of its sheet, perhaps other ones:" }
            @for bake in &bakes {
                p { a href=(format!("/bake/{}/done", bake.bake.code)) { "The form of " (bake.bake.code) " " (bake.bake.setting.formula.name) } }
            }
        }
        (draw::mass(visit, "wet", "Weight", "", usual(visit, &lot)))
        (draw::text(visit, "bake", "What for", ""))
        (when(visit))
        (draw::book(visit, "Book the use"))
    })
}

fn use_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let wet = visit.typed.mass("wet");
    let bake = visit.typed.name("bake", "what it is for");
    let (Some(wet), Some(bake), Some(at)) = (wet, bake, at(visit)) else {
        return Err(Faulty.into());
    };
    let answer = visit.desk.use_grain(&UseGrain {
        draws: &[(code(visit), wet)],
        bake: &bake,
        at,
    })?;
    Ok(visit.booked(&answer))
}

fn code(visit: &Visit) -> String {
    visit.part("lot").to_owned()
}

fn probe(visit: &mut Visit, found: Found<'_>, at: Instant) -> anyhow::Result<Done> {
    let lot = code(visit);
    let answer = visit.desk.probe(&Probe {
        lot: &lot,
        found,
        at,
    })?;
    Ok(visit.booked(&answer))
}

fn temperature_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let (units, zone) = (visit.units(), visit.zone());
    Ok(html! {
        (heading(visit, &lot))
        @if let Some(advice) = &lot.keeping.advice {
            p { (capital(&lot_words::advice_to_do(advice, lot.as_of, units, zone))) }
        }
        (seen_cold(&lot))
        (draw::temperature(visit, "temp", "In the middle of the grain"))
        (when(visit))
        (draw::book(visit, "Book the temperature"))
    })
}

/// The way to the word of somebody who watched it cool, where the keeping clock asks for one.
fn seen_cold(lot: &LotAnswer) -> Markup {
    let is_asked = matches!(
        lot.keeping.advice,
        Some(
            Advice::AskWhenCooled {
                is_refuted: false,
                ..
            } | Advice::AskWhetherColdBefore { is_said: false, .. }
        )
    );
    html! {
        @if is_asked {
            p { a href=(format!("/lot/{}/cooled", lot.lot.code)) { "Somebody watched it cool: book that word" } }
        }
    }
}

fn temperature_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let (Some(temperature), Some(at)) = (visit.typed.temperature("temp"), at(visit)) else {
        return Err(Faulty.into());
    };
    probe(visit, Found::Temperature(temperature), at)
}

fn cooled_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let bench = visit.bench().to_owned();
    let limit = visit.desk.about().rules.cold.limit;
    let cold = visit.units().temperature(limit.in_celsius());
    Ok(html! {
        (heading(visit, &lot))
        p { "Somebody's word: all of it was at " (cold) " or colder by then, and was kept so." }
        @if let Some(Advice::AskWhenCooled { by, .. } | Advice::AskWhetherColdBefore { by, .. }) = &lot.keeping.advice {
            p { "It had to be by " b { (times::moment(*by, visit.now, visit.zone())) } "." }
        }
        (draw::day_time(visit, "at", "Cold since", ("", "")))
        (draw::text(visit, "said_by", "Whose word is it?", &bench))
        (draw::book(visit, "Book the word"))
    })
}

fn cooled_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let said_by = visit.typed.name("said_by", "the name");
    let zone = visit.zone().clone();
    let at = visit.typed.past_if("at", visit.now, &zone);
    if at == Some(None) {
        let problem = Problem::new("the time is missing");
        return Err(visit.typed.fault("at", &problem).into());
    }
    let (Some(said_by), Some(Some(at))) = (said_by, at) else {
        return Err(Faulty.into());
    };
    probe(visit, Found::Cooled(&said_by), at)
}

fn activity_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    Ok(html! {
        (heading(visit, &lot))
        (draw::count(visit, "activity", "Measured water activity", "", "0 to 1"))
        (when(visit))
        (draw::book(visit, "Book the water activity"))
    })
}

fn activity_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let activity = visit.typed.value_if::<WaterActivity>("activity", "");
    if activity == Some(None) {
        let problem = Problem::new("the water activity is missing");
        return Err(visit.typed.fault("activity", &problem).into());
    }
    let (Some(Some(activity)), Some(at)) = (activity, at(visit)) else {
        return Err(Faulty.into());
    };
    probe(visit, Found::Activity(activity), at)
}

fn spoiled_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    Ok(html! {
        (heading(visit, &lot))
        p { "Mould, a sour smell, gas: it is past from then on, whatever the clock says." }
        (draw::text(visit, "found", "What was found", ""))
        (when(visit))
        (draw::book(visit, "Book it as spoiled"))
    })
}

fn spoiled_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let (Some(found), Some(at)) = (visit.typed.reason("found", "what was found"), at(visit)) else {
        return Err(Faulty.into());
    };
    probe(visit, Found::Spoiled(&found), at)
}

fn discard_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    let why = match lot.keeping.verdict {
        Verdict::Past => "past",
        Verdict::Unknown => "unknown",
        Verdict::Good | Verdict::UseFirst => "",
    };
    let endings = Ending::ALL.map(|ending| Choice::plain(ending.as_str()));
    let mut choices = vec![Choice::new("", "not said")];
    choices.extend(endings);
    Ok(html! {
        (heading(visit, &lot))
        (seen_cold(&lot))
        (draw::text(visit, "reason", "Why", why))
        (wet_or_all(visit, &lot))
        (draw::choices(visit, "ending", "How it ends", &choices, ""))
        (when(visit))
        (draw::book(visit, "Throw it away"))
    })
}

fn discard_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let reason = visit.typed.reason("reason", "the reason");
    let wet = visit.typed.mass_if("wet");
    let ending = visit.typed.one_of_if("ending", "the end");
    let (Some(reason), Some(wet), Some(ending), Some(at)) = (reason, wet, ending, at(visit)) else {
        return Err(Faulty.into());
    };
    let lot = code(visit);
    let answer = visit.desk.discard(&Discard {
        lot: &lot,
        wet,
        reason: &reason,
        ending,
        at,
    })?;
    Ok(visit.booked(&answer))
}

fn give_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    Ok(html! {
        (heading(visit, &lot))
        (draw::text(visit, "to", "Who takes it: the next to be told in a recall", ""))
        (wet_or_all(visit, &lot))
        (when(visit))
        (draw::book(visit, "Hand it over"))
    })
}

fn give_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let to = visit.typed.name("to", "who takes it");
    let wet = visit.typed.mass_if("wet");
    let (Some(to), Some(wet), Some(at)) = (to, wet, at(visit)) else {
        return Err(Faulty.into());
    };
    let lot = code(visit);
    let answer = visit.desk.give(&Give {
        lot: &lot,
        wet,
        to: &to,
        at,
    })?;
    Ok(visit.booked(&answer))
}

fn count_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = lot(visit)?;
    Ok(html! {
        (heading(visit, &lot))
        (draw::mass(visit, "found", "What the scale shows", "", usual(visit, &lot)))
        (when(visit))
        (draw::book(visit, "Book the count"))
    })
}

fn count_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let (Some(found), Some(at)) = (visit.typed.mass("found"), at(visit)) else {
        return Err(Faulty.into());
    };
    let lot = code(visit);
    let answer = visit.desk.count(&Count {
        lot: &lot,
        found,
        at,
        note: None,
    })?;
    Ok(visit.booked(&answer))
}
