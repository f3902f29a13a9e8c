//! Takes connections until it is told to stop; then what is being done is ended, and nothing new is begun.

use super::{Shared, backups, doors, router};
use axum::Router;
use axum::extract::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use std::future::Future;
use std::sync::Arc;
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::server::TlsStream;
use tower::Service;

/// A client has so long to send the head of a request.
const HEAD_TAKES: Duration = Duration::from_secs(10);
/// What is being done has so long to end when the server stops.
const ENDS_WITHIN: Duration = Duration::from_secs(4);
/// So many connections are open at once: a bakery has a dozen devices.
const CONNECTIONS: usize = 256;

/// Serves the book until `stop` comes; then it takes nothing new and gives what is being done 4 s.
pub async fn serve(listener: TcpListener, shared: Arc<Shared>, stop: impl Future<Output = ()>) {
    let at = At {
        router: router(shared.clone()),
        greetings: Semaphore::new(CONNECTIONS),
        places: Semaphore::new(CONNECTIONS),
        shared: shared.clone(),
    };
    let at = Arc::new(at);
    if shared.backups.is_some() {
        tokio::spawn(backups::keep(shared.clone()));
    }
    let graceful = GracefulShutdown::new();
    tokio::pin!(stop);
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            () = &mut stop => break,
        };
        match accepted {
            Ok((stream, _)) => {
                let (at, watcher) = (at.clone(), graceful.watcher());
                tokio::spawn(async move { at.attend(stream, watcher).await });
            }
            // Too many open files, or a client that left again: others are served on.
            Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
        }
    }
    drop(listener);
    shared.ended.send_replace(true);
    let _ = tokio::time::timeout(ENDS_WITHIN, graceful.shutdown()).await;
}

/// What all connections share.
struct At {
    shared: Arc<Shared>,
    router: Router,
    places: Semaphore,
    /// Of those that have not said yet that they speak TLS: who stays silent takes no place from the others.
    greetings: Semaphore,
}

impl At {
    async fn attend(&self, stream: TcpStream, watcher: Watcher) {
        let Some(tls) = &self.shared.tls else {
            return self.answer(stream, self.router.clone(), watcher).await;
        };
        let Ok(greeting) = self.greetings.try_acquire() else {
            return;
        };
        let mut ended = self.shared.ended.subscribe();
        let greeted = tokio::select! {
            greeted = tokio::time::timeout(self.shared.greeting_takes, greet(stream, &tls.acceptor)) => greeted,
            _ = ended.wait_for(|ended| *ended) => return,
        };
        drop(greeting);
        match greeted {
            Ok(Ok(Greeted::Tls(stream))) => {
                self.answer(*stream, self.router.clone(), watcher).await
            }
            Ok(Ok(Greeted::Plain(stream))) => {
                let router = doors::needs_tls(&self.shared);
                self.answer(stream, router, watcher).await;
            }
            // It was too slow, or no client of ours.
            Err(_) | Ok(Err(_)) => {}
        }
    }

    async fn answer<S>(&self, stream: S, router: Router, watcher: Watcher)
    where
        S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
    {
        // One more is closed at once: its browser tries again.
        let Ok(_place) = self.places.try_acquire() else {
            return;
        };
        // A client that has gone away is no failure of ours.
        let _ = watcher.watch(connection(stream, router)).await;
    }
}

/// What a client speaks where TLS is served.
enum Greeted {
    Tls(Box<TlsStream<TcpStream>>),
    Plain(TcpStream),
}

/// Each greeting of TLS begins with this byte (RFC 8446, 5.1: a record of a handshake), and no request of HTTP does.
const HANDSHAKE: u8 = 22;

async fn greet(stream: TcpStream, acceptor: &TlsAcceptor) -> std::io::Result<Greeted> {
    let mut first = [0];
    if stream.peek(&mut first).await? == 1 && first[0] != HANDSHAKE {
        return Ok(Greeted::Plain(stream));
    }
    Ok(Greeted::Tls(Box::new(acceptor.accept(stream).await?)))
}

/// One connection with its limits.
fn connection<S>(
    stream: S,
    router: Router,
) -> http1::Connection<
    TokioIo<S>,
    impl hyper::service::Service<
        hyper::Request<Incoming>,
        Response = axum::response::Response,
        Error = std::convert::Infallible,
        Future = impl Future<Output = Result<axum::response::Response, std::convert::Infallible>> + Send,
    >,
>
where
    S: AsyncRead + AsyncWrite + Unpin,
{
    let service = hyper::service::service_fn(move |request: hyper::Request<Incoming>| {
        let request: Request = request.map(axum::body::Body::new);
        router.clone().call(request)
    });
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TAKES)
        .serve_connection(TokioIo::new(stream), service)
}
