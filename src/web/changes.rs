//! Waits until the book changes, by whomever: open pages ask for it.

use super::Shared;
use crate::ledger::Book;
use std::sync::Arc;
use std::time::Duration;

/// Looked at so often.
const EVERY: Duration = Duration::from_secs(1);
/// So many times for one request: then the page asks anew.
const LOOKS: u32 = 25;

/// Comes when the book has another version, cannot be read, was looked at long enough, or when the server ends.
pub async fn other_than(shared: &Arc<Shared>, version: &str) {
    let mut ended = shared.ended.subscribe();
    for _ in 0..LOOKS {
        tokio::select! {
            () = tokio::time::sleep(EVERY) => {}
            _ = ended.wait_for(|is_ended| *is_ended) => return,
        }
        let book = shared.book.clone();
        let found = tokio::task::spawn_blocking(move || Book::version_at(&book)).await;
        if !matches!(found, Ok(Ok(found)) if found == version) {
            return;
        }
    }
}
