//! What all requests share: where the book lies, by which names it is reached, who is invited.

use super::answer_notes::RecentNotes;
use super::backups::Backups;
use super::books::Books;
use super::draw::Files;
use super::pairing::{Invitation, Pairing};
use super::plans::Plans;
use super::secrets;
use super::tls::Tls;
use crate::quantity::Instant;
use crate::render::numbers::Units;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{Semaphore, watch};

/// So many requests are in the book at once; others wait.
pub const AT_ONCE: usize = 4;

/// So many threads are at work in the book: one for each of them, and one that looks whether it changed and makes copies.
/// The allocator keeps memory for each thread, so that more of them would hold more for the same work.
pub const AT_WORK: usize = AT_ONCE + 1;

/// A form has so long to arrive, over weak Wi-Fi too.
pub const FORM_TAKES: Duration = Duration::from_secs(30);

/// A client has so long to begin TLS.
pub const GREETING_TAKES: Duration = Duration::from_secs(10);

/// Tells the time of each request.
pub type Clock = Arc<dyn Fn() -> Instant + Send + Sync>;

/// Takes a line for whoever runs the server.
pub type Log = Arc<dyn Fn(&str) + Send + Sync>;

/// What a server is told when it starts.
pub struct ServerOptions {
    /// Where the book lies.
    pub book: PathBuf,
    /// How numbers are shown.
    pub units: Units,
    /// Tells the time.
    pub clock: Clock,
    /// What a browser may name as the host: names and addresses, each with its port.
    pub hosts: Vec<String>,
    /// Takes what no visitor is to see: defects.
    pub log: Log,
    /// The folder that takes a copy a day.
    pub backups: Option<PathBuf>,
    /// The certificate with which the page is served; without one it is plain HTTP.
    pub tls: Option<Tls>,
    /// A form has so long to arrive; [`FORM_TAKES`] where people send them.
    pub form_takes: Duration,
    /// A client has so long to begin TLS; [`GREETING_TAKES`] where people come.
    pub greeting_takes: Duration,
}

/// What all requests share.
pub struct Shared {
    pub(super) book: PathBuf,
    /// What tells this book from another on the same machine, and tells no stranger where it lies.
    pub(super) name: String,
    pub(super) books: Books,
    pub(super) units: Units,
    pub(super) hosts: Vec<String>,
    pub(super) log: Log,
    pub(super) pairing: Pairing,
    pub(super) recent_notes: RecentNotes,
    pub(super) plans: Plans,
    pub(super) permits: Arc<Semaphore>,
    pub(super) files: Files,
    pub(super) backups: Option<Backups>,
    pub(super) tls: Option<Tls>,
    pub(super) ended: watch::Sender<bool>,
    pub(super) form_takes: Duration,
    pub(super) greeting_takes: Duration,
    clock: Clock,
}

impl Shared {
    /// With nobody invited yet.
    pub fn new(of: ServerOptions) -> Self {
        // However the path is spelled, a phone stays paired and finds what it kept.
        let place = of.book.canonicalize();
        let place = place.as_ref().unwrap_or(&of.book);
        let digest = secrets::digest(&place.to_string_lossy());
        Self {
            name: secrets::hexadecimal(&digest)[..8].to_owned(),
            book: of.book,
            books: Books::default(),
            units: of.units,
            hosts: of.hosts,
            log: of.log,
            clock: of.clock,
            pairing: Pairing::default(),
            recent_notes: RecentNotes::default(),
            plans: Plans::default(),
            permits: Arc::new(Semaphore::new(AT_ONCE)),
            files: Files::default(),
            backups: of.backups.map(Backups::into),
            tls: of.tls,
            ended: watch::Sender::new(false),
            form_takes: of.form_takes,
            greeting_takes: of.greeting_takes,
        }
    }

    /// The present moment.
    pub fn now(&self) -> Instant {
        (self.clock)()
    }

    /// Invites one device, at the machine.
    pub fn invite(&self) -> anyhow::Result<Invitation> {
        self.pairing.invite(self.now(), true, None)
    }

    /// Makes a copy of the book where one is due.
    pub fn back_up(&self) -> anyhow::Result<()> {
        match &self.backups {
            Some(backups) => backups.make(&self.book, self.now()),
            None => Ok(()),
        }
    }

    /// How an address of the page begins.
    pub fn scheme(&self) -> &'static str {
        if self.tls.is_some() { "https" } else { "http" }
    }

    /// The name of the cookie. Browsers do not tell ports apart, so two books on one machine have two names. With
    /// TLS it is one that only this very host can set, and only over TLS (RFC 6265bis, 4.1.3.2).
    pub(super) fn cookie(&self) -> String {
        let bound = if self.tls.is_some() { "__Host-" } else { "" };
        format!("{bound}draff-{}", self.name)
    }
}
