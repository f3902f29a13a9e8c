//! The book proved whole, and a proven copy of it to take along.

use crate::ledger::{Book, audit::Audit, failure};
use crate::render::check;
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::{Right, Route};
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[
    Route::show("/book/check", show),
    // A copy holds all of the book: who may only look does not carry it away.
    Route::show("/book/copy.draff", copy).for_right(Right::Write),
];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let audit =
        match Book::open_as_found(&visit.shared.book, visit.now).and_then(|book| book.audit()) {
            Ok(audit) => audit,
            Err(error) => match failure::damage(&error) {
                Some(found) => Audit::of_damage(found),
                None => return Err(error),
            },
        };
    let body = html! {
        pre.words { (check::text(&audit, false)) }
        p.send { a.main href="/book/copy.draff" { "Download a proven copy" } }
    };
    Ok(Reply::Page(draw::page(visit, "Check of the book", &body)))
}

fn copy(visit: &mut Visit) -> anyhow::Result<Reply> {
    let book = Book::open(&visit.shared.book, visit.now)?;
    let stamp = visit.now.format("%Y-%m-%dT%H%M%SZ");
    Ok(Reply::File {
        name: format!("book-{stamp}.draff"),
        kind: "application/vnd.sqlite3",
        body: book.proven_copy()?,
    })
}
