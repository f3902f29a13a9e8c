//! A terminal that waits for a search.

use super::Errand;
use crate::desk::{Progress, Watch};
use crate::render;
use signal_hook::consts::SIGINT;
use signal_hook::flag;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant as Tick};

/// What a shell calls the exit of a program that Ctrl-C ended.
const INTERRUPTED: i32 = 130;

/// Watches over one search at a terminal: says now and then how far it is, and lets Ctrl-C end it. The first
/// Ctrl-C ends the search, the second the program.
pub struct TerminalWatch<'w, 'a> {
    errand: &'w mut Errand<'a>,
    pressed: Arc<AtomicBool>,
    began: Tick,
    next: Duration,
}

impl<'w, 'a> TerminalWatch<'w, 'a> {
    /// When a search is first spoken of.
    const FIRST: Duration = Duration::from_secs(1);
    /// How long until it is spoken of again.
    const AGAIN: Duration = Duration::from_secs(5);

    pub(super) fn new(errand: &'w mut Errand<'a>) -> Self {
        let pressed = Arc::new(AtomicBool::new(false));
        // Where this system tells of no Ctrl-C, a search goes on to its end.
        if flag::register_conditional_shutdown(SIGINT, INTERRUPTED, Arc::clone(&pressed)).is_ok() {
            let _ = flag::register(SIGINT, Arc::clone(&pressed));
        }
        Self {
            errand,
            pressed,
            began: Tick::now(),
            next: Self::FIRST,
        }
    }
}

impl Watch for TerminalWatch<'_, '_> {
    fn goes_on(&mut self, progress: Progress) -> bool {
        let gone = self.began.elapsed();
        if gone >= self.next {
            self.next = gone + Self::AGAIN;
            let words = render::progress::progress(progress, gone.as_secs(), self.errand.units());
            self.errand.say(&words);
        }
        !self.pressed.load(Ordering::SeqCst)
    }
}
