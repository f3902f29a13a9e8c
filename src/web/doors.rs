//! What every request passes: which host it names, who sent it, how much it is; and the headers of every answer.

use super::answer::Reply;
use super::draw::Files;
use super::refused::Refused;
use super::route::{Route, Work};
use super::sent::{Keyed, Sent};
use super::visit::{self, Answered};
use super::{Shared, changes};
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::rejection::RawPathParamsRejection;
use axum::extract::{FromRequest, Multipart, RawPathParams, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, header};
use axum::middleware::{self, Next};
use axum::response::Response;
use axum::routing::{MethodRouter, get};
use http_body_util::LengthLimitError;
use std::sync::Arc;

/// By this header the page's script says when a form was typed.
const TYPED: &str = "draff-typed";

/// Headers of every answer. What a page loads is ours alone, and nothing runs that is written into it; nobody may
/// show it in a frame. With `no-referrer` a browser sends `Origin: null` with our own forms, so it is `same-origin`.
const HEADERS: [(header::HeaderName, &str); 5] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "same-origin"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (
        header::HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// All routes behind the doors.
pub fn router(shared: Arc<Shared>, routes: Vec<Route>) -> Router {
    let mut router = Router::new();
    for route in routes {
        router = router.route(route.path, methods(route));
    }
    router
        .route("/part/{name}", get(part))
        .fallback(|State(shared): State<Arc<Shared>>| async move {
            Refused::NoPage.response(&shared.files)
        })
        .method_not_allowed_fallback(|State(shared): State<Arc<Shared>>| async move {
            Refused::NoMethod.response(&shared.files)
        })
        .layer(middleware::from_fn_with_state(shared.clone(), known_host))
        .layer(middleware::from_fn(with_headers))
        .with_state(shared)
}

/// A part of the pages: style, script, icon.
async fn part(State(shared): State<Arc<Shared>>, request: Request) -> Response {
    match shared.files.at(request.uri().path()) {
        Some((kind, body)) => super::answer::part(kind, body),
        None => Refused::NoPage.response(&shared.files),
    }
}

/// Answers who comes without TLS where it is served: with a page that says so, its style, and nothing of the book.
pub fn needs_tls(shared: &Arc<Shared>) -> Router {
    Router::new()
        .route("/part/{name}", get(part))
        .fallback(|State(shared): State<Arc<Shared>>| async move {
            let mut response = Refused::NeedsTls.response(&shared.files);
            let close = HeaderValue::from_static("close");
            response.headers_mut().insert(header::CONNECTION, close);
            response
        })
        .layer(middleware::from_fn(with_headers))
        .with_state(shared.clone())
}

fn methods(route: Route) -> MethodRouter<Arc<Shared>> {
    let route = Arc::new(route);
    let handler = |route: Arc<Route>| {
        move |State(shared): State<Arc<Shared>>,
              path: Result<RawPathParams, RawPathParamsRejection>,
              request: Request| async move {
            match path {
                Ok(path) => answer(shared, route, path, request).await,
                // An address that is no UTF-8.
                Err(_) => Refused::Unreadable.response(&shared.files),
            }
        }
    };
    match route.work {
        Work::Show(_) | Work::Changes => get(handler(route)),
        Work::Form(_) => get(handler(route.clone())).post(handler(route)),
    }
}

/// Puts the headers on, whatever the answer is.
async fn with_headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Lets in who names the host by one of our names: a foreign name may be bound to our address.
async fn known_host(State(shared): State<Arc<Shared>>, request: Request, next: Next) -> Response {
    match host(request.headers()) {
        Some(host)
            if shared
                .hosts
                .iter()
                .any(|known| known.eq_ignore_ascii_case(host)) =>
        {
            next.run(request).await
        }
        _ => Refused::UnknownHost.response(&shared.files),
    }
}

/// The only host that is named.
fn host(headers: &HeaderMap) -> Option<&str> {
    let mut hosts = headers.get_all(header::HOST).iter();
    match (hosts.next(), hosts.next()) {
        (Some(host), None) => host.to_str().ok(),
        _ => None,
    }
}

/// Reads what was sent, and does it where it may wait for the disk.
async fn answer(
    shared: Arc<Shared>,
    route: Arc<Route>,
    path: RawPathParams,
    request: Request,
) -> Response {
    let sent = match read(&shared, &route, &path, request).await {
        Ok(sent) => sent,
        Err(refused) => return refused.response(&shared.files),
    };
    let asked = match route.work {
        Work::Changes => Some(sent.asked("since").to_owned()),
        Work::Show(_) | Work::Form(_) => None,
    };
    let Some(asked) = asked else {
        return in_the_book(&shared, &route, sent)
            .await
            .response(&shared.files);
    };
    let first = in_the_book(&shared, &route, sent.clone()).await;
    if !matches!(&first.reply, Ok(Reply::Version(version)) if *version == asked) {
        return first.response(&shared.files);
    }
    changes::other_than(&shared, &asked).await;
    in_the_book(&shared, &route, sent)
        .await
        .response(&shared.files)
}

/// One visit to the book, where it may wait for the disk.
async fn in_the_book(shared: &Arc<Shared>, route: &Arc<Route>, sent: Sent) -> Answered {
    let defect = Answered {
        reply: Err(Refused::Defect),
        cookie: None,
    };
    // The permit is given back when the work is done, not when the client has gone away.
    let Ok(permit) = shared.permits.clone().acquire_owned().await else {
        return defect;
    };
    let (shared, route) = (shared.clone(), route.clone());
    let work = tokio::task::spawn_blocking(move || {
        let _permit = permit;
        visit::answer(&shared, &route, sent)
    });
    work.await.unwrap_or(defect)
}

impl Answered {
    fn response(self, files: &Files) -> Response {
        let mut response = match self.reply {
            Ok(reply) => reply.into_response(),
            Err(refused) => refused.response(files),
        };
        if let Some(cookie) = self
            .cookie
            .and_then(|cookie| HeaderValue::from_str(&cookie).ok())
        {
            response.headers_mut().append(header::SET_COOKIE, cookie);
        }
        response
    }
}

/// What was sent, as far as it can be told without the book.
async fn read(
    shared: &Shared,
    route: &Route,
    path: &RawPathParams,
    request: Request,
) -> Result<Sent, Refused> {
    let (head, body) = request.into_parts();
    let headers = &head.headers;
    let host = host(headers).unwrap_or_default().to_owned();
    let is_post = head.method == Method::POST;
    if is_post {
        // A browser sends it with every form; who sends none, or another, is no page of ours.
        let origin = headers
            .get(header::ORIGIN)
            .and_then(|origin| origin.to_str().ok());
        let own = format!("{}://{host}", shared.scheme());
        if !origin.is_some_and(|origin| origin.eq_ignore_ascii_case(&own)) {
            return Err(Refused::OtherSite);
        }
    }
    let text = |value: &str| {
        let is_plain = !value.contains(['\0', '\u{fffd}']);
        is_plain
            .then(|| value.to_owned())
            .ok_or(Refused::Unreadable)
    };
    let mut sent = Sent {
        host,
        cookies: headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|cookie| cookie.to_str().ok())
            .flat_map(|cookies| cookies.split(';'))
            .map(|cookie| cookie.trim().to_owned())
            .collect(),
        is_post,
        path: path
            .iter()
            .map(|(name, value)| Ok((name.to_owned(), text(value)?)))
            .collect::<Result<_, _>>()?,
        address: head
            .uri
            .path_and_query()
            .map_or_else(|| "/".to_owned(), ToString::to_string),
        keyed: match headers.get(TYPED) {
            None => None,
            Some(typed) => Some(
                typed
                    .to_str()
                    .ok()
                    .and_then(Keyed::parse)
                    .ok_or(Refused::Unreadable)?,
            ),
        },
        query: pairs(head.uri.query().unwrap_or_default().as_bytes())?,
        ..Sent::default()
    };
    if is_post {
        let kind = headers
            .get(header::CONTENT_TYPE)
            .and_then(|kind| kind.to_str().ok())
            .unwrap_or_default()
            .to_ascii_lowercase();
        if kind.starts_with("application/x-www-form-urlencoded") {
            sent.fields = pairs(&whole(shared, headers, body, route.most).await?)?;
        } else if kind.starts_with("multipart/form-data") {
            let kind = headers.get(header::CONTENT_TYPE).cloned();
            let bytes = whole(shared, headers, body, route.most).await?;
            let parts = multipart(kind, bytes).await.ok_or(Refused::Unreadable)?;
            (sent.fields, sent.file) = parts;
            refuse_doubtful(&sent.fields)?;
        } else {
            return Err(Refused::WrongType);
        }
    }
    Ok(sent)
}

async fn whole(
    shared: &Shared,
    headers: &HeaderMap,
    body: Body,
    most: usize,
) -> Result<Vec<u8>, Refused> {
    let length = headers
        .get(header::CONTENT_LENGTH)
        .and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if length.is_some_and(|length| length > most) {
        return Err(Refused::TooLarge);
    }
    let read = tokio::time::timeout(shared.form_takes, to_bytes(body, most)).await;
    match read {
        Err(_) => Err(Refused::TooSlow),
        Ok(Ok(bytes)) => Ok(bytes.to_vec()),
        Ok(Err(error)) => {
            let is_too_large = std::error::Error::source(&error)
                .is_some_and(|source| source.is::<LengthLimitError>());
            Err(if is_too_large {
                Refused::TooLarge
            } else {
                Refused::Unreadable
            })
        }
    }
}

/// Names and values as a form sends them. What is no UTF-8, and what no keyboard writes, is not read.
fn pairs(text: &[u8]) -> Result<Vec<(String, String)>, Refused> {
    let pairs: Vec<(String, String)> = form_urlencoded::parse(text).into_owned().collect();
    refuse_doubtful(&pairs)?;
    Ok(pairs)
}

fn refuse_doubtful(pairs: &[(String, String)]) -> Result<(), Refused> {
    let is_odd = |text: &String| text.contains(['\0', '\u{fffd}']);
    if pairs
        .iter()
        .any(|(name, value)| is_odd(name) || is_odd(value))
    {
        return Err(Refused::Unreadable);
    }
    // Of a field that comes twice nobody can tell which was meant.
    let mut names: Vec<&str> = pairs.iter().map(|(name, _)| name.as_str()).collect();
    names.sort_unstable();
    if names.windows(2).any(|pair| pair[0] == pair[1]) {
        return Err(Refused::Unreadable);
    }
    Ok(())
}

/// Fields, and the file that was sent with them.
type Parts = (Vec<(String, String)>, Option<(String, Vec<u8>)>);

/// The parts of a form with a file.
async fn multipart(kind: Option<HeaderValue>, bytes: Vec<u8>) -> Option<Parts> {
    let mut request = Request::new(Body::from(bytes));
    request.headers_mut().insert(header::CONTENT_TYPE, kind?);
    let mut parts = Multipart::from_request(request, &()).await.ok()?;
    let (mut fields, mut file) = (Vec::new(), None);
    while let Some(part) = parts.next_field().await.ok()? {
        let name = part.name()?.to_owned();
        if let Some(called) = part.file_name().map(str::to_owned) {
            file = Some((called, part.bytes().await.ok()?.to_vec()));
        } else {
            fields.push((name, part.text().await.ok()?));
        }
    }
    Some((fields, file))
}
