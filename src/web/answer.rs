//! What is answered: a page, a file, or another address to go to.

use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use maud::Markup;

/// An answer.
pub enum Reply {
    /// A page.
    Page(Markup),
    /// A page with another status than 200.
    PageWith(StatusCode, Markup),
    /// A page that is looked at again by itself.
    Waiting(Markup),
    /// Another address of ours, to look at.
    GoTo(String),
    /// The same, with a new cookie.
    GoToWith(String, String),
    /// The address of what was made, for the page's script.
    Made(String),
    /// The version of the book.
    Version(String),
    /// A file to keep.
    File {
        /// Its name.
        name: String,
        /// Its type.
        kind: &'static str,
        /// What is in it.
        body: Vec<u8>,
    },
    /// A picture that our own code drew.
    Picture(String),
}

impl Reply {
    /// As HTTP.
    pub fn into_response(self) -> Response {
        match self {
            Self::Page(page) => text(StatusCode::OK, page),
            Self::PageWith(status, page) => text(status, page),
            Self::Waiting(page) => {
                let mut response = text(StatusCode::OK, page);
                let again = HeaderValue::from_static("2");
                response.headers_mut().insert(header::REFRESH, again);
                response
            }
            Self::GoTo(address) => go_to(&address),
            Self::GoToWith(address, cookie) => {
                let mut response = go_to(&address);
                if let Ok(cookie) = HeaderValue::from_str(&cookie) {
                    response.headers_mut().insert(header::SET_COOKIE, cookie);
                }
                response
            }
            Self::Made(address) => {
                let mut response = go_to(&address);
                *response.status_mut() = StatusCode::CREATED;
                response
            }
            Self::Version(version) => plain(
                StatusCode::OK,
                "text/plain; charset=utf-8",
                Body::from(version),
            ),
            Self::File { name, kind, body } => {
                let mut response = plain(StatusCode::OK, kind, Body::from(body));
                let named = format!("attachment; filename=\"{name}\"");
                if let Ok(named) = HeaderValue::from_str(&named) {
                    let headers = response.headers_mut();
                    headers.insert(header::CONTENT_DISPOSITION, named);
                }
                response
            }
            Self::Picture(svg) => plain(StatusCode::OK, "image/svg+xml", Body::from(svg)),
        }
    }
}

/// A part of our pages, whose address changes when it does.
pub fn part(kind: &'static str, body: &'static str) -> Response {
    let mut response = plain(StatusCode::OK, kind, Body::from(body));
    response.headers_mut().insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("public, max-age=31536000, immutable"),
    );
    response
}

/// A page with a status.
pub fn text(status: StatusCode, page: Markup) -> Response {
    plain(
        status,
        "text/html; charset=utf-8",
        Body::from(page.into_string()),
    )
}

fn plain(status: StatusCode, kind: &'static str, body: Body) -> Response {
    let mut response = Response::new(body);
    *response.status_mut() = status;
    response
        .headers_mut()
        .insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

/// 303: what was sent is done, and going back or reloading sends nothing again.
fn go_to(address: &str) -> Response {
    let mut response = Response::new(Body::empty());
    *response.status_mut() = StatusCode::SEE_OTHER;
    // An address of ours holds nothing that a header may not.
    let address = HeaderValue::from_str(address).unwrap_or(HeaderValue::from_static("/"));
    response.headers_mut().insert(header::LOCATION, address);
    response
}
