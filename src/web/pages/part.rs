//! The files that pages load. They hold nothing of the book.

use crate::web::answer::Reply;
use crate::web::refused::Refused;
use crate::web::route::{Right, Route};
use crate::web::visit::{Stopped, Visit};

pub const ROUTES: &[Route] = &[Route::show("/part/{name}", show).for_right(Right::Anyone)];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    match visit.house.files.at(visit.address()) {
        Some((kind, body)) => Ok(Reply::Part(kind, body)),
        None => Err(Stopped(Refused::NoPage).into()),
    }
}
