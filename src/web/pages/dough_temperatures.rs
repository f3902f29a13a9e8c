//! The temperatures that the water of a dough hangs on: fields that two forms share.

use crate::desk::GivenTemperatures;
use crate::quantity::Problem;
use crate::web::draw;
use crate::web::fields::Faulty;
use crate::web::visit::Visit;
use maud::{Markup, html};

/// The fields. What is left empty is what settings, place and formula say.
pub fn fields(visit: &Visit) -> Markup {
    html! {
        (draw::temperature(visit, "tap", "Tap"))
        (draw::temperature(visit, "room", "Room"))
        (draw::temperature(visit, "grain_temp", "Grain"))
        (draw::tick(visit, "frozen", "The grain comes straight from the freezer", false))
        (draw::temperature(visit, "flour_temp", "Flour; left empty it is as warm as the room"))
        (draw::temperature(visit, "preferment_temp", "Preferments and soakers"))
        (draw::temperature(visit, "dough_temp", "The dough when mixing ends; left empty that of the formula"))
    }
}

/// What was typed into them.
pub fn given(visit: &mut Visit) -> Result<GivenTemperatures, Faulty> {
    let typed = &mut visit.typed;
    let tap = typed.temperature_if("tap");
    let room = typed.temperature_if("room");
    let grain = typed.temperature_if("grain_temp");
    let flour = typed.temperature_if("flour_temp");
    let preferment = typed.temperature_if("preferment_temp");
    let dough = typed.temperature_if("dough_temp");
    let frozen = typed.given("frozen").is_some();
    if frozen && matches!(grain, Some(Some(_))) {
        let problem =
            Problem::new("frozen grain is at -18 °C: leave the temperature empty, or the box");
        return Err(typed.fault("grain_temp", &problem));
    }
    typed.all_read()?;
    Ok(GivenTemperatures {
        tap: tap.flatten(),
        room: room.flatten(),
        flour_temp: flour.flatten(),
        grain_temp: grain.flatten(),
        frozen,
        preferment_temp: preferment.flatten(),
        dough_temp: dough.flatten(),
    })
}
