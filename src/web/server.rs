//! Takes connections until it is told to stop; then what is being done is ended, and nothing new is begun.

use super::{House, backups, router};
use axum::Router;
use axum::extract::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use std::future::Future;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tower::Service;

/// A client has so long to send the head of a request.
const HEAD_TAKES: Duration = Duration::from_secs(10);
/// What is being done has so long to end when the server stops.
const ENDS_WITHIN: Duration = Duration::from_secs(4);
/// So many connections are open at once: a bakery has a dozen devices.
const CONNECTIONS: usize = 256;

/// Serves the book until `stop` comes; then it takes nothing new and gives what is being done 4 s.
pub async fn serve(listener: TcpListener, house: Arc<House>, stop: impl Future<Output = ()>) {
    let router = router(house.clone());
    if house.backups.is_some() {
        tokio::spawn(backups::keep(house.clone()));
    }
    let graceful = GracefulShutdown::new();
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    tokio::pin!(stop);
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            () = &mut stop => break,
        };
        match accepted {
            Ok((stream, _)) => {
                // One more is closed at once: its browser tries again.
                let Ok(place) = places.clone().try_acquire_owned() else {
                    continue;
                };
                let connection = connection(stream, router.clone());
                let watched = graceful.watch(connection);
                tokio::spawn(async move {
                    // A client that has gone away is no failure of ours.
                    let _ = watched.await;
                    drop(place);
                });
            }
            // Too many open files, or a client that left again: others are served on.
            Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
        }
    }
    drop(listener);
    house.ended.send_replace(true);
    let _ = tokio::time::timeout(ENDS_WITHIN, graceful.shutdown()).await;
}

/// One connection with its limits.
fn connection(
    stream: TcpStream,
    router: Router,
) -> http1::Connection<
    TokioIo<TcpStream>,
    impl hyper::service::Service<
        hyper::Request<Incoming>,
        Response = axum::response::Response,
        Error = std::convert::Infallible,
        Future = impl Future<Output = Result<axum::response::Response, std::convert::Infallible>> + Send,
    >,
> {
    let service = hyper::service::service_fn(move |request: hyper::Request<Incoming>| {
        let request: Request = request.map(axum::body::Body::new);
        router.clone().call(request)
    });
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TAKES)
        .serve_connection(TokioIo::new(stream), service)
}
