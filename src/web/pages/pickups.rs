//! A file of pickups: every row of it, or none.

use crate::quantity::{Problem, text};
use crate::rows::bounded::RowFile;
use crate::rows::pickup::Bench;
use crate::rows::pickup_file::Sheet;
use crate::web::draw;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::form(
    "/grain-in/file",
    Form {
        title: |_| "Grain in from a file".to_owned(),
        show,
        act,
    },
)
.up_to(MOST)];

/// A file may weigh so much: years of pickups.
const MOST: usize = 4 * 1024 * 1024;

/// The codes of so many lots are shown: nobody labels the tubs of years.
const SHOWN: usize = 200;

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    Ok(html! {
        p { "A CSV file with the columns source, brewed and wet, and what else is known of each. One bad row refuses all of it, and every bad row is named." }
        (draw::file(visit, "file", "The file (CSV)"))
        (draw::tick(visit, "new_source", "New breweries in it are really new, however alike their names are", false))
        (draw::book(visit, "Book them in"))
    })
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let Some((name, bytes)) = visit.file().filter(|(_, bytes)| !bytes.is_empty()) else {
        let problem = Problem::new("no file is chosen");
        return Err(visit.typed.fault("file", &problem).into());
    };
    let file = RowFile {
        name: text::typed(name, "file name", text::LONGEST_NAME)?,
        bytes: bytes.to_vec(),
    };
    let places = visit.desk.places()?.answer;
    let bench = Bench {
        now: visit.now,
        zone: visit.desk.zone(),
        places: &places,
        by: Some(visit.bench()),
        in_file: true,
        add_place: |name| format!("{name} is no place of the book"),
        open_place: |name| format!("{name} takes no grain until it is opened again"),
    };
    let pickups = match Sheet::read(file).and_then(|sheet| sheet.check(&bench)) {
        Ok(pickups) => pickups,
        Err(problem) => return Err(visit.typed.fault("file", &problem).into()),
    };
    let is_new = visit.typed.given("new_source").is_some();
    let new: Vec<_> = pickups.iter().map(|pickup| pickup.as_new(is_new)).collect();
    let answer = visit.desk.pickups(SHOWN, |book_in| book_in(&new))?;
    let booked_in = &answer.answer;
    Ok(visit.booked_lots(&answer, booked_in.number, &booked_in.lots))
}
