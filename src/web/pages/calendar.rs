//! What is due as a calendar: to download, and to subscribe to under an address that only reads.

use crate::desk::USUAL_DAYS;
use crate::grain::LotCode;
use crate::render::icalendar::due;
use crate::report::today::Due;
use crate::web::answer::Reply;
use crate::web::refused::Refused;
use crate::web::route::{Right, Route};
use crate::web::secrets;
use crate::web::visit::{Stopped, Visit};

pub const ROUTES: &[Route] = &[
    Route::show("/due.ics", all),
    Route::show("/lot/{lot}/due.ics", of_lot),
    Route::show("/calendar/{token}", subscribed).for_right(Right::Anyone),
];

fn file(visit: &Visit, wanted: impl Fn(&Due) -> bool) -> anyhow::Result<Reply> {
    let today = visit.desk.today(USUAL_DAYS)?.answer;
    let due = today.due.iter().filter(|due| wanted(due));
    let text = due::text(
        &visit.desk.about().name,
        &today,
        due,
        visit.units(),
        visit.zone(),
    );
    Ok(Reply::File {
        name: "due.ics".to_owned(),
        kind: "text/calendar; charset=utf-8",
        body: text.into_bytes(),
    })
}

fn all(visit: &mut Visit) -> anyhow::Result<Reply> {
    file(visit, |_| true)
}

fn of_lot(visit: &mut Visit) -> anyhow::Result<Reply> {
    let lot: LotCode = visit.desk.lot(visit.part("lot"))?.answer.lot.code;
    file(visit, |due| due.task.lot() == Some(lot))
}

/// Whoever knows the token of a device that was not ended reads what is due, and nothing else.
fn subscribed(visit: &mut Visit) -> anyhow::Result<Reply> {
    let token = visit.part("token").to_owned();
    let known = visit.desk.device_secrets()?;
    if !known
        .iter()
        .any(|secret| secrets::same(&token, &secrets::calendar(secret)))
    {
        return Err(Stopped(Refused::NoPage).into());
    }
    all(visit)
}
