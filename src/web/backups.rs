//! A proven copy of the book a day, in a folder that keeps the newest fourteen, while the page is served.

use super::Shared;
use crate::ledger::Book;
use crate::quantity::Instant;
use chrono::Duration;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// So many copies are kept.
const KEPT: usize = 14;
/// A copy is due after so long.
const EVERY: Duration = Duration::hours(24);
/// It is looked at so often whether one is due.
const LOOKS: std::time::Duration = std::time::Duration::from_secs(600);
/// Today says so when the newest copy is older.
const OLD: Duration = Duration::hours(36);

/// The copies of one book.
pub struct Backups {
    folder: PathBuf,
    newest: Mutex<Option<Instant>>,
}

impl Backups {
    /// Copies in a folder.
    pub fn into(folder: PathBuf) -> Self {
        Self {
            folder,
            newest: Mutex::new(None),
        }
    }

    fn newest(&self) -> MutexGuard<'_, Option<Instant>> {
        self.newest.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// When the newest copy was made, where it is too old; nothing inside where there is none.
    pub fn is_old(&self, now: Instant) -> Option<Option<Instant>> {
        let newest = *self.newest();
        newest
            .is_none_or(|newest| now - newest > OLD)
            .then_some(newest)
    }

    /// Makes a copy where one is due.
    pub fn make(&self, book: &std::path::Path, now: Instant) -> anyhow::Result<()> {
        let book = Book::open(book, now)?;
        let newest = book.newest_copy_in(&self.folder)?;
        *self.newest() = newest;
        // A copy that is dated after now does not stop the next.
        if newest.is_some_and(|newest| newest <= now && now - newest < EVERY) {
            return Ok(());
        }
        book.back_up_into(&self.folder, KEPT, now)?;
        *self.newest() = Some(now);
        Ok(())
    }
}

/// Makes copies until the server ends. What goes wrong is told where it runs, and Today shows that the newest is old.
pub async fn keep(shared: Arc<Shared>) {
    let mut ended = shared.ended.subscribe();
    loop {
        let served = shared.clone();
        let made = tokio::task::spawn_blocking(move || {
            if let Err(error) = served.back_up() {
                (served.log)(&format!("no copy of the book was made: {error:#}"));
            }
        });
        let _ = made.await;
        tokio::select! {
            () = tokio::time::sleep(LOOKS) => {}
            _ = ended.wait_for(|is_ended| *is_ended) => return,
        }
    }
}
