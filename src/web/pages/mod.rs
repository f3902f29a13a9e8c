//! The pages, a file each. `docs/page.md` lists which act of the desk stands on which.

mod air;
mod bake_change;
mod bakes;
mod bench;
mod book;
mod calendar;
mod devices;
mod dough;
mod dough_temperatures;
mod entry;
mod formula_masses;
mod formulas;
mod grain_in;
mod handling;
mod lot;
mod lot_acts;
mod moisture;
mod offered;
pub(super) mod pair;
mod pickups;
mod places;
mod plan;
mod proof;
mod report;
mod sample;
mod settings;
mod shelf;
mod source;
mod test_weights;
mod ticket;
mod today;
mod trace;

use super::route::Route;
use crate::grain::LotCode;
use crate::keeping::Advice;
use crate::planning::plan::Work;
use crate::quantity::{Instant, Milligrams};

/// All of them.
pub fn routes() -> Vec<Route> {
    [
        &[Route::changes("/changes")],
        pair::ROUTES,
        bench::ROUTES,
        today::ROUTES,
        calendar::ROUTES,
        shelf::ROUTES,
        lot::ROUTES,
        source::ROUTES,
        lot_acts::ROUTES,
        moisture::ROUTES,
        ticket::ROUTES,
        entry::ROUTES,
        grain_in::ROUTES,
        sample::ROUTES,
        bakes::ROUTES,
        bake_change::ROUTES,
        plan::ROUTES,
        dough::ROUTES,
        trace::ROUTES,
        devices::ROUTES,
        book::ROUTES,
        report::ROUTES,
        handling::ROUTES,
        places::ROUTES,
        air::ROUTES,
        pickups::ROUTES,
        proof::ROUTES,
        settings::ROUTES,
        formulas::ROUTES,
        formula_masses::ROUTES,
    ]
    .concat()
}

/// A name as a part of an address.
fn in_address(name: &str) -> String {
    let written: String = form_urlencoded::byte_serialize(name.as_bytes()).collect();
    written.replace('+', "%20")
}

/// Where an advice of the keeping clock is followed, asked at this moment.
pub fn address_of_advice(lot: LotCode, advice: &Advice, now: Instant) -> String {
    match advice {
        Advice::TakeTemperature { .. }
        | Advice::ReadInLogger {
            cold_by: Some(_), ..
        }
        | Advice::AskWhenCooled {
            still_hot: Some(_), ..
        } => format!("/lot/{lot}/temperature"),
        Advice::AskWhenCooled {
            is_refuted: true, ..
        } => format!("/lot/{lot}/throw-away"),
        // Later the advice is to throw it away, and that form leads to the only exception.
        Advice::AskWhenCooled { by, .. }
        | Advice::AskWhetherColdBefore {
            by, is_said: false, ..
        } => {
            let end = if now <= *by { "cooled" } else { "throw-away" };
            format!("/lot/{lot}/{end}")
        }
        Advice::MeasureActivity { .. } => format!("/lot/{lot}/activity"),
        Advice::BackIntoTheColdBy(_) => format!("/lot/{lot}/move"),
        Advice::UseNow | Advice::StraightFromTheFreezer => format!("/lot/{lot}/use"),
        Advice::AskMashOut
        | Advice::AskWhetherColdBefore { .. }
        | Advice::ReadInLogger { .. }
        | Advice::DaysAfterThawing(_) => format!("/lot/{lot}"),
    }
}

/// Where so much of a lot is frozen or thawed into a place, or dried: the form, filled in. Where no place is cold enough for
/// it the plan.
fn address_of_work((work, lot): (Work, LotCode), wet: Milligrams, place: Option<&str>) -> String {
    let grams = wet.grams();
    let to = place.map(in_address);
    match (work, to) {
        (Work::Dry, _) => format!("/lot/{lot}/treat?step=dry&wet={grams}"),
        (_, None) => "/plan".to_owned(),
        (Work::Freeze, Some(to)) => format!("/lot/{lot}/freeze?wet={grams}&to={to}"),
        (Work::Thaw, Some(to)) => format!("/lot/{lot}/thaw?wet={grams}&to={to}"),
    }
}
