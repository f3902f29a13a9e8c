//! A question that may take long: it is asked beside this thread, which says now and then that it goes on. Who asks holds
//! the book, who speaks does not: a terminal that stands still keeps nobody from writing.

use super::Errand;
use std::panic::resume_unwind;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant as Tick};

/// When a question is first spoken of, and how long until it is spoken of again.
const FIRST: Duration = Duration::from_secs(1);
const AGAIN: Duration = Duration::from_secs(5);

impl Errand<'_> {
    /// Does some work and says from the first second on what is being done.
    pub fn patiently<T: Send>(&mut self, doing: &str, work: impl FnOnce() -> T + Send) -> T {
        let began = Tick::now();
        beside(work, [FIRST, AGAIN], &mut || {
            let seconds = began.elapsed().as_secs();
            self.say(&format!("{doing} for {seconds} s; Ctrl-C ends it"));
        })
    }
}

fn beside<T: Send>(
    work: impl FnOnce() -> T + Send,
    [first, again]: [Duration; 2],
    goes_on: &mut dyn FnMut(),
) -> T {
    thread::scope(|scope| {
        let (ended, end) = channel::<()>();
        let worker = scope.spawn(move || {
            // Dropped when the work ends, however it ends.
            let _ended = ended;
            work()
        });
        let mut wait = first;
        while end.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
            goes_on();
            wait = again;
        }
        worker.join().unwrap_or_else(|panic| resume_unwind(panic))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_spoken_of_while_it_lasts_and_gives_what_it_found() {
        let (say, said) = channel();
        let mut times = 0;
        // The work ends only after it was spoken of.
        let found = beside(
            move || said.recv().map(|()| 42),
            [Duration::ZERO, Duration::from_secs(60)],
            &mut || {
                times += 1;
                let _ = say.send(());
            },
        );
        assert_eq!((found, times), (Ok(42), 1));
    }

    #[test]
    fn work_that_ends_at_once_is_not_spoken_of() {
        let minute = Duration::from_secs(60);
        let found = beside(|| 42, [minute, minute], &mut || panic!("spoken of"));
        assert_eq!(found, 42);
    }
}
