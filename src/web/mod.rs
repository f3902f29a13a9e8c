//! The page: the book on a phone at the bench, the fridge and the scale. A second counter on the desk.
//!
//! A request becomes a `visit::Visit`: it opens the book, makes a desk, asks or acts, and closes the book again.
//! Each page is a file with its [`route::Route`]s; all of them are listed in [`routes`]. Whatever is answered, refusals
//! too, goes through `doors`, which lets in whom it knows and puts the headers on.

mod answer;
mod answer_notes;
mod backups;
mod books;
mod changes;
mod doors;
mod draw;
mod fields;
mod pages;
mod pairing;
mod plans;
mod refused;
mod remedies;
mod route;
mod secrets;
mod sent;
mod server;
mod shared;
mod tls;
mod trouble;
mod understood;
mod visit;

pub use pairing::Invitation;
pub use route::{Right, Route, Work};
pub use server::serve;
pub use shared::{AT_WORK, Clock, FORM_TAKES, GREETING_TAKES, Log, ServerOptions, Shared};
pub use tls::{ORDER, PemFile, Tls};

use std::sync::Arc;

/// Every page.
pub fn routes() -> Vec<Route> {
    pages::routes()
}

/// All pages behind their doors, for a server or a test.
pub fn router(shared: Arc<Shared>) -> axum::Router {
    doors::router(shared, routes())
}
